"""What there is to say of a line: its founders, who carries it, how it moved, what is about to be lost, what to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from holdback.answers.descent.line_parts import Clash, FounderLeft, LinePair, YearShare
from holdback.answers.descent.share import LineShare
from holdback.collection.model import Sex
from holdback.collection.status import is_here
from holdback.descent.contributions import founder_contributions
from holdback.descent.diversity import founder_standing, own_young
from holdback.descent.effective import EffectiveSize, effective_ancestors, genome_equivalents, size_by_sex_ratio
from holdback.descent.generation_interval import Interval, generation_interval
from holdback.descent.kinship import kinship
from holdback.descent.shares import FloatArray, LineFounder, share_means

if TYPE_CHECKING:
    from holdback.answers.descent.descent import Descent

MOST_INBRED = 0.125
"""Inbreeding of the young up to which a pair is named: that of half sibs mated (Wright 1922)."""
DRAWN = 40
"""Carriers of whom the spread is worked out too."""
MOST_ANCESTORS = 2000
NAMED_PAIRS = 6
GROWN = 0
"""Year that stands for a pair long grown, whose births nobody wrote down."""


@dataclass(frozen=True)
class LineReport:
    """Everything that the page of a line says.

    Parameters
    ----------
    line : str
        Name.
    founders : tuple of FounderLeft
        Animals said to be of the line, or of part of it, the largest contribution first.
    carriers : tuple of LineShare
        Animals that are here, with a share above none, the largest first; at most `DRAWN`.
    n_carriers : int
        How many there are.
    years : tuple of YearShare
        By year of hatching.
    effective_founders : float or None
        Founders of equal contribution that would give the same spread of contributions of the line; None without
        carriers.
    genome_equivalents : float or None
        1 / (2 mean kinship) of the carriers: founders whose genes, none lost, would be as varied.
    effective_ancestors : float or None
        The same with bottlenecks counted (Boichard, Maignel & Verrier 1997); None without carriers, and where their
        ancestors are more than `MOST_ANCESTORS`.
    effective_size : EffectiveSize
        By the numbers of males and females among the carriers that have young on record.
    generation : Interval
        Age of parents at the birth of young that became parents, among the carriers and their ancestors.
    top : tuple of str
        Ids of the carriers bred here with the largest share.
    missing : tuple of str
        Ids of founders of whom nothing runs in any of `top`.
    pairs : tuple of LinePair
        For each female that carries the line, the male that gives the largest share without inbreeding over
        `MOST_INBRED`, the largest share first; claims at their lower ends.
    blocked : int
        Pairs of carriers that would give more inbreeding than that.
    clashes : tuple of Clash
        Claims on animals to which their parents give another expected share.
    """

    line: str
    founders: tuple[FounderLeft, ...]
    carriers: tuple[LineShare, ...]
    n_carriers: int
    years: tuple[YearShare, ...]
    effective_founders: float | None
    genome_equivalents: float | None
    effective_ancestors: float | None
    effective_size: EffectiveSize
    generation: Interval
    top: tuple[str, ...]
    missing: tuple[str, ...]
    pairs: tuple[LinePair, ...]
    blocked: int
    clashes: tuple[Clash, ...]

    def as_json(self) -> dict[str, Any]:
        """Founders with what is left of each, pairs, years and the numbers of the line."""
        return {
            "founders": [
                {
                    "animal": one.animal,
                    "share_low": one.low,
                    "share_high": one.high,
                    "ground": one.ground,
                    "here": one.is_here,
                    "contribution": one.standing.contribution,
                    "left_without_it": one.standing.retained,
                    "left_se": one.standing.retained_se,
                    "at_risk": one.standing.at_risk,
                    "through": list(one.through),
                }
                for one in self.founders
            ],
            "pairs": [asdict(one) for one in self.pairs],
            "blocked": self.blocked,
            "top": list(self.top),
            "missing": list(self.missing),
            "effective_founders": self.effective_founders,
            "genome_equivalents": self.genome_equivalents,
            "effective_ancestors": self.effective_ancestors,
            "effective_size": self.effective_size.value,
            "generation_years": self.generation.mean,
            "years": [asdict(one) for one in self.years],
        }


def line_report(descent: Descent, line: str) -> LineReport:
    """Everything that the page of a line says.

    Parameters
    ----------
    descent : Descent
        Answers.
    line : str
        Name of the line as recorded.
    """
    pedigree, means = descent.pedigree, descent.share_means(line)
    animals = descent.collection.animals
    carriers = [node for node in range(len(pedigree)) if pedigree.on_record[node] and means[node] > 0]
    here = [node for node in carriers if is_here(animals[pedigree.ids[node]].status)]
    here.sort(key=lambda node: (-means[node], pedigree.ids[node]))
    shares = list(descent.shares_of([pedigree.ids[node] for node in here[:DRAWN]], line))
    shares.sort(key=lambda one: (-one.mean, one.sd, one.animal))
    pairs, blocked = _pairs(descent, line, here)
    top, missing = _one_sided(descent, line, here)
    return LineReport(
        line=line,
        founders=_founders(descent, line, here),
        carriers=tuple(shares),
        n_carriers=len(here),
        years=_years(descent, line, carriers),
        effective_founders=_effective(descent, line, here),
        genome_equivalents=genome_equivalents(pedigree, here) if here else None,
        effective_ancestors=_ancestors(descent, here),
        effective_size=_size(descent, here),
        generation=generation_interval(pedigree.part(here)).pooled,
        top=top,
        missing=missing,
        pairs=pairs,
        blocked=blocked,
        clashes=_clashes(descent, line),
    )


def _founders(descent: Descent, line: str, here: Sequence[int]) -> tuple[FounderLeft, ...]:
    """Founders said to be of the line, with what is left of each among the carriers that are here."""
    pedigree, animals = descent.pedigree, descent.collection.animals
    said = {node: one for node, one in descent.founders(line).items() if one.ground and one.high > 0}
    standing = founder_standing(pedigree, list(said), here)
    alive = set(here)
    found = []
    for node, one in said.items():
        through = tuple(
            pedigree.ids[young]
            for young in own_young(pedigree, node)
            if alive.intersection(pedigree.descendants([young]))
        )
        found.append(
            FounderLeft(
                pedigree.ids[node],
                one.low,
                one.high,
                one.ground,
                is_here(animals[pedigree.ids[node]].status),
                standing[node],
                through,
            )
        )
    return tuple(sorted(found, key=lambda one: -one.standing.contribution))


def _sure(descent: Descent, line: str) -> FloatArray:
    """Expected share of each node with every claim at its lower end, shape (n,)."""
    lowest = {node: LineFounder(one.low, one.low) for node, one in descent.founders(line).items() if one.ground}
    return share_means(descent.pedigree, lowest)


def _years(descent: Descent, line: str, carriers: Sequence[int]) -> tuple[YearShare, ...]:
    """Carriers by year of hatching."""
    pedigree, means, inbred = descent.pedigree, descent.share_means(line), descent.inbreeding
    animals = descent.collection.animals
    by_year: dict[int, list[int]] = {}
    for node in carriers:
        hatched = animals[pedigree.ids[node]].hatched
        if hatched is not None and not pedigree.is_founder[node]:
            by_year.setdefault(hatched.year, []).append(node)
    found = []
    for year, nodes in sorted(by_year.items()):
        kept = [node for node in nodes if is_here(animals[pedigree.ids[node]].status)]
        found.append(
            YearShare(
                year,
                len(nodes),
                len(kept),
                float(means[nodes].mean()),
                float(means[kept].mean()) if kept else None,
                float(means[nodes].max()),
                float(inbred[nodes].mean()),
            )
        )
    return tuple(found)


def _effective(descent: Descent, line: str, here: Sequence[int]) -> float | None:
    """Effective number of founders of the line's own part of the carriers; None where nobody carries it."""
    if not here:
        return None
    pedigree = descent.pedigree
    founders = descent.founders(line)
    given = founder_contributions(pedigree, here)
    parts = np.array([share * founders[node].mean for node, share in given.items()])
    return float(1.0 / np.sum((parts / parts.sum()) ** 2)) if parts.sum() > 0 else None


