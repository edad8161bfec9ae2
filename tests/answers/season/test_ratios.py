"""What came out of clutches beside what was foretold, without the young as their own witnesses."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

import holdback
from holdback.answers import Answers
from holdback.answers.season import Season
from holdback.answers.season.before_young import beliefs_before, brood_of_clutch
from holdback.answers.season.look_table import NEXT_OF_KIN
from holdback.answers.season.ratios import GeneRatio, clutch_ratio, clutch_ratios, gene_ratios
from holdback.collection.collection import Collection
from holdback.descent.family import Brood
from holdback.species.catalogue import load

CATALOGUE = load()

SIRES = {"S": "Clown", "T": "Pastel", "N": "normal"}
DAMS = {"H": "het Clown", "P": "66% het Clown", "M": "normal", "L": "Pastel"}


def answers(
    sires: str, dam: str, young: Sequence[str | dict[str, str]], *, n_eggs: int = 0, slugs: int = 0, **more: Any
) -> Answers:
    """One clutch "K" of invented animals; a young is its genes, or columns of its row."""
    rows: list[dict[str, Any]] = [{"id": key, "sex": "male", "genes": genes} for key, genes in SIRES.items()]
    rows += [{"id": key, "sex": "female", "genes": genes} for key, genes in DAMS.items()]
    for number, one in enumerate(young):
        columns = {"genes": one} if isinstance(one, str) else one
        rows.append({"id": f"K-{number}", "clutch": "K", "sire": sires, "dam": dam, **columns})
    clutch = {"id": "K", "dam": dam, "sires": sires, "laid": "2024-04-01", "eggs": n_eggs or len(young), "slugs": slugs}
    tables = {"animals": [*rows, *more.pop("animals", [])], "clutches": [clutch, *more.pop("clutches", [])], **more}
    return Answers(Collection.from_frames(tables), CATALOGUE)


def gene(found: Sequence[GeneRatio], name: str) -> GeneRatio:
    return next(one for one in found if one.gene == name)


def test_clutch_ratio__visual_by_het_is_a_binomial() -> None:
    found = clutch_ratio(answers("S", "H", ["Clown"] * 6 + ["normal"], n_eggs=8), "K")
    assert found is not None
    assert {one.look: one.came for one in found.looks if one.came} == {"Clown": 6, "normal": 1}
    # she is het in 95 of 100 by her claim: 6, 1 and 7 Clowns are as unlikely or more, none at all is not; by hand
    assert found.p_value == pytest.approx(0.95 * (7 + 7 + 1) / 2**7, abs=1e-3)
    assert (found.n, found.unseen) == (7, 1)
    assert "1 egg has no look on record" in found.said


def test_gene_ratios__visual_by_het() -> None:
    found = gene(gene_ratios(answers("S", "H", ["Clown"] * 6 + ["normal"]), "K"), "Clown")
    assert (found.n, found.k) == (7, 6)
    assert found.chance == pytest.approx(0.5, abs=0.03)
    assert found.test.p_value == pytest.approx(0.95 * (7 + 7 + 1) / 2**7, abs=1e-3)


def test_clutch_ratio__nothing_to_hold_it_against() -> None:
    assert clutch_ratio(answers("S", "H", ["", ""]), "K") is None
    assert clutch_ratio(answers("", "H", ["Clown"]), "K") is None
    assert clutch_ratio(answers("S", "", ["Clown"]), "K") is None
    assert clutch_ratio(answers("S", "H", []), "K") is None
    assert gene_ratios(answers("S", "H", []), "K") == ()


def test_gene_ratios__the_young_are_no_witnesses_of_their_own_odds() -> None:
    found = answers("S", "P", ["Clown"] * 3 + ["normal"] * 3)
    assert found.beliefs.copies("P", "clown", "clown")[1] > 0.999, "her young prove her"
    # two in three by her claim, which is trusted to 95 in 100; half of her young show it then
    clown = gene(gene_ratios(found, "K"), "Clown")
    assert clown.chance == pytest.approx(0.95 * 2 / 3 / 2, abs=1e-3)


def test_gene_ratios__grandchildren_are_no_witnesses_either() -> None:
    bred = [
        {"id": f"G-{number}", "sire": "S", "dam": "K-0", "hatched": "2027-07-01", "genes": "Clown"} for number in (1, 2)
    ]
    found = answers("N", "P", [{"genes": "normal", "sex": "female"}], animals=bred)
    assert found.beliefs.copies("P", "clown", "clown")[1] > 0.9
    assert beliefs_before(found, brood(found)).copies("P", "clown", "clown")[1] == pytest.approx(0.95 * 2 / 3, abs=2e-3)


def test_gene_ratios__other_clutches_are_witnesses() -> None:
    other = [{"id": "Y-1", "sire": "S", "dam": "P", "clutch": "R", "genes": "Clown"}]
    clown = gene(gene_ratios(answers("S", "P", ["normal"] * 3, animals=other, clutches=[{"id": "R"}]), "K"), "Clown")
    assert clown.chance == pytest.approx(0.5, abs=1e-3)


def brood(found: Answers) -> Brood:
    one = brood_of_clutch(found, "K")
    assert one is not None
    return one


# Spiders that have two copies die in the egg: that the young lived is what they tell without a word.
def test_beliefs_before__as_if_the_young_were_not_on_record() -> None:
    young = ["Spider", "Spider", "normal", "Spider Clown"]
    spiders = [{"id": "A", "sex": "male", "genes": "Spider"}, {"id": "B", "sex": "female", "genes": "poss Spider"}]
    more = [{"id": "C", "sire": "A", "dam": "B", "genes": "Spider het Clown"}, {"id": "E", "genes": "Clown"}]
    whole = answers("A", "B", young, animals=[*spiders, *more])
    bare = answers("A", "B", [], animals=[*spiders, *more])
    without = beliefs_before(whole, brood(whole))
    for animal in ("A", "B", "C"):
        for locus in ("spider", "clown"):
            assert without.at(animal, locus) == pytest.approx(bare.beliefs.at(animal, locus), abs=1e-9)
    assert whole.beliefs.at("B", "spider") != pytest.approx(bare.beliefs.at("B", "spider"), abs=1e-3)


# By hand: none with 0.7 + 0.3 / 64, then 0.3 times the binomial law of 6 and 1/2; the mean of both would be another.
def test_gene_ratios__doubtful_sire_is_a_mixture() -> None:
    pastel = gene(gene_ratios(answers("N:0.7|T:0.3", "M", ["Pastel"] * 2 + ["normal"] * 4), "K"), "Pastel")
    law = [0.7 + 0.3 / 64, *(0.3 * one / 64 for one in (6, 15, 20, 15, 6, 1))]
    assert pastel.test.p_value == pytest.approx(sum(one for one in law if one <= law[2]), abs=2e-3)
    whole = clutch_ratio(answers("N:0.7|T:0.3", "M", ["Pastel"] * 2 + ["normal"] * 4), "K")
    assert whole is not None
    assert whole.p_value == pytest.approx(pastel.test.p_value, abs=2e-3)


def test_clutch_ratio__a_male_that_is_not_on_record() -> None:
    assert clutch_ratio(answers("N:0.4", "M", ["Pastel"] * 3), "K") is None, "he is more likely not on record"
    found = clutch_ratio(answers("N:0.9", "M", ["Pastel"] * 3), "K")
    assert found is not None
    assert 0 < found.p_value < 0.05, "the other male may have it, which is not likely"


# Terminal fusion: of a dam with two alleles 0.3 have both, 0.35 two of either; by hand.
def test_clutch_ratio__without_a_sire() -> None:
    found = clutch_ratio(answers("none", "L", ["Super Pastel", "normal"]), "K")
    assert found is not None
    assert {one.look: one.foretold for one in found.looks} == pytest.approx(
        {"Super Pastel": 0.35, "Pastel": 0.3, "normal": 0.35}, abs=2e-3
    )


def test_clutch_ratio__what_cannot_be() -> None:
    found = clutch_ratio(answers("N", "M", ["Clown"] * 3 + ["normal"]), "K")
    assert found is not None
    assert found.p_value < 1e-4
    assert found.said.startswith("3 of 4 Clown or another rare look, where about 0 were foretold")
    assert "Look at the records" in found.said


# A male with the gene on his Y hands it to nearly all sons and to few daughters.
@pytest.mark.parametrize("sons, daughters, fits", [("Banana", "normal", True), ("normal", "Banana", False)])
def test_gene_ratios__by_sex(sons: str, daughters: str, fits: bool) -> None:
    young = [{"genes": sons, "sex": "male"}] * 4 + [{"genes": daughters, "sex": "female"}] * 4
    sire = {"id": "Y", "sex": "male", "genes": "Banana (male maker)"}
    found = answers("Y", "M", young, animals=[sire])
    banana = gene(gene_ratios(found, "K"), "Banana")
    whole = clutch_ratio(found, "K")
    assert whole is not None
    assert (banana.n, banana.k) == (8, 4)
    assert banana.chance == pytest.approx(0.5, abs=0.02)
    assert (banana.test.p_value > 0.3) is fits
    assert (whole.p_value > 0.3) is fits
    assert {one.look for one in whole.looks if one.came} == {f"male {sons}", f"female {daughters}"}
    unsexed = clutch_ratio(answers("Y", "M", [{"genes": one["genes"]} for one in young], animals=[sire]), "K")
    assert unsexed is not None
    assert unsexed.p_value > 0.3


def test_ratios__a_gene_that_is_hard_to_see_is_left_out() -> None:
    yellow = {"id": "Y", "sex": "male", "genes": "Yellow Belly Pastel"}
    found = clutch_ratios(
        answers("Y", "M", ["Yellow Belly", "Pastel", "Yellow Belly Pastel", "normal"], animals=[yellow]), "K"
    )
    assert found is not None
    assert [one.gene for one in found.genes] == ["Pastel"]
    assert {one.look: one.came for one in found.whole.looks if one.came} == {"Pastel": 2, "normal": 2}
    assert "Yellow Belly" in found.whole.said


def test_ratios__a_gene_that_is_not_told_of_all_is_left_out_of_whole_looks() -> None:
    seen = [{"animal": "K-0", "gene": "clown", "kind": "seen", "none": 0, "one": 0, "two": 1}]
    sire = {"id": "Y", "sex": "male", "genes": "Clown Pastel"}
    found = clutch_ratios(answers("Y", "H", ["", "Pastel", "Clown"], animals=[sire], statements=seen), "K")
    assert found is not None
    assert (gene(found.genes, "Clown").n, gene(found.genes, "Pastel").n) == (3, 2)
    assert (found.whole.n, found.whole.unseen) == (3, 0)
    assert "left out: Pastel" in found.whole.said


# Two Spiders: a quarter of the eggs die of two copies. Where all were looked at, 3 in 4 of them show it; where not all
# were, 2 in 3 of those that hatched.
def test_ratios__eggs_that_die_of_their_genes() -> None:
    parents = [{"id": "A", "sex": "male", "genes": "Spider"}, {"id": "B", "sex": "female", "genes": "Spider"}]
    young: list[str | dict[str, str]] = ["Spider", "Spider", "normal", {"genes": "Spider", "status": "died in egg"}]
    last = {"clutch": "K", "egg": "4", "outcome": "died", "animal": "K-3"}
    all_seen = answers("A", "B", young, animals=parents, eggs=[last])
    spider = gene(gene_ratios(all_seen, "K"), "Spider")
    assert (spider.n, spider.k) == (4, 3)
    assert spider.chance == pytest.approx(0.75, abs=5e-3)
    some_seen = answers("A", "B", young, n_eggs=6, animals=parents, eggs=[last])
    spider = gene(gene_ratios(some_seen, "K"), "Spider")
    assert (spider.n, spider.k) == (3, 2)
    assert spider.chance == pytest.approx(2 / 3, abs=5e-3)


def test_ratios__slugs_are_no_young() -> None:
    found = answers("S", "H", ["Clown"] * 2, n_eggs=5, slugs=1, eggs=[{"clutch": "K", "egg": "s", "outcome": "slug"}])
    whole = clutch_ratio(found, "K")
    assert whole is not None
    assert (whole.n, whole.unseen) == (2, 2)


def test_ratios__of_a_large_pedigree_the_next_of_kin(monkeypatch: pytest.MonkeyPatch) -> None:
    mother = [
        {"id": "V", "sex": "female", "genes": "Clown"},
        {"id": "D", "sex": "female", "dam": "V", "sire": "N", "genes": "normal"},
        {"id": "Z", "dam": "D", "sire": "T", "genes": "Pastel"},
    ]
    found = answers("S", "D", ["Clown"] * 3 + ["normal"], animals=mother)
    whole = clutch_ratio(found, "K")
    monkeypatch.setattr("holdback.answers.season.before_young.MOST_ANIMALS", 1)
    near = clutch_ratio(found, "K")
    assert whole is not None
    assert near is not None
    assert near.p_value == pytest.approx(whole.p_value, abs=1e-9)
    assert NEXT_OF_KIN in near.said
    assert NEXT_OF_KIN not in whole.said


def test_statistics__count_looks_where_odds_are_known() -> None:
    found = answers("S", "H", ["Clown"] * 6 + ["normal"])
    on = dt.date(2026, 5, 14)
    assert found.season(on).statistics.looks["Clown"].p_value == pytest.approx(0.95 * 15 / 2**7, abs=0.01)
    assert Season(found.collection, found.catalogue, on=on).statistics.looks == {}


# The demo knows what was written wrong: the sire of 24-03 and the line of the Axanthic that the dam of 23-03 carries.
def test_clutch_ratio__demo_finds_the_wrong_records_and_no_others() -> None:
    folder = Path(holdback.__file__).parent / "demo_data" / "collection"
    demo = Answers(Collection.from_folder(folder), CATALOGUE)
    p_values = {one: found.p_value for one in demo.collection.clutches if (found := clutch_ratio(demo, one))}
    assert len(p_values) > 20
    assert {one for one, p_value in p_values.items() if p_value < 0.001} == {"24-03"}
    assert {one for one, p_value in p_values.items() if p_value < 0.01} <= {"24-03", "23-03"}


# Lesser by Mojave: a quarter is white, and of a white young nothing else is seen; by hand.
def test_ratios__a_look_that_hides_all_others() -> None:
    parents = [
        {"id": "A", "sex": "male", "genes": "Lesser Pastel"},
        {"id": "B", "sex": "female", "genes": "Mojave"},
    ]
    young = ["Blue-eyed Lucy", "Blue-eyed Lucy", "Lesser Pastel", "Mojave", "Pastel"]
    found = clutch_ratios(answers("A", "B", young, animals=parents), "K")
    assert found is not None
    looks = {one.look: one.foretold for one in found.whole.looks}
    assert looks.pop("Blue-eyed Lucy") == pytest.approx(1 / 4, abs=2e-3)
    six = {name: looks[name] for name in ("Lesser", "Lesser Pastel", "Mojave", "Mojave Pastel", "Pastel", "normal")}
    assert six == pytest.approx(dict.fromkeys(six, 1 / 8), abs=2e-3)
    pastel = gene(found.genes, "Pastel")
    assert (pastel.n, pastel.k) == (3, 2)
    assert pastel.chance == pytest.approx(0.5, abs=1e-3)
    assert found.whole.n == 5


def test_ratios__of_entangled_next_of_kin_the_parents_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    other = [{"id": "Y-1", "sire": "S", "dam": "P", "clutch": "R", "genes": "Clown"}]
    found = answers("S", "P", ["normal"] * 3, animals=other, clutches=[{"id": "R"}])
    monkeypatch.setattr("holdback.answers.season.before_young.MOST_ANIMALS", 1)
    monkeypatch.setattr("holdback.heredity.beliefs.inference.MOST_ENTRIES", 8)
    clown = gene(gene_ratios(found, "K"), "Clown")
    assert clown.chance == pytest.approx(0.95 * 2 / 3 / 2, abs=1e-3), "her other young is no witness here"


def test_ratios__states_and_looks_beyond_the_limits_are_averaged(monkeypatch: pytest.MonkeyPatch) -> None:
    young = ["Pastel", "Clown", "normal", "normal"]
    found = answers("T:0.6|S:0.4", "P", young)
    every = clutch_ratios(found, "K")
    assert every is not None
    monkeypatch.setattr("holdback.answers.season.gene_chances.MOST_STATES", 2)
    monkeypatch.setattr("holdback.answers.season.look_table.MOST_STATES", 1)
    monkeypatch.setattr("holdback.answers.season.whole_looks.MOST_ON_THE_WAY", 1)
    few = clutch_ratios(found, "K")
    assert few is not None
    assert [one.chance for one in few.genes] == pytest.approx([one.chance for one in every.genes], abs=1e-9)
    mean = {one.look: one.foretold for one in every.whole.looks}
    kept = {one.look: one.foretold for one in few.whole.looks if one.came}
    assert kept.keys() >= {"Pastel", "Clown", "normal"}
    assert kept == pytest.approx({look: mean[look] for look in kept}, abs=1e-9)
    assert few.whole.p_value != pytest.approx(every.whole.p_value, abs=1e-3), "a mean state is another thing"
