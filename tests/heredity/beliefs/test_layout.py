"""Nodes and switches of a family, and what must not matter: names, order, strangers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.heredity.beliefs.exact import exact_unit
from tests.heredity.beliefs.pedigrees import LOOPED, evidence_at, family_of, recessive, record
from tests.heredity.beliefs.random_families import Problem, problems

from holdback.collection.model import NO_SIRE, Candidate, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import Evidence, LocusEvidence
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.layout import Layout, Switch, flags_of

CLOSE = 1e-11


def _one_brood(*sires: Candidate, each_egg: bool = False, dam: str | None = "D") -> Layout:
    young = ("K1", "K2")
    named = [one.animal for one in sires if one.animal not in (UNKNOWN_SIRE, NO_SIRE)]
    names = (*named, "D", *young) if dam else (*named, *young)
    family = Family(dict.fromkeys(names, Sex.UNKNOWN), (Brood("C", dam, sires, young, each_egg),))
    return Layout(family, tuple(names))


def test_layout__young_without_young_are_folded() -> None:
    layout = Layout(family_of(LOOPED), tuple(LOOPED))
    assert layout.folded == {"X1", "H"}
    assert layout.breeders == set(LOOPED) - {"X1", "H"}
    assert layout.founders == ("S", "D1", "D2")
    assert set(layout.nodes) == set(LOOPED) - {"X1", "H"}


def test_layout__unfolded_young_are_nodes() -> None:
    layout = Layout(family_of(LOOPED), tuple(LOOPED), unfolded=frozenset({"H"}))
    assert layout.folded == {"X1"}
    assert "H" in layout.nodes


def test_layout__one_sire_is_the_node_itself() -> None:
    layout = _one_brood(Candidate("S"))
    assert layout.sire_of["K1"].node == "S"
    assert not layout.switches
    assert not layout.sire_of["K1"].is_virtual


def test_layout__two_sires_share_a_switch_for_the_clutch() -> None:
    layout = _one_brood(Candidate("S1", 0.7), Candidate("S2", 0.3))
    assert [switch.choices for switch in layout.switches] == [("S1", "S2")]
    assert layout.sire_of["K1"] == layout.sire_of["K2"]
    assert layout.sire_of["K1"].is_virtual


def test_layout__a_switch_for_each_egg() -> None:
    layout = _one_brood(Candidate("S1", 0.7), Candidate(UNKNOWN_SIRE, 0.3), each_egg=True)
    assert [switch.animal for switch in layout.switches] == ["K1", "K2"]
    assert len(layout.doubtful) == 2


def test_layout__an_unrecorded_dam_is_one_for_the_brood() -> None:
    layout = _one_brood(Candidate("S"), dam=None)
    assert layout.dam_of["K1"] == layout.dam_of["K2"] == "dam of C"
    assert "dam of C" in layout.founders


def test_layout__no_sire_for_certain_needs_no_node() -> None:
    layout = _one_brood(Candidate(NO_SIRE))
    assert layout.sire_of["K1"].node == ""
    assert list(layout.parents("K1")) == ["D"]


def test_layout__parents_after_their_young() -> None:
    layout = _one_brood(Candidate("S1", 0.7), Candidate("S2", 0.3))
    order = layout.youngest_first
    for name in order:
        assert all(order.index(name) < order.index(parent) for parent in layout.parents(name))


def test_sex_of__a_part_counts_more_than_a_record() -> None:
    family = family_of({"S": None, "D": None, "K": ("S", "D")}, {"S": Sex.FEMALE, "K": Sex.FEMALE})
    layout = Layout(family, ("S", "D", "K"))
    assert [layout.sex_of(name) for name in ("S", "D", "K")] == [Sex.MALE, Sex.FEMALE, Sex.FEMALE]


@pytest.mark.parametrize(
    "recorded, ratio",
    [
        ((Sex.FEMALE, Sex.FEMALE), (2 * 0.98) ** 2),
        ((Sex.FEMALE, Sex.MALE), 4 * 0.98 * 0.02),
        ((Sex.UNKNOWN, Sex.FEMALE), 2 * 0.98),
    ],
)
def test_prior__recorded_sexes_speak_for_and_against_no_sire(recorded: tuple[Sex, Sex], ratio: float) -> None:
    layout = _one_brood(Candidate("S", 0.9), Candidate(NO_SIRE, 0.1))
    sexes = {**layout.family.sexes, "K1": recorded[0], "K2": recorded[1]}
    layout = replace(layout, family=Family(sexes, layout.family.broods))
    weights = layout.prior(Evidence({}, sex_error=0.02))
    assert weights["choice of sire of C"] == pytest.approx((0.9, 0.1 * ratio))


def test_log_unsired__hypotheses_of_a_clutch_compare() -> None:
    """Two daughters on record: without a sire they are as likely as with one, times 1.96 each."""
    parents = {"S": Sex.MALE, "D": Sex.FEMALE, "K1": Sex.FEMALE, "K2": Sex.FEMALE}
    logs = []
    for sire in ("S", NO_SIRE):
        family = Family(parents, (Brood("C", "D", (Candidate(sire),), ("K1", "K2")),))
        logs.append(infer(family, evidence_at(recessive("a", 0.1), sex_error=0.02)).log_likelihood)
    assert logs[1] - logs[0] == pytest.approx(2 * 0.6729444732, abs=1e-9)


def test_infer__a_breeding_male_has_a_sire() -> None:
    """He cannot be of a clutch without one, in a species whose males are of the other sex."""
    family = Family(
        dict.fromkeys(("S", "D", "K", "E", "L"), Sex.UNKNOWN),
        (
            Brood("C", "D", (Candidate("S", 0.5), Candidate(NO_SIRE, 0.5)), ("K",)),
            Brood("N", "E", (Candidate("K"),), ("L",)),
        ),
    )
    found = infer(family, evidence_at(recessive("a", 0.1, [record("L", (0.1, 0.1, 0.9))]), sex_error=0.02))
    assert found.sires("C")[1].posterior < 1e-9


def test_flags_of__one_for_an_animal_and_a_hiding_locus() -> None:
    records = [record("K", (0.9, 0.9, 0.1), key=key, hidden_by="white") for key in ("one", "two")]
    evidence = evidence_at(recessive("a", 0.1, records), recessive("white", 0.1))
    assert [(flag.animal, flag.locus) for flag in flags_of(("K",), evidence)] == [("K", "white")]
    assert flags_of(("J",), evidence) == ()
    assert all(isinstance(flag, Switch) for flag in flags_of(("K",), evidence))


# --- what must not matter ---------------------------------------------------------------------------------------------


def _same(one: Beliefs, other: Beliefs, animal: str, named: str) -> None:
    for key in one.evidence.loci:
        assert one.at(animal, key) == pytest.approx(other.at(named, key), abs=CLOSE)


def _renamed(problem: Problem, names: dict[str, str]) -> Problem:
    """The same with other names, in the order of the names given."""
    family, evidence = problem.family, problem.evidence

    def brood(one: Brood) -> Brood:
        sires = tuple(Candidate(names.get(sire.animal, sire.animal), sire.weight) for sire in one.sires)
        young = tuple(names[young] for young in one.young)
        return replace(one, dam=names[one.dam] if one.dam else None, sires=sires, young=young)

    def locus(one: LocusEvidence) -> LocusEvidence:
        records = {
            names[animal]: tuple(replace(record, animal=names[animal]) for record in each)
            for animal, each in one.records.items()
        }
        return replace(one, records=records, maker={names[animal]: p for animal, p in one.maker.items()})

    return Problem(
        Family({new: family.sexes[old] for old, new in names.items()}, tuple(map(brood, family.broods[::-1]))),
        replace(
            evidence,
            loci={key: locus(one) for key, one in evidence.loci.items()},
            unborn=frozenset(names[animal] for animal in evidence.unborn),
        ),
    )


@settings(max_examples=40)
@given(problems(n_loci=2, n_alleles=3, linked=True), st.permutations(range(8)))
def test_infer__names_and_order_change_nothing(problem: Problem, places: list[int]) -> None:
    old = [name for _, name in sorted(zip(places, problem.family.sexes, strict=False))]
    names = {name: f"{number} {name}" for number, name in enumerate(old)}
    renamed = _renamed(problem, names)
    one, other = (infer(each.family, each.evidence) for each in (problem, renamed))
    assert one.log_likelihood == pytest.approx(other.log_likelihood, abs=1e-10)
    for animal, named in names.items():
        _same(one, other, animal, named)


@settings(max_examples=30)
@given(problems(n_loci=2), problems(n_loci=2))
def test_infer__strangers_change_nothing(problem: Problem, strangers: Problem) -> None:
    """Another family beside, whose loci have the same keys and frequencies."""
    others = _renamed(strangers, {name: f"{name}'" for name in strangers.family.sexes})
    broods = tuple(replace(brood, key=f"{brood.key}'") for brood in others.family.broods)
    loci = {
        key: replace(locus, records={**locus.records, **others.evidence.loci[key].records})
        for key, locus in problem.evidence.loci.items()
    }
    both = Family({**problem.family.sexes, **others.family.sexes}, problem.family.broods + broods)
    unborn = problem.evidence.unborn | others.evidence.unborn
    apart = infer(problem.family, problem.evidence)
    together = infer(both, replace(problem.evidence, loci=loci, unborn=unborn))
    for animal in problem.family.sexes:
        _same(apart, together, animal, animal)


@settings(max_examples=40)
@given(problems(n_alleles=3))
def test_withheld__everything_leaves_what_descent_alone_says(problem: Problem) -> None:
    (key,) = problem.evidence.loci
    locus = problem.evidence.loci[key]
    keys = {record.key for each in locus.records.values() for record in each}
    bare = infer(problem.family, replace(problem.evidence, loci={key: replace(locus, records={})}))
    found = infer(problem.family, problem.evidence)
    for animal in problem.family.sexes:
        parts, _ = exact_unit(found, animal).withheld(key, [keys])
        expected = exact_unit(bare, animal).part(key).posterior(animal)
        assert parts[0].posterior(animal) == pytest.approx(expected, abs=CLOSE)


@settings(max_examples=40)
@given(problems(n_loci=2, n_alleles=3, linked=True))
def test_infer__chances_sum_to_one(problem: Problem) -> None:
    found = infer(problem.family, problem.evidence)
    for animal in problem.family.sexes:
        for key in problem.evidence.loci:
            at = found.at(animal, key)
            assert sum(at.values()) == pytest.approx(1.0, abs=CLOSE)
            assert min(at.values()) >= 0.0
    for brood in problem.family.broods:
        assert sum(one.posterior for one in found.sires(brood.key)) == pytest.approx(1.0, abs=CLOSE)