def _one_sided(descent: Descent, line: str, here: Sequence[int]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Carriers bred here with the most of the line, and its surest founders of whom nothing runs in them."""
    pedigree, sure = descent.pedigree, _sure(descent, line)
    bred = [node for node in here if not pedigree.is_founder[node]]
    if not bred:
        return (), ()
    most = max(sure[bred])
    top = [node for node in bred if sure[node] >= most - 1e-9]
    founders = [node for node, one in descent.founders(line).items() if one.ground and one.low > 0]
    above = set(pedigree.ancestors(top))
    missing = [node for node in founders if node not in above]
    return tuple(pedigree.ids[node] for node in top), tuple(pedigree.ids[node] for node in missing)


def _ancestors(descent: Descent, here: Sequence[int]) -> float | None:
    """Effective number of ancestors of the carriers; None without carriers, and where they have too many."""
    pedigree = descent.pedigree
    if not here or len(pedigree.ancestors(here)) > MOST_ANCESTORS:
        return None
    return effective_ancestors(pedigree, here).value


def _size(descent: Descent, here: Sequence[int]) -> EffectiveSize:
    """Effective size by the carriers of each sex that have young on record."""
    pedigree, animals = descent.pedigree, descent.collection.animals
    bred = [animals[pedigree.ids[node]].sex for node in here if any(own_young(pedigree, node))]
    return size_by_sex_ratio(bred.count(Sex.MALE), bred.count(Sex.FEMALE))


def _pairs(descent: Descent, line: str, here: Sequence[int]) -> tuple[tuple[LinePair, ...], int]:
    """For each female that carries the line the best male, and how many pairs of carriers are too close."""
    pedigree, means = descent.pedigree, descent.share_means(line)
    animals = descent.collection.animals
    males = [node for node in here if animals[pedigree.ids[node]].sex is Sex.MALE]
    females = [node for node in here if animals[pedigree.ids[node]].sex is Sex.FEMALE]
    if not males or not females:
        return (), 0
    related = kinship(pedigree, males, females)
    sure = _sure(descent, line)
    young, safe = ((one[males][:, None] + one[females][None, :]) / 2 for one in (means, sure))
    allowed = related <= MOST_INBRED + 1e-12
    best = np.where(allowed, safe + 1e-3 * young - 1e-6 * related, -np.inf)  # then the likelier, then the less related
    found = []
    for column, female in enumerate(females):
        row = int(best[:, column].argmax())
        if allowed[row, column]:
            found.append(
                LinePair(
                    pedigree.ids[males[row]],
                    pedigree.ids[female],
                    float(young[row, column]),
                    float(safe[row, column]),
                    float(related[row, column]),
                    _grown(descent, males[row], female),
                )
            )
    found.sort(key=lambda one: (-one.at_least, -one.share, one.inbreeding, one.dam))
    return tuple(found[:NAMED_PAIRS]), int((~allowed).sum())


def _grown(descent: Descent, male: int, female: int) -> int | None:
    """Year in which two animals are of breeding age; None where one's age is not known and it never bred."""
    born, reproduction = descent.pedigree.born, descent.catalogue.reproduction
    ages = (reproduction["male_breeding_age_months"].value / 12, reproduction["female_breeding_age_years"].value)
    # An animal with young on record is grown, whenever it was born.
    years = [
        -np.inf if np.isnan(born[node]) and descent.pedigree.young[node] else born[node] + age
        for node, age in zip((male, female), ages, strict=True)
    ]
    if np.isnan(years).any():
        return None
    return int(max(years)) if np.isfinite(years).any() else GROWN


def _clashes(descent: Descent, line: str) -> tuple[Clash, ...]:
    """Claims on animals whose parents make another share of them."""
    pedigree, means = descent.pedigree, descent.share_means(line)
    found = []
    for claim in descent.collection.records.lines:
        if claim.line != line:
            continue
        node = pedigree.index[claim.animal]
        is_apart = not claim.share_low - 1e-9 <= means[node] <= claim.share_high + 1e-9
        if not pedigree.is_founder[node] and is_apart:
            found.append(Clash(claim.animal, claim.share_low, claim.share_high, float(means[node]), claim.ground))
    return tuple(found)
