"""Crosses of parents that are known together, against the same cross over every pair of parents that they may be."""

from __future__ import annotations

import dataclasses
import math
from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.heredity.crosses.strategies import LOCI, crosses, joint_parents

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.errors import CrossError
from holdback.heredity.crosses import EggCount, Odds, WantOdds, odds, odds_joint, odds_mixture
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief, ParentsJoint, Wish
from holdback.species.model import WILD, Flag, Mark, Pair

MALE, FEMALE = GenotypeBelief(Sex.MALE), GenotypeBelief(Sex.FEMALE)
SIX = EggCount.fixed(6, 0.75)
AMBER: Pair = ("amber", "amber")
INDEPENDENT = "What one parent may carry is taken as independent of what the other may carry."


def het(locus: str) -> Pair:
    return (WILD, locus)


def alike(locus: str, chance: float) -> dict[tuple[Pair, Pair], float]:
    """Both parents carry one copy, or neither does."""
    return {(het(locus), het(locus)): chance, (WILD_PAIR, WILD_PAIR): 1.0 - chance}


def either(locus: str, chance: float) -> dict[tuple[Pair, Pair], float]:
    """Exactly one of the parents carries one copy."""
    return {(het(locus), WILD_PAIR): chance, (WILD_PAIR, het(locus)): 1.0 - chance}


def cross(species: Any, *scenarios: ParentsJoint, want: Wish | None = None) -> Odds:
    return odds_joint(scenarios, species, sire=MALE, dam=FEMALE, want=want, eggs=SIX, top=10_000)


def sure_pairs(scenarios: Sequence[ParentsJoint]) -> list[tuple[float, GenotypeBelief, GenotypeBelief]]:
    """Every pair of sure genotypes that the parents may be."""
    pairs = []
    for scenario in scenarios:
        for chosen in product(*(both.items() for both in scenario.loci.values())):
            weight = scenario.weight * math.prod(chance for _, chance in chosen)
            sides = [
                {locus: {both[side]: 1.0} for locus, (both, _) in zip(scenario.loci, chosen, strict=True)}
                for side in (0, 1)
            ]
            pairs.append(
                (
                    weight,
                    GenotypeBelief(Sex.MALE, sides[0], scenario.phase),
                    GenotypeBelief(Sex.FEMALE, sides[1], scenario.phase),
                )
            )
    return pairs


def looks(answer: Odds, value: str) -> dict[tuple[str, ...], float]:
    """Sum over the sexes of a value of each look."""
    found: dict[tuple[str, ...], float] = defaultdict(float)
    for outcome in answer.outcomes:
        found[tuple(sorted(outcome.looks))] += getattr(outcome, value)
    return found


def assert_same_wish(found: WantOdds | None, reference: WantOdds | None) -> None:
    assert found is not None
    assert reference is not None
    for value in ("per_egg", "per_hatchling", "at_least_one", "one_of_each_sex", "possible"):
        assert getattr(found, value) == pytest.approx(getattr(reference, value), abs=1e-12), value
    assert found.at_least == pytest.approx(reference.at_least, abs=1e-12)
    assert (found.eggs_for, found.clutches_for) == (reference.eggs_for, reference.clutches_for)
    assert found.eggs_for_each_sex == reference.eggs_for_each_sex


@settings(max_examples=100)
@given(joint_parents())
def test_odds_joint__equals_the_sum_over_sure_parents(small: Any, drawn: tuple[list[ParentsJoint], Wish]) -> None:
    scenarios, wish = drawn
    found = cross(small, *scenarios, want=wish)
    reference = odds_mixture(sure_pairs(scenarios), small, want=wish, eggs=SIX, top=10_000)
    for value in ("probability", "per_hatchling"):
        chances = {look: chance for look, chance in looks(reference, value).items() if chance > 0.0}
        assert {k: v for k, v in looks(found, value).items() if v > 0.0} == pytest.approx(chances, abs=1e-12)
    assert found.lost == pytest.approx(reference.lost, abs=1e-12)
    assert found.lost_after_hatching == pytest.approx(reference.lost_after_hatching, abs=1e-12)
    assert found.listed + found.unlisted + found.lost == pytest.approx(1.0, abs=1e-12)
    assert len(found.outcomes) <= found.n_looks <= reference.n_looks
    assert_same_wish(found.want, reference.want)


# with one allele beside the wild type a look tells the same of it whatever else the parents may be
@settings(max_examples=60)
@given(joint_parents([locus for locus in LOCI if locus not in ("white", "tyr")]))
def test_odds_joint__hidden_genes_equal_the_sum_over_sure_parents(
    small: Any, drawn: tuple[list[ParentsJoint], Wish]
) -> None:
    scenarios, _ = drawn
    reference = odds_mixture(sure_pairs(scenarios), small, eggs=SIX, top=10_000)
    found = cross(small, *scenarios)
    by_look = {(outcome.sex, outcome.keys): outcome for outcome in reference.outcomes}
    for outcome in found.outcomes if found.by_sex == reference.by_sex else ():
        hidden = {gene.allele: gene.two_copies for gene in outcome.hidden}
        expected = {gene.allele: gene.two_copies for gene in by_look[outcome.sex, outcome.keys].hidden}
        assert hidden == pytest.approx(expected, abs=1e-12)


