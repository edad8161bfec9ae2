"""The engine against slow, obvious enumeration of every chromosome, on random crosses of the small species."""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.heredity.crosses.strategies import LOCI, crosses

from holdback.collection.model import Sex
from holdback.heredity.crosses import EggCount, odds, odds_mixture
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief, Wish
from holdback.species.model import WILD, pair

CHAIN = [
    ("*sex", 0.5),
    ("glow", 0.1),
    ("white", 0.5),
    ("amber", 0.5),
    ("sun", 0.1),
    ("tyr", 0.5),
    ("twig", 0.5),
    ("web", 0.5),
    ("foam", 0.5),
]
"""Loci of the small species on one line, with the recombination from the one before."""

Gametes = tuple[tuple[tuple[str, ...], float], ...]


def chromosomes(parent: GenotypeBelief, loci: list[str]) -> list[tuple[float, Gametes]]:
    """Every way a parent's two chromosome sets may be: probability, gametes; ways with the same gametes are one."""
    male = parent.sex is Sex.MALE
    ways: dict[Gametes, float] = defaultdict(float)
    for pairs in product(*(list(parent.at(locus).items()) for locus in loci)):
        for flips in product((False, True), repeat=len(loci)):
            weight, first, second = 1.0, ["X"], ["Y" if male else "X"]
            for locus, (alleles, chance), flip in zip(loci, pairs, flips, strict=True):
                straight = parent.phase.get(locus, 0.5) if male and locus == "glow" else 0.5
                weight *= chance * (1.0 - straight if flip else straight)
                first.append(alleles[flip])
                second.append(alleles[not flip])
            if weight > 0.0:
                made = gametes(first, second, loci)
                ways[tuple(sorted((key, round(chance, 15)) for key, chance in made.items() if chance > 0.0))] += weight
    return [(weight, made) for made, weight in ways.items()]


def gametes(first: list[str], second: list[str], loci: list[str]) -> dict[tuple[str, ...], float]:
    """Every gamete by every path over the two chromosome sets."""
    apart = []
    for locus in loci:
        at = next(index for index, (name, _) in enumerate(CHAIN) if name == locus)
        before = next(index for index, (name, _) in enumerate(CHAIN) if name == (["*sex", *loci][loci.index(locus)]))
        r = 0.0
        for _, step in CHAIN[before + 1 : at + 1]:
            r = r * (1 - step) + step * (1 - r)
        apart.append(r)
    found: dict[tuple[str, ...], float] = defaultdict(float)
    for path in product((0, 1), repeat=len(first)):
        chance = 0.5
        for here, there, r in zip(path, path[1:], apart, strict=False):
            chance *= r if here != there else 1.0 - r
        found[tuple((first, second)[strand][index] for index, strand in enumerate(path))] += chance
    return found


def reference_young(
    sire: Gametes, dam: Gametes, loci: list[str]
) -> list[tuple[float, float, float, str, tuple[tuple[str, str], ...]]]:
    """Young of two known parents: chance, hatching, living, sex chromosome, genotype."""
    young = []
    for mine, chance in sire:
        for hers, other in dam:
            genotype = tuple(pair(a, b) for a, b in zip(mine[1:], hers[1:], strict=True))
            at = dict(zip(loci, genotype, strict=True))
            hatch = live = 1.0
            if at.get("web") == ("web", "web"):
                hatch = live = 0.0
            if "web" in at.get("web", ()) and "foam" in at.get("foam", ()):
                hatch = live = 0.0
            if at.get("foam") == ("foam", "foam"):
                live = 0.0
            young.append((chance * other, hatch, live, mine[0], genotype))
    return young


def reference_look(loci: list[str], genotype: tuple[tuple[str, str], ...], species: Any) -> tuple[str, ...]:
    """What is seen, name by name."""
    names = {}
    for locus, alleles in zip(loci, genotype, strict=True):
        label = species.look(locus, alleles).label
        if label == "Cloud":
            return ("Cloud",)
        if label:
            names[locus] = label
    if names.get("tyr") == "Pale":
        names = {locus: label for locus, label in names.items() if locus not in ("twig", "sun")}
    return tuple(names[locus] for locus in species.loci if locus in names)


