"""One tiny collection for each kind of conflict, and one without any."""

from __future__ import annotations

import pytest
from tests.answers.conflicts.families import Row, believed, bought, conflicts, young

from holdback.answers.conflicts import Conflict, Kind, WrongRecord, conflicts_of, score
from holdback.answers.conflicts.candidates import Breeders
from holdback.answers.conflicts.rivals import Weighing
from holdback.answers.conflicts.screening import Screen
from holdback.collection.collection import Collection
from holdback.species.catalogue import load

_PASTEL = bought("S", "Super Pastel", "male")
_MOJAVE = bought("M", "Super Mojave", "male")
_PLAIN = bought("D", "Normal", "female")


def _only(found: tuple[Conflict, ...], code: str) -> Conflict:
    assert [one.code for one in found] == [code]
    return found[0]


def _clutch(**values: object) -> Row:
    return {"id": "C1", "dam": "D", "laid": "2024-05-01", **values}


def _mating(sire: str, day: str) -> Row:
    return {"dam": "D", "sire": sire, "together": day, "apart": day}


def test_sound_records__have_no_conflict() -> None:
    rows = [bought("S", "Pastel", "male"), bought("D", "Clown", "female")]
    assert conflicts([*rows, *young(["Pastel het Clown", "het Clown", "het Clown"], sire="S", dam="D")]) == ()


def test_rare_but_ordinary_clutch__is_no_conflict() -> None:
    """All six of a het and a visual show it: one in 64, and nothing is wrong."""
    rows = [bought("S", "het Clown", "male"), bought("D", "Clown", "female")]
    assert conflicts([*rows, *young(["Clown"] * 6, sire="S", dam="D")]) == ()


def test_wrong_claim__by_hand() -> None:
    """Eight normal young of a "het" and a visual.

    Claim right .95, each young normal .5 (a visual is missed once in a hundred: .505); claim wrong .05, each young
    normal but for a look imagined (.999). Odds .95 x .505^8 : .05 x .999^8 = .00402 : .0496, P(wrong) .925; the unknown
    animal that carries Clown by chance moves it by less than .01. The parents may be wrong as well, each .01 before:
    weight of all that is right .95 x .505^8 + .0496 = .0536, of an unknown sire .0067 to .01 x nearly 1: a sixth each.
    """
    rows = [bought("S", "Clown", "male"), bought("D", "het Clown", "female")]
    found = _only(conflicts([*rows, *young(["het Clown"] * 8, sire="S", dam="D")]), "CNF-011")
    first = found.explanations[0]
    assert (first.kind, first.record, first.field) == (Kind.CLAIM, "animal D", "genes")
    as_recorded = 0.0536 / (0.0536 + 2 * 0.01 * 0.992)
    assert first.chance == pytest.approx(0.925 * as_recorded, abs=0.03)
    assert found.chance == pytest.approx(1.0 - as_recorded * 0.075, abs=0.02)


def test_wrong_look__one_normal_of_two_visuals() -> None:
    rows = [bought("S", "Clown", "male"), bought("D", "Clown", "female")]
    found = _only(conflicts([*rows, *young(["Clown"] * 5 + ["Normal"], sire="S", dam="D")]), "CNF-010")
    first = found.explanations[0]
    assert (first.kind, first.record, first.instead) == (Kind.LOOK, "animal K5", "Clown")


def test_wrong_sire__put_to_the_dam_that_season() -> None:
    matings = [_mating("M", "2024-01-01"), _mating("S", "2024-02-01")]
    rows = [bought("S", "Normal", "male"), _MOJAVE, _PLAIN, *young(["Mojave"] * 3, sire="S", dam="D", clutch="C1")]
    found = _only(conflicts(rows, clutches=[_clutch(sires="S")], matings=matings), "CNF-020")
    first = found.explanations[0]
    assert (first.kind, first.record, first.field, first.instead) == (Kind.SIRE, "clutch C1", "sires", "M")
    assert "K0, K1 and K2" in found.message