@settings(max_examples=100)
@given(crosses(), st.sampled_from(("XY", "ZW")))
def test_odds_joint__of_independent_parents_is_odds(
    small: Any, drawn: tuple[GenotypeBelief, GenotypeBelief, Wish], system: str
) -> None:
    sire, dam, wish = drawn
    species = dataclasses.replace(small, sex_system=system)
    both = {
        locus: {(mine, hers): a * b for mine, a in sire.at(locus).items() for hers, b in dam.at(locus).items()}
        for locus in {**sire.loci, **dam.loci}
    }
    joint = ParentsJoint(1.0, both, (sire if system == "XY" else dam).phase)
    found = odds_joint([joint], species, sire=sire, dam=dam, want=wish, eggs=SIX, top=10_000)
    reference = odds(sire, dam, species, want=wish, eggs=SIX, top=10_000)
    assert (found.cautions, found.by_sex, found.n_looks) == (reference.cautions, reference.by_sex, reference.n_looks)
    assert set(reference.assumptions) - set(found.assumptions) <= {INDEPENDENT}
    assert set(found.assumptions) <= set(reference.assumptions) - {INDEPENDENT}
    expected = {(outcome.sex, outcome.keys): outcome for outcome in reference.outcomes}
    assert len(found.outcomes) == len(expected)
    for outcome in found.outcomes:
        other = expected[outcome.sex, outcome.keys]
        assert outcome.probability == pytest.approx(other.probability, abs=1e-12)
        assert outcome.per_hatchling == pytest.approx(other.per_hatchling, abs=1e-12)
        assert [(gene.allele, gene.rests_on) for gene in outcome.hidden] == [
            (gene.allele, gene.rests_on) for gene in other.hidden
        ]
        for gene, same in zip(outcome.hidden, other.hidden, strict=True):
            assert (gene.chance, gene.two_copies) == pytest.approx((same.chance, same.two_copies), abs=1e-12)
    assert_same_wish(found.want, reference.want)
    assert found.want is not None
    assert reference.want is not None
    assert found.want.either_or == reference.want.either_or
    assert [(fact.parent, fact.gene) for fact in found.want.turns_on] == [
        (fact.parent, fact.gene) for fact in reference.want.turns_on
    ]


def test_odds_joint__says_what_the_pair_turns_on(small: Any) -> None:
    """Each parent carries it in one of two cases, both together in one of two and not in one of four."""
    wish = Wish("Amber", {"amber": frozenset({AMBER})})
    found = cross(small, ParentsJoint(1.0, {"amber": alike("amber", 0.5)}), want=wish).want
    assert found is not None
    assert found.possible == 0.5
    assert [(fact.parent, fact.chance, fact.if_so) for fact in found.turns_on] == [
        ("sire", 0.5, 0.25),
        ("dam", 0.5, 0.25),
    ]
    assert found.either_or.endswith("if not, none will do. The parents can give it in 1 in 2 of the cases.")
    assert found.eggs_for["50"] is None


def test_odds_joint__facts_over_several_scenarios(small: Any) -> None:
    wish = Wish("Amber", {"amber": frozenset({AMBER})})
    scenarios = [
        ParentsJoint(0.4, {"amber": {(het("amber"), AMBER): 1.0}}),
        ParentsJoint(0.6, {"amber": either("amber", 0.5)}),
    ]
    found = cross(small, *scenarios, want=wish).want
    assert found is not None
    assert found.possible == pytest.approx(0.4)
    assert [fact.parent for fact in found.turns_on] == ["sire", "dam"]
    assert [fact.chance for fact in found.turns_on] == pytest.approx([0.7, 0.7])
    assert [fact.if_so for fact in found.turns_on] == pytest.approx([0.5, 0.5])


def test_odds_joint__a_pairing_caution_needs_both_at_once(small: Any) -> None:
    def said(*scenarios: ParentsJoint) -> list[str]:
        return [each.message for each in cross(small, *scenarios).cautions if each.code == "web-web"]

    assert said(ParentsJoint(1.0, {"web": either("web", 0.5)})) == []
    (together,) = said(ParentsJoint(1.0, {"web": alike("web", 0.5)}))
    assert "a chance of 1 in 2" in together
    (mixed,) = said(ParentsJoint(0.5, {"web": alike("web", 0.5)}), ParentsJoint(0.5, {"web": either("web", 0.5)}))
    assert "a chance of 1 in 4" in mixed
    assert cross(small, ParentsJoint(1.0, {"web": either("web", 0.5)})).lost == 0.0
    assert cross(small, ParentsJoint(1.0, {"web": alike("web", 0.5)})).lost == pytest.approx(0.125)


def test_odds_joint__two_copies_are_warned_of_only_where_they_can_come(
    build: Callable[..., Any], gene: Callable[..., Any]
) -> None:
    species = build(gene("Fern", flags=(Flag("eyes", 2, "Small eyes.", Mark.OWN),)))

    def codes(joint: dict[tuple[Pair, Pair], float]) -> set[str]:
        return {each.code for each in cross(species, ParentsJoint(1.0, {"fern": joint})).cautions}

    assert "welfare-eyes" not in codes(either("fern", 0.5))
    assert "welfare-eyes" in codes(alike("fern", 0.1))


