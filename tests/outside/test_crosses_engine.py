"""The cross engine against published genetics of ball pythons and textbook ratios; the source stands beside each check.

Marks: confirmed, the abstract was seen; from memory; derived, from the model named.
"""

from __future__ import annotations

import dataclasses
import math

import pytest

from holdback.collection.model import Sex
from holdback.heredity.crosses import EggCount, WantOdds, odds
from holdback.heredity.crosses.wanted import wanted_states
from holdback.heredity.crosses.young import Cross
from holdback.heredity.genotype import GenotypeBelief, Wish
from holdback.species import load
from holdback.species.model import WILD, Linkage, Mark, Pair, Value, pair

pytestmark = pytest.mark.outside

REGIUS = load()


def animal(sex: Sex, *alleles: str, phase: float | None = None) -> GenotypeBelief:
    """An animal with one copy of each allele named, two where an allele is named twice."""
    loci: dict[str, Pair] = {}
    for key in alleles:
        locus = REGIUS.locus_of(key).key
        loci[locus] = pair(key, loci[locus][1] if locus in loci else WILD)
    on_y = {} if phase is None else dict.fromkeys(loci, phase)
    return GenotypeBelief(sex, {locus: {genotype: 1.0} for locus, genotype in loci.items()}, on_y)


def sire(*alleles: str, phase: float | None = None) -> GenotypeBelief:
    return animal(Sex.MALE, *alleles, phase=phase)


def dam(*alleles: str) -> GenotypeBelief:
    return animal(Sex.FEMALE, *alleles)


def wish(sex: Sex = Sex.UNKNOWN, **pairs: Pair) -> Wish:
    return Wish("", {locus.replace("_", "-"): frozenset({genotype}) for locus, genotype in pairs.items()}, sex)


def wanted(
    father: GenotypeBelief, mother: GenotypeBelief, want: Wish, *, n: int = 1, r: float | None = None
) -> WantOdds:
    by_locus = None if r is None else {"banana": r}
    found = odds(father, mother, REGIUS, want=want, eggs=EggCount.fixed(n), r=by_locus).want
    assert found is not None
    return found


COMPLEMENT = [
    ("albino", "lavender-albino"),  # TYR and OCA2: Brown et al. 2022, PLoS ONE 17(10), confirmed
    ("albino", "ultramel"),  # TYR and TYRP1: the same
    ("lavender-albino", "ultramel"),  # OCA2 and TYRP1: the same
    ("clown", "piebald"),  # MC1R: Garcia-Elfring et al. 2025; tfec: Garcia-Elfring et al. 2023; confirmed
]


@pytest.mark.parametrize("first, second", COMPLEMENT)
def test_odds__visuals_of_two_genes_complement(first: str, second: str) -> None:
    (only,) = odds(sire(first, first), dam(second, second), REGIUS).outcomes
    assert (only.label, only.probability) == ("normal", 1.0)
    assert {hidden.allele: hidden.chance for hidden in only.hidden} == {first: 1.0, second: 1.0}


def test_odds__visuals_of_one_gene_do_not_complement() -> None:
    # Albino and Candy: one gene (TYR), common practice, no source; seen second-hand
    (only,) = odds(sire("albino", "albino"), dam("candy", "candy"), REGIUS).outcomes
    assert only.probability == 1.0
    assert only.label != "normal"


def test_odds__lethal_two_copies_give_two_to_one() -> None:
    # Castle & Little 1910, Science 32: yellow x yellow lives 2:1 (from memory); Spider as such is common practice
    found = odds(sire("spider"), dam("spider"), REGIUS)
    assert found.lost == pytest.approx(1 / 4, rel=1e-12)
    assert {outcome.label: outcome.per_hatchling for outcome in found.outcomes} == pytest.approx(
        {"Spider": 2 / 3, "normal": 1 / 3}, rel=1e-12
    )


def test_odds__lethal_carrier_and_visual_recessive() -> None:
    # derived: 1/2 x 1/4 of eggs, 2/3 x 1/4 of young
    found = wanted(
        sire("spider", "albino"),
        dam("spider", "albino"),
        wish(spider=(WILD, "spider"), albino=("albino", "albino")),
    )
    assert found.per_egg == pytest.approx(1 / 8, rel=1e-12)
    assert found.per_hatchling == pytest.approx(1 / 6, rel=1e-12)