def test_stored_sperm__male_of_the_season_before() -> None:
    matings = [_mating("M", "2023-02-01"), _mating("S", "2024-02-01")]
    rows = [bought("S", "Pastel", "male"), _MOJAVE, _PLAIN, *young(["Mojave"] * 3, sire="S", dam="D", clutch="C1")]
    found = _only(conflicts(rows, clutches=[_clutch(sires="S")], matings=matings), "CNF-020")
    assert (found.explanations[0].kind, found.explanations[0].instead) == (Kind.STORED, "M")


def test_two_sires__each_explains_half() -> None:
    matings = [_mating("M", "2024-01-01"), _mating("S", "2024-02-01")]
    rows = [_PASTEL, _MOJAVE, _PLAIN, *young(["Mojave"] * 3 + ["Pastel"] * 3, sire="S", dam="D", clutch="C1")]
    found = _only(conflicts(rows, clutches=[_clutch(sires="S")], matings=matings), "CNF-020")
    assert (found.explanations[0].kind, found.explanations[0].instead) == (Kind.TWO_SIRES, "M")


def _alone(sex: str) -> tuple[Conflict, ...]:
    rows = [bought("S", "Super Enchi", "male"), bought("D", "Pastel", "female")]
    rows += [row | {"sex": sex} for row in young(["Super Pastel", "Normal"], sire="S", dam="D", clutch="C1")]
    return conflicts(rows, clutches=[_clutch(sires="S")])


def test_no_sire__all_female_and_nothing_of_the_male() -> None:
    """Super Pastel and normal of a one-copy dam: (1 - y)/2 each without a sire, y = .3; no male gives that easily."""
    first = _only(_alone("female"), "CNF-020").explanations[0]
    assert (first.kind, first.instead) == (Kind.NO_SIRE, "none")


def test_no_sire__is_hardly_possible_for_males() -> None:
    assert all(each.kind is not Kind.NO_SIRE for one in _alone("male") for each in one.explanations)


def test_wrong_dam__one_that_laid_at_the_time() -> None:
    rows = [bought("S", "Normal", "male"), bought("D", "Super Pastel", "female"), bought("E", "Super Mojave", "female")]
    rows += young(["Mojave"] * 4, sire="S", dam="D", clutch="C1")
    rows += young(["Mojave"], sire="S", dam="E", clutch="C2", name="L")
    clutches = [_clutch(sires="S"), {"id": "C2", "dam": "E", "sires": "S"}]
    first = _only(conflicts(rows, clutches=clutches), "CNF-020").explanations[0]
    assert (first.kind, first.field, first.instead) == (Kind.DAM, "dam", "E")


def test_swapped_id__names_the_clutch_that_fits() -> None:
    rows = [_PASTEL, _MOJAVE, _PLAIN, bought("E", "Normal", "female")]
    rows += young(["Pastel"] * 4 + ["Mojave"], sire="S", dam="D", clutch="C1")
    rows += young(["Mojave"] * 4, sire="M", dam="E", clutch="C2", name="L")
    clutches = [_clutch(sires="S"), {"id": "C2", "dam": "E", "sires": "M"}]
    found = _only(conflicts(rows, clutches=clutches), "CNF-020")
    first = found.explanations[0]
    assert (first.kind, first.record, first.instead) == (Kind.SWAP, "animal K4", "C2")
    assert found.animals[0] == "K4"


def test_wrong_sex__of_a_young_with_the_daughters_gene() -> None:
    """Ten young of a female maker, Banana in all daughters and in no son, and then one Banana "male"."""
    genes = ["Banana"] * 5 + ["Normal"] * 5 + ["Banana"]
    rows = young(genes, sire="S", dam="D")
    sexes = ["female"] * 5 + ["male"] * 6
    rows = [row | {"sex": sex} for row, sex in zip(rows, sexes, strict=True)]
    found = _only(conflicts([bought("S", "Banana FM", "male"), _PLAIN, *rows]), "CNF-012")
    assert found.animals == ("K10",)
    assert 0.02 < found.chance < 0.9, "far above sexing error, far from certain"


