"""Kinds of young: what a keeper can know of a young of a pair before it is bred, and the chance of a kind.

A young is known by its look and by its parents. Normal-looking young of a visual are certain carriers, those of two
carriers carry with two chances in three. What clutch mates prove of the parents is not used here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from holdback.collection.model import Sex
from holdback.decisions.accepted import Accepted
from holdback.decisions.goal import GoalGene
from holdback.decisions.offspring import PairLaw, law_of
from holdback.decisions.pair_tables import PairTables
from holdback.decisions.steps import Kind
from holdback.decisions.stock import Stock
from holdback.heredity.crosses.couples import BySex
from holdback.heredity.genotype import WILD_PAIR, ParentsJoint
from holdback.species.model import Pair

SURE = 0.005
"""Slack of a level: records may err, so that nothing is ever quite certain."""

Level = tuple[float, float]
"""As in `Kind.genes`."""


@dataclass(frozen=True)
class LookAt:
    """A look that young of a pair may have at one locus.

    Parameters
    ----------
    locus, label : str
        Locus key and the trade name of the look, empty for the wild type.
    pairs : frozenset of Pair
        Pairs that look so, of those that may come.
    chance : BySex
        Chance that an egg that would hatch gives a living young of that look, given its sex.
    beliefs : (mapping, mapping)
        Chances of the pairs given the look, for each sex; empty where it does not come.
    levels : (tuple of Level, tuple of Level)
        What it makes known of each gene of the target at this locus, for each sex.
    """

    locus: str
    label: str
    pairs: frozenset[Pair]
    chance: BySex
    beliefs: tuple[Mapping[Pair, float], Mapping[Pair, float]]
    levels: tuple[tuple[Level, ...], tuple[Level, ...]]


def level_of(gene: GoalGene, belief: Mapping[Pair, float]) -> Level:
    """Chances of one copy or more and of two; of no copy, and 0, for a gene that is refused.

    Examples
    --------
    >>> from holdback.decisions.wanting import goal_gene
    >>> from holdback.species.catalogue import load
    >>> level_of(goal_gene("clown", 2, load()), {("+", "clown"): 0.5, ("clown", "clown"): 0.25, ("+", "+"): 0.25})
    (0.75, 0.25)
    """
    counts = [0.0, 0.0, 0.0]
    for alleles, chance in belief.items():
        counts[sum(key in gene.alleles for key in alleles)] += chance
    return (counts[0], 0.0) if gene.copies == 0 else (counts[1] + counts[2], counts[2])


def kind_of(stock: Stock, animal: str, genes: Sequence[GoalGene]) -> tuple[Level, ...]:
    """Levels of an animal at hand for some genes."""
    return tuple(level_of(gene, stock.genes.at(animal, gene.locus)) for gene in genes)


def meets(level: Level, least: Level) -> bool:
    """Whether what is known of a gene is at least what is needed, to within `SURE`."""
    return level[0] >= least[0] - SURE and level[1] >= least[1] - SURE


def looks_of(couple: Sequence[ParentsJoint], tables: PairTables) -> dict[str, tuple[LookAt, ...]]:
    """Looks of the young of a pair at each locus of the target, the commonest first.

    Parameters
    ----------
    couple : sequence of ParentsJoint
        What the parents may be together.
    tables : PairTables
        Of the target.

    Notes
    -----
    Loci are looked at one by one: a look that hides other genes is not allowed for.
    """
    mean = tables.mean_young(couple)
    return {locus: _looks(locus, mean[locus], tables) for locus in tables.target.loci}


def _looks(locus: str, mean: Mapping[Pair, BySex], tables: PairTables) -> tuple[LookAt, ...]:
    genes = [gene for gene in tables.target.genes if gene.locus == locus]
    by_look: dict[str, list[Pair]] = {}
    for alleles in mean:
        by_look.setdefault(tables.young.book.look(locus, alleles).key, []).append(alleles)
    found = []
    for pairs in by_look.values():
        chance = (sum(mean[one][0] for one in pairs), sum(mean[one][1] for one in pairs))
        hetero, homo = ({one: mean[one][sex] / chance[sex] for one in pairs if mean[one][sex] > 0.0} for sex in (0, 1))
        if hetero or homo:
            found.append(
                LookAt(
                    locus=locus,
                    label=tables.young.book.look(locus, pairs[0]).label,
                    pairs=frozenset(pairs),
                    chance=chance,
                    beliefs=(hetero, homo),
                    levels=(
                        tuple(level_of(gene, hetero) for gene in genes),
                        tuple(level_of(gene, homo) for gene in genes),
                    ),
                )
            )
    return tuple(sorted(found, key=lambda look: -sum(look.chance)))


def accepted_kind(couple: Sequence[ParentsJoint], kind: Kind, tables: PairTables) -> Accepted:
    """Young of a pair that a keeper would know to be at least of a kind, by their looks.

    Parameters
    ----------
    couple : sequence of ParentsJoint
        What the parents may be together.
    kind : Kind
        What is needed; its share of a line turns on the parents alone and is not asked about.
    tables : PairTables
        Of the target whose genes the kind speaks of.
    """
    least: dict[str, list[Level]] = {}
    for gene, level in zip(tables.target.genes, kind.genes, strict=True):
        least.setdefault(gene.locus, []).append(level)
    hetero: dict[str, frozenset[Pair]] = {}
    homo: dict[str, frozenset[Pair]] = {}
    for locus, looks in looks_of(couple, tables).items():
        for sex, into in ((0, hetero), (1, homo)):
            good = [look.pairs for look in looks if look.beliefs[sex] and _all_meet(look.levels[sex], least[locus])]
            into[locus] = frozenset[Pair]().union(*good)
    return Accepted((hetero, homo), tables.of_sex(kind.sex))


def _all_meet(levels: Sequence[Level], least: Sequence[Level]) -> bool:
    return all(meets(one, need) for one, need in zip(levels, least, strict=True))


def kind_law(stock: Stock, sire: str, dam: str, kind: Kind, tables: PairTables) -> PairLaw:
    """Chance that two animals at hand give a young that is known to be at least of a kind.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    sire, dam : str
        Ids of a male and a female.
    kind : Kind
        What is needed.
    tables : PairTables
        Of the target whose genes the kind speaks of.
    """
    couple = stock.genes.couple(sire, dam, tables.loci)
    accepted = accepted_kind(couple, kind, tables)
    return law_of(tables.states(couple, accepted), tables, accepted.sexes)


def phase_of_young(couple: Sequence[ParentsJoint], locus: str, tables: PairTables) -> float:
    """Phase of young of the heterogametic sex with one copy of a gene of the target, as in `ParentsJoint.phase`.

    Parameters
    ----------
    couple : sequence of ParentsJoint
        What the parents may be together.
    locus : str
        Key of a sex-linked locus.
    tables : PairTables
        Of the target.

    Returns
    -------
    float
        Chance that the gene lies on the sex-limited chromosome, which it does if it came from the parent that has one;
        0.5 where neither parent can give it.
    """
    limited = 0 if tables.catalogue.is_heterogametic(Sex.MALE) else 1
    given = [_gives(couple, locus, tables, side) for side in (limited, 1 - limited)]
    from_limited, from_other = given[0] * (1.0 - given[1]), given[1] * (1.0 - given[0])
    return from_limited / (from_limited + from_other) if from_limited + from_other > 0.0 else 0.5


def _gives(couple: Sequence[ParentsJoint], locus: str, tables: PairTables, side: int) -> float:
    """Chance that one parent gives young of the heterogametic sex a gene of the target."""
    alone = []
    for scenario in couple:
        pairs: dict[tuple[Pair, Pair], float] = {}
        for both, chance in scenario.at(locus).items():
            key = (both[0], WILD_PAIR) if side == 0 else (WILD_PAIR, both[1])
            pairs[key] = pairs.get(key, 0.0) + chance
        alone.append(replace(scenario, loci={locus: pairs}))
    wanted = {key for gene in tables.target.genes if gene.locus == locus for key in gene.alleles}
    young = tables.mean_young(alone)[locus]
    return sum(chances[0] for alleles, chances in young.items() if wanted & set(alleles))
