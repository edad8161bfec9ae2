"""Relatedness and line share of a small collection, worked by hand."""

from __future__ import annotations

import dataclasses

import pytest

from holdback.answers import Answers
from holdback.answers.conflicts.conflict import Explanation, Kind
from holdback.answers.descent import LineShare
from holdback.answers.descent.as_json import everybody_as_json, pair_asked, shares_asked
from holdback.answers.descent.if_true import followed
from holdback.answers.descent.names import named, percent
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.errors import CollectionError, PedigreeError
from holdback.species.catalogue import load

ANIMALS: list[dict[str, object]] = [
    {"id": "M", "name": "Mortar", "sex": "male", "status": "breeder"},
    {"id": "Q", "sex": "female", "status": "breeder"},
    {"id": "X", "sex": "female", "status": "sold"},
    {"id": "T", "sex": "female", "sire": "M", "dam": "Q", "hatched": "2019", "status": "breeder"},
    {"id": "H", "sex": "male", "sire": "M", "dam": "X", "hatched": "2020", "status": "breeder"},
    {"id": "B", "sex": "male", "sire": "M", "dam": "T", "hatched": "2022", "status": "breeder"},
    {"id": "C", "sex": "female", "dam": "T", "hatched": "2023", "status": "holdback"},
]
LINES: list[dict[str, object]] = [
    {"animal": "M", "line": "Marrowfen", "share_low": 1, "share_high": 1, "ground": "Importer's paper"},
    {"animal": "Q", "line": "Marrowfen", "share_low": 0, "share_high": 0, "ground": "Ordinary stock"},
    {"animal": "B", "line": "Marrowfen", "share_low": 0.1, "share_high": 0.2, "ground": "Show table"},
]


def _answers(*, lines: list[dict[str, object]] | None = None, **tables: list[dict[str, object]]) -> Answers:
    frames = {"animals": ANIMALS, "lines": LINES if lines is None else lines, **tables}
    return Answers(Collection.from_frames(frames), load())


@pytest.fixture(scope="module")
def answers() -> Answers:
    return _answers()


def test_inbreeding__parent_with_young_costs_a_quarter(answers: Answers) -> None:
    descent = answers.descent
    assert descent.inbreeding_of("B") == 0.25
    assert descent.inbreeding_of("C") == 0.0
    (path,) = descent.paths("B").paths
    assert [descent.pedigree.ids[node] for node in path.chain] == ["M", "T"]
    assert descent.kinship(["B"], ["B", "T"]).tolist() == [[0.625, 0.375]]


def test_share__of_a_founder_is_claimed(answers: Answers) -> None:
    share = answers.descent.share("M", "Marrowfen")
    assert (share.mean, share.sd, share.basis, share.ground) == (1.0, 0.0, Basis.CLAIMED, "Importer's paper.")


def test_share__of_a_backcross_says_what_it_rests_on(answers: Answers) -> None:
    share = answers.descent.share("B", "Marrowfen")
    assert share.mean == pytest.approx(0.75)
    assert 0.02 < share.sd < 0.08
    assert share.low < 0.75 < share.high
    assert share.basis is Basis.BY_DESCENT
    assert "75\u00a0% of the ancestry is Mortar M" in share.ground
    assert share.unknown == 0.0
    assert (share.bound_low, share.bound_high) == (0.75, 0.75), "both founders are spoken of"


def test_share__counts_what_nobody_speaks_of(answers: Answers) -> None:
    half = answers.descent.share("H", "Marrowfen")
    assert (half.mean, half.unknown, half.off_record) == (0.5, 0.5, 0.0)
    assert (half.bound_low, half.bound_high) == (0.5, 1.0)
    assert "Of X" in half.ground
    young = answers.descent.share("C", "Marrowfen")
    assert (young.mean, young.unknown, young.off_record) == (0.25, 0.5, 0.5)
    assert "not on record" in young.ground