def test_open_sire__found_by_the_young() -> None:
    rows = [_PASTEL, _MOJAVE, _PLAIN, *young(["Mojave"] * 4, sire="", dam="D", clutch="C1")]
    assert _only(conflicts(rows, clutches=[_clutch()]), "CNF-022").explanations[0].instead == "M"


def test_doubtful_sire__settled_by_the_young() -> None:
    rows = [_PASTEL, _MOJAVE, _PLAIN, *young(["Mojave"] * 4, sire="S:0.6|M:0.4", dam="D", clutch="C1")]
    assert _only(conflicts(rows, clutches=[_clutch(sires="S:0.6|M:0.4")]), "CNF-021").explanations[0].instead == "M"


@pytest.mark.parametrize(
    "genes, code",
    [
        ("Mojave Lesser Phantom", "CNF-001"),
        ("het Pastel", "CNF-002"),
        ("Clown het Clown", "CNF-003"),
        ("Super Spider", "CNF-004"),
    ],
)
def test_text_against_itself(genes: str, code: str) -> None:
    assert _only(conflicts([bought("A", genes)]), code).animals == ("A",)


def test_visual_and_statement_of_het__contradict() -> None:
    claim = {"animal": "A", "gene": "Clown", "kind": "claimed", "none": 0, "one": 1, "two": 0, "trust": 0.9}
    found = conflicts([bought("A", "Clown")], statements=[claim])
    assert "CNF-003" in [one.code for one in found]


def test_dead_animal__may_have_a_lethal_pair() -> None:
    assert conflicts([bought("A", "Super Spider") | {"status": "died in egg"}]) == ()


def test_percent_under_a_visual() -> None:
    rows = [bought("S", "Normal", "male"), bought("D", "Clown", "female")]
    found = _only(conflicts([*rows, *young(["50% het Clown"], sire="S", dam="D")]), "CNF-030")
    assert "50% het Clown" in found.message


def test_percent_far_off__says_both_numbers() -> None:
    """A "het" mother, trusted 95 %: her young 47.5 %, a little more by chance from the sire; written 66 %."""
    rows = [bought("S", "Normal", "male"), bought("D", "het Clown", "female")]
    found = _only(conflicts([*rows, *young(["66% het Clown"], sire="S", dam="D")]), "CNF-031")
    assert "66% het Clown" in found.message
    assert "48 %" in found.message
    assert found.chance == pytest.approx(0.6667 - 0.475, abs=0.01)


def test_percent_that_the_parents_give__is_no_conflict() -> None:
    rows = [bought("S", "Normal", "male"), bought("D", "het Clown", "female")]
    assert conflicts([*rows, *young(["50% het Clown"], sire="S", dam="D")]) == ()


def test_percent_of_another_dam__points_to_her() -> None:
    """Written 50 % het of a gene that neither recorded parent has on record; the other female of that week has it."""
    rows = [bought("S", "Normal", "male"), _PLAIN, bought("E", "het Clown", "female")]
    rows += young(["50% het Clown"], sire="S", dam="D", clutch="C1")
    rows += young(["50% het Clown"] * 3, sire="S", dam="E", clutch="C2", name="L")
    clutches = [_clutch(sires="S"), {"id": "C2", "dam": "E", "sires": "S"}]
    first = _only(conflicts(rows, clutches=clutches), "CNF-020").explanations[0]
    assert (first.kind, first.instead) == (Kind.DAM, "E")


def test_tally__counts_what_is_left_out() -> None:
    rows = [bought("S", "Normal", "male"), _PLAIN, *young(["Normal"] * 2, sire="S", dam="D", clutch="C1")]
    clutch = _clutch(sires="S", eggs=6, slugs=1, hatched="2024-07-01")
    eggs = [{"clutch": "C1", "egg": "1", "outcome": "died"}]
    assert "leave 2 out" in _only(conflicts(rows, clutches=[clutch], eggs=eggs), "CNF-040").message
    assert conflicts(rows, clutches=[clutch | {"eggs": 4}], eggs=eggs) == ()