def reference_odds(sire: GenotypeBelief, dam: GenotypeBelief, species: Any, wish: Wish, n: int) -> dict[str, Any]:
    """Everything by enumeration."""
    loci = [locus for locus in LOCI if locus in sire.loci or locus in dam.loci]
    looks: dict[tuple[str, tuple[str, ...]], float] = defaultdict(float)
    lives: dict[tuple[str, tuple[str, ...]], float] = defaultdict(float)
    carried: dict[tuple[str, tuple[str, ...], str, int], float] = defaultdict(float)
    lost = at_least_one = per_egg = living = 0.0
    for one in chromosomes(sire, loci):
        for other in chromosomes(dam, loci):
            weight, q = one[0] * other[0], 0.0
            for chance, hatch, live, sex, genotype in reference_young(one[1], other[1], loci):
                seen = (sex, tuple(sorted(reference_look(loci, genotype, species))))
                looks[seen] += weight * chance * hatch
                lives[seen] += weight * chance * live
                lost += weight * chance * (1.0 - hatch)
                living += weight * chance * live
                for allele in {allele for alleles in genotype for allele in alleles} - {WILD}:
                    copies = sum(alleles.count(allele) for alleles in genotype)
                    carried[(*seen, allele, copies)] += weight * chance * live
                at = dict(zip(loci, genotype, strict=True))
                fits = all(at.get(locus, WILD_PAIR) in accepted for locus, accepted in wish.loci.items())
                if fits and wish.sex in (Sex.UNKNOWN, Sex.MALE if sex == "Y" else Sex.FEMALE):
                    q += chance * live
            per_egg += weight * q
            at_least_one += weight * (1.0 - (1.0 - q) ** n)
    return {
        "looks": looks,
        "lives": lives,
        "carried": carried,
        "lost": lost,
        "living": living,
        "per_egg": per_egg,
        "at_least_one": at_least_one,
    }


@settings(max_examples=80)
@given(crosses())
def test_odds__equals_enumeration(small: Any, cross: tuple[GenotypeBelief, GenotypeBelief, Wish]) -> None:
    sire, dam, wish = cross
    n = 6
    truth = reference_odds(sire, dam, small, wish, n)
    answer = odds(sire, dam, small, eggs=EggCount.fixed(n), want=wish, top=10_000)
    assert math.isclose(answer.lost, truth["lost"], abs_tol=1e-12)
    assert math.isclose(answer.listed + answer.unlisted + answer.lost, 1.0, abs_tol=1e-12)
    expected: dict[tuple[Sex | None, tuple[str, ...]], float] = defaultdict(float)
    lives: dict[tuple[Sex | None, tuple[str, ...]], float] = defaultdict(float)
    for (chromosome, look), chance in truth["looks"].items():
        sex = (Sex.MALE if chromosome == "Y" else Sex.FEMALE) if answer.by_sex else None
        expected[sex, look] += chance
        lives[sex, look] += truth["lives"][chromosome, look]
    # which names come first is a matter of wording, held elsewhere
    found = {(outcome.sex, tuple(sorted(outcome.looks))): outcome for outcome in answer.outcomes}
    assert len(found) == len(answer.outcomes)
    for key, chance in expected.items():
        got = found[key].probability if key in found else 0.0
        assert math.isclose(got, chance, abs_tol=1e-12)
        if key in found and truth["living"] > 0.0:
            assert math.isclose(found[key].per_hatchling, lives[key] / truth["living"], abs_tol=1e-12)
    assert answer.want is not None
    assert math.isclose(answer.want.per_egg, truth["per_egg"], abs_tol=1e-12)
    assert math.isclose(answer.want.at_least_one, truth["at_least_one"], abs_tol=1e-11)


@settings(max_examples=40)
@given(crosses())
def test_odds__hidden_genes_equal_enumeration(small: Any, cross: tuple[GenotypeBelief, GenotypeBelief, Wish]) -> None:
    sire, dam, wish = cross
    truth = reference_odds(sire, dam, small, wish, 1)
    answer = odds(sire, dam, small, eggs=EggCount.fixed(1), top=10_000)
    for outcome in answer.outcomes:
        look = tuple(sorted(outcome.looks))
        sexes = ("Y",) if outcome.sex is Sex.MALE else ("X",) if outcome.sex is Sex.FEMALE else ("X", "Y")
        whole = sum(truth["lives"][sex, look] for sex in sexes)
        for hidden in outcome.hidden if whole > 0.0 else ():
            one, two = (
                sum(truth["carried"][sex, look, hidden.allele, copies] for sex in sexes) / whole for copies in (1, 2)
            )
            assert math.isclose(hidden.two_copies, two, abs_tol=1e-12)
            assert math.isclose(hidden.chance, one + two, abs_tol=1e-12) or math.isclose(
                hidden.chance, two, abs_tol=1e-12
            )
        unseen = {hidden.allele for hidden in outcome.hidden}
        named = " ".join(outcome.looks)
        for locus in {**sire.loci, **dam.loci}:
            for allele in small.loci[locus].alleles:
                carries = sum(truth["carried"][sex, look, allele, c] for sex in sexes for c in (1, 2))
                if carries > 1e-12 and small.alleles[allele].name not in named:
                    assert allele in unseen or "Cloud" in named


