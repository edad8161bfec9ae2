"""The mate that is not there: what an unrelated outsider would have to bring, and what it would gain.

Only kinds that the trade sells are looked at: animals that show a gene of the goal, and certain carriers of one that
is hidden. They are taken as certain, unrelated to all, of no line, and fit to breed in the season asked about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from holdback.collection.model import Sex
from holdback.decisions.barring import Barring
from holdback.decisions.goal import Goal, GoalGene, Target
from holdback.decisions.kind_words import in_hundred, kind_words
from holdback.decisions.mates import judged_mates, last_season
from holdback.decisions.outsider import Genotype, with_outsiders
from holdback.decisions.pair_judgement import Judge, Judged
from holdback.decisions.steps import Kind
from holdback.decisions.stock import Stock
from holdback.decisions.welfare import PairWelfare
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Pair, pair

MOST_GENES = 3
"""Genes of one outsider that are looked at together; more are hard to come by."""

_HARDLY = 0.005
"""Gain below which a kind is not worth naming, or worth a further gene."""

Level = tuple[float, float]


@dataclass(frozen=True)
class MissingMate:
    """A kind of outsider, and what it would gain.

    Parameters
    ----------
    kind : Kind
        What it would have to show or carry, and its sex.
    target : int
        Number of the target that it serves.
    this_season : float
        Chance of at least one target this season with it.
    score : float
        Chance by the season wished for with it, as of `Mate.score`.
    gain : float
        The same less that of the best mate at hand.
    text : str
        Both in a sentence.
    """

    kind: Kind
    target: int
    this_season: float
    score: float
    gain: float
    text: str


def missing_mates(
    stock: Stock,
    animal: str,
    targets: Sequence[Target],
    goal: Goal,
    catalogue: Catalogue,
    *,
    season: int = 0,
    top: int = 6,
) -> tuple[MissingMate, ...]:
    """Kinds of outsiders that would serve better than any mate at hand, the most gained first.

    Parameters
    ----------
    stock, animal, targets, goal, catalogue, season
        As in `holdback.decisions.mates.mates`.
    top : int
        Most kinds named.

    Returns
    -------
    tuple of MissingMate
        Of kinds that gain the same the one with the fewest genes. Empty where the animal itself cannot be paired, or
        none would gain anything.

    Raises
    ------
    DecisionError
        As in `holdback.decisions.mates.mates`.
    """
    welfare = PairWelfare(stock, catalogue)
    judged = judged_mates(stock, animal, targets, goal, catalogue, season=season, welfare=welfare)
    if int(stock.ready[stock.index(animal)]) > season:
        return ()
    open_to = [one for one in judged if not one.blocked]
    best = max(open_to, key=lambda one: one.score, default=None)
    found = [
        missing
        for number, target in enumerate(targets)
        for missing in _of_target(stock, animal, (number, target), goal, catalogue, season=season, best=best)
    ]
    found.sort(key=lambda one: (-round(one.gain, 2), _n_genes(one.kind), -one.this_season))
    return tuple(found[:top])


def _of_target(
    stock: Stock,
    animal: str,
    numbered: tuple[int, Target],
    goal: Goal,
    catalogue: Catalogue,
    *,
    season: int,
    best: Judged | None,
) -> list[MissingMate]:
    """Kinds for one target that gain, none that a kind with less would equal."""
    number, target = numbered
    sex = Sex.FEMALE if stock.sexes[stock.index(animal)] is Sex.MALE else Sex.MALE
    kinds = list(_kinds(target, sex, catalogue))
    names = [f"*{place}" for place in range(len(kinds))]
    wider = with_outsiders(stock, dict(zip(names, (genes for _, genes in kinds), strict=True)), sex)
    barring = Barring(wider, goal, PairWelfare(wider, catalogue), season)
    by = last_season(stock, goal, season)
    judge = Judge(wider, target, catalogue, season=season, by=by, barring=barring)
    found: list[MissingMate] = []
    for (kind, _), name in zip(kinds, names, strict=True):
        sire, dam = (animal, name) if sex is Sex.FEMALE else (name, animal)
        if not barring.may_pair(sire, dam):
            continue
        judged = judge.of(sire, dam, number, blocked="")
        gain = judged.score - (best.score if best else 0.0)
        if gain >= _HARDLY and not any(_is_less(one.kind, kind) and one.gain >= gain - _HARDLY for one in found):
            text = _text(kind, target, judged, best, by_year=stock.year + by)
            found.append(MissingMate(kind, number, judged.this_season, judged.score, gain, text))
    return found


def _kinds(target: Target, sex: Sex, catalogue: Catalogue) -> Iterator[tuple[Kind, Genotype]]:
    """Kinds that the trade has of the genes of a target, those with the fewest genes first."""
    wanted = [place for place, gene in enumerate(target.genes) if gene.copies]
    for n in range(1, min(MOST_GENES, len(wanted)) + 1):
        for places in combinations(wanted, n):
            for levels in product(*(_levels(target.genes[place], catalogue) for place in places)):
                by_gene = dict(zip(places, levels, strict=True))
                genes = _genotype([(target.genes[place], level) for place, level in by_gene.items()])
                if genes is not None:
                    free = [(0.0, 0.0) if gene.copies else (1.0, 0.0) for gene in target.genes]
                    yield Kind(tuple(by_gene.get(place, level) for place, level in enumerate(free)), sex), genes


def _levels(gene: GoalGene, catalogue: Catalogue) -> list[Level]:
    """One copy, and two where they show as such and such animals live."""
    allele = min(gene.alleles)
    can_have_two = catalogue.lethality(gene.locus, (allele, allele)) < 1.0
    shows_two = gene.is_hidden or (gene.tells_two and gene.copies == 2)
    return [(1.0, 0.0), (1.0, 1.0)] if can_have_two and shows_two else [(1.0, 0.0)]


def _genotype(genes: Sequence[tuple[GoalGene, Level]]) -> dict[str, Pair] | None:
    """Pairs by locus; None where they do not fit into one animal."""
    held: dict[str, list[str]] = {}
    for gene, (_, two) in genes:
        held.setdefault(gene.locus, []).extend([min(gene.alleles)] * (2 if two else 1))
    if any(len(alleles) > 2 for alleles in held.values()):
        return None
    return {locus: pair(alleles[0], alleles[1] if len(alleles) > 1 else WILD) for locus, alleles in held.items()}


def _is_less(kind: Kind, other: Kind) -> bool:
    """Whether an animal of the other kind is one of this kind too."""
    return all(some <= more and two <= both for (some, two), (more, both) in zip(kind.genes, other.genes, strict=True))


def _n_genes(kind: Kind) -> float:
    return sum(some + two for some, two in kind.genes)


def _text(kind: Kind, target: Target, judged: Judged, best: Judged | None, *, by_year: int) -> str:
    words = kind_words(kind, target)
    head = f"{words[0].upper()}{words[1:]}, unrelated"
    before, by_now = (best.this_season, best.score) if best else (0.0, 0.0)
    if judged.this_season - before >= max(_HARDLY, (judged.score - by_now) / 2):
        return f"{head}: {in_hundred(judged.this_season)} this season instead of {in_hundred(before)}."
    return f"{head}: {in_hundred(judged.score)} by {by_year} instead of {in_hundred(by_now)}."