def test_odds__possible_het_is_mixed_over() -> None:
    # derived: 2/3 (1 - 2^-8) and (4/9)(1 - 0.75^8); a mean in their place gives .9610 and .6103
    doubtful = {"albino": {(WILD, "albino"): 2 / 3, (WILD, WILD): 1 / 3}}
    want = wish(albino=("albino", "albino"))
    against_visual = wanted(GenotypeBelief(Sex.MALE, doubtful), dam("albino", "albino"), want, n=8)
    against_same = wanted(GenotypeBelief(Sex.MALE, doubtful), GenotypeBelief(Sex.FEMALE, doubtful), want, n=8)
    assert against_visual.at_least_one == pytest.approx(0.664063, abs=5.1e-7)
    assert against_same.at_least_one == pytest.approx(0.399950, abs=5.1e-7)


@pytest.mark.parametrize("r", [0.0, 0.05, 0.07, 0.1, 0.5])
@pytest.mark.parametrize("on_y", [True, False])
def test_odds__one_copy_sire_by_sex(r: float, *, on_y: bool) -> None:
    # XY: Gamble et al. 2017, Curr Biol 27 (confirmed); values derived: 1 - r of sons from a Y, r from an X
    father = sire("banana", phase=1.0 if on_y else 0.0)
    sons = wanted(father, dam(), wish(Sex.MALE, banana=(WILD, "banana")), r=r).per_egg
    daughters = wanted(father, dam(), wish(Sex.FEMALE, banana=(WILD, "banana")), r=r).per_egg
    assert 2 * sons == pytest.approx(1 - r if on_y else r, abs=1e-15)
    assert 2 * daughters == pytest.approx(r if on_y else 1 - r, abs=1e-15)


@pytest.mark.parametrize("r", [0.0, 0.1, 0.5])
def test_odds__dam_and_two_copy_sire_give_both_sexes_alike(r: float) -> None:
    # derived from the same model
    for sex in (Sex.MALE, Sex.FEMALE):
        one = wish(sex, banana=(WILD, "banana"))
        assert 2 * wanted(sire(), dam("banana"), one, r=r).per_egg == pytest.approx(0.5, abs=1e-15)
        assert 2 * wanted(sire(), dam("banana", "banana"), one, r=r).per_egg == pytest.approx(1.0, abs=1e-15)
        assert 2 * wanted(sire("banana", "banana"), dam(), one, r=r).per_egg == pytest.approx(1.0, abs=1e-15)


@pytest.mark.parametrize("r, of_daughters, of_sons", [(0.1, 0.45, 0.05), (0.0, 0.5, 0.0), (0.5, 0.25, 0.25)])
def test_odds__two_copies_from_an_x_linked_sire(r: float, of_daughters: float, of_sons: float) -> None:
    # derived: sire X^a Y^A, dam X^A X^a
    father, mother = sire("banana", phase=0.0), dam("banana")
    for sex, share in ((Sex.FEMALE, of_daughters), (Sex.MALE, of_sons)):
        found = wanted(father, mother, wish(sex, banana=("banana", "banana")), r=r)
        assert 2 * found.per_egg == pytest.approx(share, abs=1e-15)


def test_odds__coral_glow_sires_throw_the_published_direction() -> None:
    # Mallery & Carrillo 2016, Phyllomedusa 15 (abstract, confirmed): sons of CG sires throw mostly CG sons,
    # sons of CG dams mostly CG daughters; the r of the species file is from memory
    from_sire, from_dam = sire("coral-glow", phase=1.0), sire("coral-glow", phase=0.0)
    son = wish(Sex.MALE, banana=(WILD, "coral-glow"))
    daughter = wish(Sex.FEMALE, banana=(WILD, "coral-glow"))
    assert wanted(from_sire, dam(), son).per_egg > 5 * wanted(from_sire, dam(), daughter).per_egg
    assert wanted(from_dam, dam(), daughter).per_egg > 5 * wanted(from_dam, dam(), son).per_egg