def test_odds_joint__deadly_together_only_where_both_are_possible(small: Any) -> None:
    apart = [ParentsJoint(0.5, {"web": either("web", 0.5)}), ParentsJoint(0.5, {"foam": either("foam", 0.5)})]
    assert "harm-together" not in {each.code for each in cross(small, *apart).cautions}
    at_once = ParentsJoint(1.0, {"web": either("web", 0.5), "foam": either("foam", 0.5)})
    assert "harm-together" in {each.code for each in cross(small, at_once).cautions}


def test_odds_joint__each_caution_once(small: Any) -> None:
    scenarios = [
        ParentsJoint(0.5, {"foam": either("foam", 0.5), "amber": alike("amber", 0.5)}),
        ParentsJoint(0.5, {"glow": either("glow", 0.5)}, {"glow": 1.0}),
    ]
    codes = [each.code for each in cross(small, *scenarios).cautions]
    assert codes.count("claims") == 2  # one for each parent
    assert codes.count("hard-to-see") == codes.count("sex-linked") == codes.count("independent") == 1


def test_odds_joint__phase_is_weighed_over_scenarios(small: Any) -> None:
    """On the Y in one state and on the X in the other: which, nobody knows, and that is said."""
    glow = {(het("glow"), WILD_PAIR): 1.0}
    known = cross(small, ParentsJoint(1.0, {"glow": glow}, {"glow": 1.0}))
    assert {(look.sex, look.label): look.probability for look in known.outcomes}[Sex.MALE, "Glow"] == pytest.approx(
        0.45
    )
    assert "sex-link-phase" not in {each.code for each in known.cautions}
    unknown = cross(
        small, ParentsJoint(0.5, {"glow": glow}, {"glow": 1.0}), ParentsJoint(0.5, {"glow": glow}, {"glow": 0.0})
    )
    assert looks(unknown, "probability")["Glow",] == pytest.approx(0.5)
    assert "sex-link-phase" in {each.code for each in unknown.cautions}


def test_odds_joint__assumptions(small: Any) -> None:
    one = cross(small, ParentsJoint(1.0, {"amber": alike("amber", 0.5)}))
    assert not any("independent of what the other" in said for said in one.assumptions)
    two = cross(small, ParentsJoint(0.5, {"amber": alike("amber", 0.5)}), ParentsJoint(0.5))
    (more,) = set(two.assumptions) - set(one.assumptions)
    assert more == "Where a sire among the parents' kin is in doubt, his candidates are weighed."


def test_odds_joint__basis_comes_with_the_beliefs(small: Any) -> None:
    sire = dataclasses.replace(MALE, basis={"amber": Basis.BY_DESCENT})
    dam = dataclasses.replace(FEMALE, basis={"amber": Basis.BY_OFFSPRING})
    answer = odds_joint([ParentsJoint(1.0, {"amber": alike("amber", 0.5)})], small, sire=sire, dam=dam, eggs=SIX)
    normal = next(outcome for outcome in answer.outcomes if outcome.label == "normal")
    assert [gene.rests_on for gene in normal.hidden] == [Basis.BY_DESCENT]
    assert "claims" not in {each.code for each in answer.cautions}


def test_odds_joint__the_female_named_first_is_the_dam(small: Any) -> None:
    glow = {(WILD_PAIR, het("glow")): 1.0}
    turned = odds_joint([ParentsJoint(1.0, {"glow": glow}, {"glow": 1.0})], small, sire=FEMALE, dam=MALE, eggs=SIX)
    straight = cross(small, ParentsJoint(1.0, {"glow": {(het("glow"), WILD_PAIR): 1.0}}, {"glow": 1.0}))
    assert turned.outcomes == straight.outcomes
    assert "swapped" in {each.code for each in turned.cautions}


def test_odds_joint__all_faults_at_once(small: Any) -> None:
    sire = GenotypeBelief(Sex.MALE, {"amber": {het("amber"): 1.0}, "sun": {WILD_PAIR: 1.0}})
    bad = ParentsJoint(
        0.5,
        {
            "nowhere": alike("amber", 0.5),
            "sun": {(("+", "amber"), WILD_PAIR): 1.0},
            "web": {(WILD_PAIR, WILD_PAIR): 0.5},
        },
    )
    with pytest.raises(CrossError) as raised:
        odds_joint([bad], small, sire=sire, dam=GenotypeBelief(Sex.MALE), top=0)
    codes = [fault.code for fault in raised.value.faults]
    assert codes == ["CRS-001", "CRS-013", "CRS-002", "CRS-003", "CRS-004", "CRS-005", "CRS-008"]
    assert "the sire may carry Amber, of which the joint chances say nothing" in str(raised.value)


def test_odds_joint__no_scenario(small: Any) -> None:
    with pytest.raises(CrossError, match="CRS-005"):
        odds_joint([], small, sire=MALE, dam=FEMALE)