def test_young__backcrosses_cost_what_parents_cost(answers: Answers) -> None:
    found = answers.descent.young("H", "T")
    assert found.inbreeding == 0.125, "half sibs"
    assert found.common_ancestors() == (("M", 0.125),)
    assert found.shares[0].mean == pytest.approx(0.5)
    sire, dam = found.backcrosses
    assert (sire.parent, dam.parent) == ("H", "T")
    # young x H: (f_HH + f_TH) / 2 = (1/2 + 1/8) / 2
    assert sire.inbreeding == pytest.approx(0.3125)
    assert sire.shares[0].mean == pytest.approx(0.5)


def test_young__says_what_hangs_on_a_doubtful_sire() -> None:
    rows: list[dict[str, object]] = [
        *ANIMALS,
        {"id": "Y", "sex": "female", "sire": "H:0.8|O:0.2", "dam": "X"},
        {"id": "O", "sex": "male"},
    ]
    answers = _answers(animals=rows)
    found = answers.descent.young("H", "Y")
    by_sire = {one.sire: one.inbreeding for one in found.cases}
    # H with his daughter by an X that is his dam too, or with a half sib
    assert by_sire["H"] == pytest.approx(0.375)
    assert by_sire["O"] == pytest.approx(0.125)
    chances = {one.sire: one.chance for one in found.cases}
    assert found.inbreeding == pytest.approx(sum(chances[one] * by_sire[one] for one in by_sire))


def test_line__names_the_founder_that_hangs_on_one_animal(answers: Answers) -> None:
    report = answers.descent.line("Marrowfen")
    (founder,) = report.founders
    assert founder.animal == "M"
    assert set(founder.through) == {"T", "H", "B"}
    assert [one.animal for one in report.carriers] == ["M", "B", "H", "T", "C"]
    assert {year.year: year.mean for year in report.years} == {2019: 0.5, 2020: 0.5, 2022: 0.75, 2023: 0.25}
    (clash,) = report.clashes
    assert (clash.animal, clash.by_descent) == ("B", 0.75)


def test_line__pairs_stay_under_the_limit(answers: Answers) -> None:
    report = answers.descent.line("Marrowfen")
    pairs = {(one.sire, one.dam): one for one in report.pairs}
    assert all(one.inbreeding <= 0.125 for one in report.pairs)
    assert ("H", "T") in pairs
    assert report.blocked == 3, "M and B with T, B with C"
    assert pairs["H", "T"].grown == 2022


def test_line__without_a_carrier_says_nothing_of_left() -> None:
    rows = [{"animal": "X", "line": "Lost", "share_low": 1, "share_high": 1}]
    report = _answers(lines=rows).descent.line("Lost")
    assert [one.animal for one in report.carriers] == ["H"]
    gone = _answers(lines=[{"animal": "Q", "line": "None", "share_low": 0, "share_high": 0}]).descent.line("None")
    assert (len(gone.carriers), len(gone.founders), len(gone.pairs)) == (0, 0, 0)
    assert gone.genome_equivalents is None


def test_everybody__founders_of_those_that_are_here(answers: Answers) -> None:
    answer = everybody_as_json(answers)
    assert answer["animals"]["B"] == {"inbreeding": 0.25}
    assert sum(answer["founders"].values()) == pytest.approx(1.0)
    assert next(iter(answer["founders"])) == "M"


@pytest.mark.parametrize(
    "texts, error, code", [(["M"], PedigreeError, "PED-012"), (["M", "Nobody"], CollectionError, "BEL-001")]
)
def test_pair_asked__says_what_is_wrong(answers: Answers, texts: list[str], error: type[Exception], code: str) -> None:
    with pytest.raises(error, match=code):
        pair_asked(answers, texts)


@pytest.mark.parametrize("line, above, code", [("Marrowfern", None, "PED-011"), ("marrowfen", 1.5, "PED-013")])
def test_shares_asked__says_what_is_wrong(answers: Answers, line: str, above: float | None, code: str) -> None:
    with pytest.raises(PedigreeError, match=code):
        shares_asked(answers, [], line=line, above=above)