def test_tally__counts_a_young_that_died_in_the_egg_once() -> None:
    rows = [bought("S", "Normal", "male"), _PLAIN, *young(["Normal"] * 2, sire="S", dam="D", clutch="C1")]
    rows.append({"id": "X", "genes": "Normal", "sire": "S", "dam": "D", "clutch": "C1", "status": "died in egg"})
    clutch = _clutch(sires="S", eggs=6, slugs=1, hatched="2024-07-01")
    eggs = [{"clutch": "C1", "egg": "1", "outcome": "died", "animal": "X"}]
    message = _only(conflicts(rows, clutches=[clutch], eggs=eggs), "CNF-040").message
    assert "1 dead in the egg and 2 young on record leave 2 out" in message


def test_rivals__weights_are_prior_times_likelihood() -> None:
    """A visual dam, a visual male M, a sire S of plain look, one young that shows Clown.

    The weights of the rivals against the records as they are: M has prior .01 x 1/3 (one male of weight 1 beside an
    unknown one of weight 2).
    """
    rows = [bought("S", "Normal", "male"), bought("M", "Clown", "male"), bought("D", "Clown", "female")]
    collection, beliefs = believed([*rows, *young(["Clown"], sire="S", dam="D")])
    breeders = Breeders(collection, load(), beliefs.family)
    brood = beliefs.family.broods[0]
    priors = {one.animal: one.prior for one in breeders.rivals(brood, is_sire=True)}
    assert priors == pytest.approx({"M": 0.01 / 3, "?": 0.02 / 3})
    rivalry = Weighing(beliefs, breeders, Screen(beliefs, breeders)).rivalry(brood)
    assert rivalry.as_recorded + sum(map(rivalry.chance, rivalry.hypotheses)) == pytest.approx(1.0)
    odds = {(one.kind, one.animal): rivalry.chance(one) / rivalry.as_recorded for one in rivalry.hypotheses}
    unknown, male = odds[Kind.SIRE, "?"] / priors["?"], odds[Kind.SIRE, "M"] / priors["M"]
    assert unknown == pytest.approx(1.0, abs=0.1), "S of plain look carries it about as often as anybody"
    assert male > 50.0


def test_order_of_animals__changes_nothing() -> None:
    rows = [_PASTEL, _MOJAVE, _PLAIN, *young(["Mojave"] * 3, sire="S", dam="D", clutch="C1")]
    first = conflicts(rows, clutches=[_clutch(sires="S")])
    second = conflicts(rows[:3][::-1] + rows[3:], clutches=[_clutch(sires="S")])
    assert [one.message for one in first] == [one.message for one in second]
    assert [one.chance for one in first] == pytest.approx([one.chance for one in second])


def test_score__counts_found_answered_and_false_alarms() -> None:
    matings = [_mating("M", "2024-01-01"), _mating("S", "2024-02-01")]
    rows = [bought("S", "Normal", "male"), _MOJAVE, _PLAIN, *young(["Mojave"] * 3, sire="S", dam="D", clutch="C1")]
    tables = {"animals": rows, "clutches": [_clutch(sires="S")], "matings": matings}
    collection = Collection.from_frames(tables)
    truth = [WrongRecord("C1", "sires", "M"), WrongRecord("D", "genes", "")]
    found = score(collection, truth)
    assert found.answered == found.found == (truth[0],)
    assert found.missed == (truth[1],)
    assert (found.told, found.false_alarms) == (1, ())
    assert len(score(collection, []).false_alarms) == 1


def test_memory__of_the_caller_is_used() -> None:
    collection, beliefs = believed([_PASTEL, _MOJAVE, _PLAIN, *young(["Mojave"] * 2, sire="S", dam="D")])
    assert conflicts_of(collection, load(), beliefs, memory=beliefs.memory) == conflicts_of(collection, load(), beliefs)