@settings(max_examples=30)
@given(crosses(), crosses())
def test_odds_mixture__is_the_weighted_sum(
    small: Any,
    first: tuple[GenotypeBelief, GenotypeBelief, Wish],
    second: tuple[GenotypeBelief, GenotypeBelief, Wish],
) -> None:
    wish, eggs = first[2], EggCount.fixed(5)
    one = odds(first[0], first[1], small, want=wish, eggs=eggs, top=10_000)
    two = odds(second[0], first[1], small, want=wish, eggs=eggs, top=10_000)
    both = odds_mixture(
        [(0.3, first[0], first[1]), (0.7, second[0], first[1])], small, want=wish, eggs=eggs, top=10_000
    )
    expected: dict[tuple[str, ...], float] = defaultdict(float)
    for weight, answer in ((0.3, one), (0.7, two)):
        for outcome in answer.outcomes:
            expected[outcome.looks] += weight * outcome.probability
    found: dict[tuple[str, ...], float] = defaultdict(float)
    for outcome in both.outcomes:
        found[outcome.looks] += outcome.probability
    assert found.keys() == expected.keys()
    assert all(math.isclose(found[looks], chance, abs_tol=1e-12) for looks, chance in expected.items())
    assert one.want is not None
    assert two.want is not None
    assert both.want is not None
    mixed = 0.3 * one.want.at_least_one + 0.7 * two.want.at_least_one
    assert math.isclose(both.want.at_least_one, mixed, abs_tol=1e-12)


@settings(max_examples=30)
@given(crosses(), crosses(), st.integers(1, 12))
def test_odds_mixture__short_list_is_the_head_of_the_long_one(
    small: Any,
    first: tuple[GenotypeBelief, GenotypeBelief, Wish],
    second: tuple[GenotypeBelief, GenotypeBelief, Wish],
    top: int,
) -> None:
    pairs = [(0.4, first[0], first[1]), (0.6, second[0], first[1])]
    long = odds_mixture(pairs, small, eggs=EggCount.fixed(5), top=10_000)
    short = odds_mixture(pairs, small, eggs=EggCount.fixed(5), top=top)
    head = [outcome.probability for outcome in long.outcomes[:top]]
    assert [outcome.probability for outcome in short.outcomes] == pytest.approx(head, abs=1e-12)
    assert math.isclose(short.listed + short.unlisted + short.lost, 1.0, abs_tol=1e-12)


@settings(max_examples=40)
@given(crosses())
def test_odds__swapping_parents_changes_nothing_off_the_sex_chromosomes(
    small: Any, cross: tuple[GenotypeBelief, GenotypeBelief, Wish]
) -> None:
    sire, dam, _ = cross
    loci = [locus for locus in sire.loci if locus != "glow"]
    one = GenotypeBelief(sex=Sex.MALE, loci={locus: sire.loci[locus] for locus in loci})
    two = GenotypeBelief(sex=Sex.FEMALE, loci={locus: dam.loci[locus] for locus in loci})
    there = odds(one, two, small, eggs=EggCount.fixed(1), top=10_000)
    back = odds(
        GenotypeBelief(sex=Sex.MALE, loci=two.loci),
        GenotypeBelief(sex=Sex.FEMALE, loci=one.loci),
        small,
        eggs=EggCount.fixed(1),
        top=10_000,
    )
    forth = {outcome.looks: outcome.probability for outcome in there.outcomes}
    assert {outcome.looks: outcome.probability for outcome in back.outcomes} == pytest.approx(forth, abs=1e-12)


@settings(max_examples=40)
@given(crosses())
def test_odds__an_irrelevant_locus_changes_nothing(
    small: Any, cross: tuple[GenotypeBelief, GenotypeBelief, Wish]
) -> None:
    sire, dam, wish = cross
    more = GenotypeBelief(sex=dam.sex, loci={**dam.loci, "soot": {WILD_PAIR: 1.0}}, phase=dam.phase)
    eggs = EggCount.fixed(6)
    plain, same = (odds(sire, mother, small, want=wish, eggs=eggs) for mother in (dam, more))
    assert same.outcomes == plain.outcomes
    assert same.want == plain.want
    recessive = GenotypeBelief(sex=dam.sex, loci={**dam.loci, "ash": {(WILD, "ash"): 1.0}}, phase=dam.phase)
    unseen = odds(sire, recessive, small, want=wish, eggs=eggs)
    assert [outcome.looks for outcome in unseen.outcomes] == [outcome.looks for outcome in plain.outcomes]
    assert unseen.want == plain.want