def test_descent__demo_finds_the_true_sire_of_a_doubtful_clutch() -> None:
    from holdback.demo_data import folder

    answers = Answers(Collection.from_folder(folder() / "collection"), load())
    pedigree = answers.descent.pedigree
    (node,) = [node for node in pedigree.candidates if pedigree.ids[node] == "?which sire of 22-03"] or [-1]
    if node >= 0:
        chances = {pedigree.ids[one]: chance for one, chance in pedigree.candidates[node]}
        assert chances["18-05"] > 0.99
    else:
        assert pedigree.ids[pedigree.parents[pedigree.index["22-12"], 0]] == "18-05"


def test_kin__of_an_animal_with_itself_is_not_the_inbreeding_of_young_without_a_sire(answers: Answers) -> None:
    found = answers.descent.young("Q", "Q")
    assert found.kinship == 0.5
    assert found.inbreeding == pytest.approx(1.0 - answers.descent.pedigree.kept)
    assert found.as_json()["kinship"] == 0.5


def test_line_named__prefers_the_spelling_asked_for() -> None:
    claims: list[dict[str, object]] = [
        {"animal": "M", "line": one, "share_low": 1, "share_high": 1} for one in ("Amber", "amber")
    ]
    descent = _answers(lines=claims).descent
    assert [descent.line_named(one) for one in ("Amber", "amber")] == ["Amber", "amber"]


def test_line__a_founder_of_unknown_age_that_bred_is_grown() -> None:
    pairs = _answers().descent.line("Marrowfen").pairs
    with_founder = [one for one in pairs if "M" in (one.sire, one.dam)]
    assert with_founder
    assert all(one.grown is not None for one in with_founder)


def test_line__tells_a_claim_that_an_unknown_parent_would_have_to_bear_out() -> None:
    claims = [*LINES, {"animal": "C", "line": "Marrowfen", "share_low": 0.7, "share_high": 0.7, "ground": "Said so"}]
    clashes = {one.animal: one.by_descent for one in _answers(lines=claims).descent.line("Marrowfen").clashes}
    assert clashes == {"B": pytest.approx(0.75), "C": pytest.approx(0.25)}


def test_share__says_what_is_taken_where_no_claim_speaks() -> None:
    species = load()
    part = dataclasses.replace(species.records["line_unclaimed"], value=0.1)
    changed = dataclasses.replace(species, records={**species.records, "line_unclaimed": part})
    share = Answers(Collection.from_frames({"animals": ANIMALS, "lines": LINES}), changed).descent.share(
        "X", "Marrowfen"
    )
    assert share.mean == pytest.approx(0.1)
    assert share.ground.replace("\u00a0", " ") == "Nobody says anything of it; taken as 10 % of the line."


def test_line_doubts__a_sire_put_right_is_the_sire_whatever_was_told_of_the_doubtful_one() -> None:
    animals = [*ANIMALS, {"id": "Y", "sex": "male"}, {"id": "K", "dam": "Q", "clutch": "K1"}]
    clutches = [{"id": "K1", "dam": "Q", "sires": "M:0.5|Y:0.5"}]
    found = Answers(Collection.from_frames({"animals": animals, "lines": LINES, "clutches": clutches}), load())
    wrong = Explanation(Kind.SIRE, "X sired it.", 0.9, "Correct it.", "clutch K1", field="sires", instead="Y")
    (doubt,) = followed(found.descent, "Marrowfen", wrong)
    assert doubt.share_now == pytest.approx(0.25)
    assert doubt.share_then == 0.0