def test_wanted_states__double_recessive_by_phase() -> None:
    # derived, textbook: coupling (1-r)^2/4, one of each r(1-r)/4, repulsion r^2/4, at r = 0.1
    linked = dataclasses.replace(
        REGIUS, linkages=(Linkage(("albino", "piebald"), Value(0.1, 0.1, 0.1, "", Mark.OWN)),), digest="linked"
    )
    want = wish(albino=("albino", "albino"), piebald=("piebald", "piebald"))
    father, mother = sire("albino", "piebald"), dam("albino", "piebald")
    chances: dict[float, float] = {}
    for state in wanted_states(Cross(father, mother, linked), want).states:
        key = round(state.per_egg, 12)
        chances[key] = chances.get(key, 0.0) + state.weight
    assert chances == pytest.approx({0.2025: 0.25, 0.0225: 0.5, 0.0025: 0.25}, rel=1e-12)
    found = odds(father, mother, linked, want=want, eggs=EggCount.fixed(6)).want
    assert found is not None
    by_hand = math.fsum(
        weight * (1.0 - (1.0 - q) ** 6) for q, weight in ((0.2025, 0.25), (0.0225, 0.5), (0.0025, 0.25))
    )
    assert found.at_least_one == pytest.approx(by_hand, rel=1e-12)


COMBOS = {  # the trade's vocabulary: common practice, no source; Stinger and Dragonfly from memory
    "Inferno": ("hidden-gene-woma", "pastel", "yellow-belly"),
    "Bumblebee": ("pastel", "spider"),
    "Queen Bee": ("lesser", "pastel", "spider"),
    "Cinna Bee": ("cinnamon", "spider"),
    "Stinger": ("enchi", "spider"),
    "Stinger Bee": ("enchi", "pastel", "spider"),
    "Spinner Blast": ("pastel", "pinstripe", "spider"),
    "Kingpin": ("lesser", "pinstripe"),
    "Jigsaw": ("mojave", "pinstripe"),
    "Pewter": ("cinnamon", "pastel"),
    "Firefly": ("fire", "pastel"),
    "Dragonfly": ("enchi", "fire", "pastel"),
    "Pastave": ("mojave", "pastel"),
    "Soul Sucker": ("hidden-gene-woma", "lesser"),
}


@pytest.mark.parametrize("name, alleles", COMBOS.items(), ids=COMBOS)
def test_odds__combo_from_a_parent_that_carries_it_whole(name: str, alleles: tuple[str, ...]) -> None:
    found = odds(sire(*alleles), dam(), REGIUS, top=64)
    (combo,) = [outcome for outcome in found.outcomes if outcome.trade_name == name]
    assert combo.probability == pytest.approx(0.5 ** len(alleles), rel=1e-12)
    assert len(combo.looks) == len(alleles)


@pytest.mark.parametrize(
    "first, second, chance",
    [
        (2 / 3, 2 / 3, 1 / 2),
        (2 / 3, 1.0, 3 / 5),
        (0.5, 0.5, 2 / 5),
        (0.5, 1.0, 4 / 7),
        (2 / 3, 0.5, 5 / 11),
        (1, 1, 2 / 3),
    ],
)
def test_odds__normal_young_of_possible_hets(first: float, second: float, chance: float) -> None:
    # Mendel's ratios and Bayes' rule, derived: (a + b - 2ab)/(1 - ab) with a, b half the chances
    father, mother = (
        GenotypeBelief(sex, {"albino": {(WILD, "albino"): het, (WILD, WILD): 1.0 - het}})
        for sex, het in ((Sex.MALE, first), (Sex.FEMALE, second))
    )
    (normal,) = [outcome for outcome in odds(father, mother, REGIUS).outcomes if outcome.label == "normal"]
    assert [hidden.chance for hidden in normal.hidden] == pytest.approx([chance], rel=1e-12)


@pytest.mark.parametrize("young, chance", [(1, 1 / 2), (3, 1 / 5), (5, 1 / 17), (10, 1 / 513)])
def test_odds__normals_from_a_visual_mate_lower_the_chance(young: int, chance: float) -> None:
    # Bayes' rule, derived: prior 2/3, against the engine's own chance that all young are normal
    doubtful = GenotypeBelief(Sex.MALE, {"albino": {(WILD, "albino"): 2 / 3, (WILD, WILD): 1 / 3}})
    want = wish(albino=("albino", "albino"))
    none = 1.0 - wanted(doubtful, dam("albino", "albino"), want, n=young).at_least_one
    assert (none - 1 / 3) / none == pytest.approx(chance, rel=1e-9)