def test_shares__of_all_together_are_those_of_each_alone() -> None:
    animals: list[dict[str, object]] = [
        *ANIMALS,
        {"id": "K", "dam": "T", "clutch": "K1"},
        {"id": "L", "dam": "T", "clutch": "K1"},
        {"id": "N", "sex": "female", "sire": "none", "dam": "T"},
        {"id": "O", "sire": "K", "dam": "N"},
    ]
    lines = [*LINES, {"animal": "X", "line": "Marrowfen", "share_low": 0.25, "share_high": 1, "ground": "Said so"}]
    clutches: list[dict[str, object]] = [{"id": "K1", "dam": "T", "sires": "M:0.5|H:0.3"}]

    def asked(*names: str) -> dict[str, tuple[LineShare, ...]]:
        return shares_asked(_answers(animals=animals, lines=lines, clutches=clutches), names)

    together = asked()
    assert together["K"][0].distribution is together["L"][0].distribution
    for name, (share,) in together.items():
        ((alone,),) = asked(name).values()
        assert (share.animal, share.ground, share.basis) == (name, alone.ground, alone.basis)
        numbers = ("mean", "sd", "low", "high", "bound_low", "bound_high", "unknown", "off_record")
        assert [getattr(share, one) for one in numbers] == pytest.approx([getattr(alone, one) for one in numbers])


def test_line__finds_the_only_male_that_is_not_too_close_behind_many_that_are() -> None:
    brothers: list[dict[str, object]] = [{"id": f"S{n}", "sex": "male", "sire": "M", "dam": "Q"} for n in range(50)]
    animals: list[dict[str, object]] = [*ANIMALS[:4], *brothers, {"id": "U", "sex": "male"}]
    lines = [*LINES[:2], {"animal": "U", "line": "Marrowfen", "share_low": 0.25, "share_high": 0.25}]
    report = _answers(animals=animals, lines=lines).descent.line("Marrowfen")
    assert [(one.sire, one.dam, one.share) for one in report.pairs] == [("U", "T", 0.375)]
    assert report.blocked == 51


def test_named__nodes_that_are_no_animal(answers: Answers) -> None:
    names = [named(answers.collection, one) for one in ("M", "?which sire of C", "?sire of C", "?dam of C")]
    assert names == ["Mortar M", "the sire of C", "the unknown sire of C", "the unknown dam of C"]


def test_line_doubts__without_a_clutch_a_wrong_sire_is_that_of_all_clutch_mates() -> None:
    mates: list[dict[str, object]] = [
        {"id": one, "dam": "Q", "sire": "M", "hatched": "2021-07-01"} for one in ("K", "L")
    ]
    found = _answers(animals=[*ANIMALS, *mates, {"id": "Y", "sex": "male"}])
    wrong = Explanation(Kind.SIRE, "Y sired it.", 0.9, "Correct it.", "animal K", field="sires", instead="Y")
    (doubt,) = followed(found.descent, "Marrowfen", wrong)
    assert (doubt.young, doubt.share_then) == (("K", "L"), 0.0)


@pytest.mark.parametrize(
    "share, said", [(0.0, "0"), (0.03125, "3.1"), (0.1875, "18.75"), (0.6875, "69"), (0.625, "62.5"), (1.0, "100")]
)
def test_percent__as_the_trade_writes_it(share: float, said: str) -> None:
    assert percent(share) == f"{said}\u00a0%"


def test_line__an_old_breeder_without_a_date_is_grown(answers: Answers) -> None:
    rows = [*ANIMALS, {"id": "N", "sex": "female", "status": "breeder"}]
    lines = [*LINES, {"animal": "N", "line": "Marrowfen", "share_low": 1, "share_high": 1}]
    report = _answers(animals=rows, lines=lines).descent.line("Marrowfen")
    grown = {(one.sire, one.dam): one.grown for one in report.pairs}
    assert grown["M", "N"] is None, "she never bred, and her age is not known"


def test_line__says_how_narrow_it_ran(answers: Answers) -> None:
    report = answers.descent.line("Marrowfen")
    assert report.effective_ancestors is not None
    assert report.effective_founders is not None
    assert report.effective_ancestors >= 1.0
    assert report.effective_size.value == pytest.approx(4 * 1 * 1 / 2), "M and T have bred; Q is not of the line"
    assert report.generation.n == 0, "the only dated pairs are young that did not breed"
    assert report.as_json()["effective_size"] == pytest.approx(2.0)
