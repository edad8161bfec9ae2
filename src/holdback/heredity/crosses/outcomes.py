"""The looks of the young with their odds, over one or several possible pairs of parents.

With several scenarios (doubtful sires) a look's chance is the weighted sum over them; the listing stops when no look
still unseen can beat the last one listed (threshold algorithm, Fagin, Lotem & Naor 2003).
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.heredity.crosses.looks import LookKey
from holdback.heredity.crosses.pair_looks import TRUST, Found, Looks
from holdback.heredity.crosses.result import HiddenGene, Outcome
from holdback.heredity.crosses.trade_names import TradeNames
from holdback.heredity.crosses.young import sex_of
from holdback.heredity.frequency import in_words
from holdback.species.model import Inheritance, LocusLook

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_There = Sequence[tuple[float, Looks, Found]]

Scenarios = Sequence[tuple[float, Looks]]
"""Possible pairs with their probabilities, summing to 1."""


def totals(scenarios: Scenarios) -> tuple[float, float]:
    """Chance that an egg hatches, and that its young lives."""
    sums = [0.0, 0.0]
    for weight, looks in scenarios:
        for sex in (0, 1):
            for index, chance in enumerate(looks.total(sex)):
                sums[index] += 0.5 * weight * chance
    return sums[0], sums[1]


def n_looks(scenarios: Scenarios, *, same_loci: bool) -> int:
    """Number of different looks of one sex, an upper bound where there are several possible pairs.

    Parameters
    ----------
    scenarios : Scenarios
        Possible pairs with their probabilities.
    same_loci : bool
        Whether all of them have the same loci in play, and so the same parts; looks that come up in several of them
        are then counted once.
    """
    apart = sum(math.prod(map(len, looks.open)) + len(looks.hiding) for _, looks in scenarios)
    if not same_loci:
        return apart
    by_part = zip(*(looks.open for _, looks in scenarios), strict=True)
    opened = math.prod(len({found.seen.key for classes in part for found in classes}) for part in by_part)
    return min(apart, opened + len({found.seen.key for _, looks in scenarios for _, found in looks.hiding}))


def list_outcomes(scenarios: Scenarios, catalogue: Catalogue, *, by_sex: bool, top: int) -> tuple[Outcome, ...]:
    """Likeliest looks of the young.

    Parameters
    ----------
    scenarios : Scenarios
        Possible pairs with their probabilities.
    catalogue : Catalogue
        Species.
    by_sex : bool
        Whether sons and daughters are listed apart.
    top : int
        How many looks at most.

    Returns
    -------
    tuple of Outcome
        Likeliest first; equally likely ones with fewer genes first.
    """
    _, living = totals(scenarios)
    names = TradeNames(catalogue)
    found: list[Outcome] = []
    for sex in (0, 1) if by_sex else (0,):
        share = 0.5 if by_sex else 1.0
        scale = (share, living, sex_of(sex, catalogue) if by_sex else None)
        found.extend(_outcome(there, sex, scale, names) for there in _top_looks(scenarios, sex, top))
    found.sort(key=lambda look: (-round(look.probability, 12), len(look.looks), look.label, str(look.sex)))
    return tuple(found[:top])


def _top_looks(scenarios: Scenarios, sex: int, top: int) -> list[_There]:
    """Likeliest looks over all scenarios, each with what every scenario adds to it."""
    if len(scenarios) == 1:
        weight, only = scenarios[0]
        return [[(weight, only, look)] for look in only.top(sex, top)]
    chances: dict[LookKey, float] = {}
    rounds = 0
    streams = [(weight, looks.each(sex)) for weight, looks in scenarios]
    ceilings = [weight for weight, _ in scenarios]
    while any(ceiling > 0.0 for ceiling in ceilings):
        rounds += 1
        for index, (weight, stream) in enumerate(streams):
            look = next(stream, None)
            ceilings[index] = 0.0 if look is None else weight * look.hatching
            if look is not None and look.key not in chances:
                chances[look.key] = sum(share * looks.chance(look.key, sex) for share, looks in scenarios)
        if rounds % 8 == 0 and len(chances) >= top and heapq.nlargest(top, chances.values())[-1] >= sum(ceilings):
            break
    return [
        [(weight, looks, found) for weight, looks in scenarios if (found := looks.at(key, sex)) is not None]
        for key in heapq.nlargest(top, chances, key=chances.__getitem__)
    ]


def _outcome(there: _There, sex: int, scale: tuple[float, float, Sex | None], names: TradeNames) -> Outcome:
    """One look with its odds and hidden genes, over all scenarios."""
    share, living_in_all, shown_sex = scale
    hatching = share * math.fsum(weight * found.hatching for weight, _, found in there)
    living = share * math.fsum(weight * found.living for weight, _, found in there)
    first = there[0][2]
    key = first.key
    book = there[0][1].cross.book
    # The trade names what shows with one copy first and the recessives last: "Pastel Clown".
    named = sorted(zip(key, first.looks, strict=True), key=lambda item: _is_recessive(item[1], book.catalogue))
    labels = tuple(
        book.label(look, {allele for _, looks, _ in there for allele in looks.cross.alleles[locus]})
        for (locus, _), look in named
    )
    label, trade_name = " ".join(labels) or "normal", names.of(key, book)
    return Outcome(
        looks=labels,
        label=label,
        probability=hatching,
        per_hatchling=living / living_in_all if living_in_all > 0.0 else 0.0,
        sex=shown_sex,
        hidden=_mixed_hidden(there, sex),
        lost=hatching > 0.0 and living <= 0.0,
        text=in_words(min(hatching, 1.0)),
        trade_name="" if trade_name == label else trade_name,
        keys=tuple(entry[1] for entry in key),
    )


def _is_recessive(look: LocusLook, catalogue: Catalogue) -> bool:
    """Whether every gene that a look names is recessive."""
    return all(catalogue.alleles[allele].inheritance is Inheritance.RECESSIVE for allele in look.alleles)


def _mixed_hidden(there: Sequence[tuple[float, Looks, Found]], sex: int) -> tuple[HiddenGene, ...]:
    """Hidden genes of a look, weighted by how much each scenario adds to the look."""
    if len(there) == 1:
        return there[0][1].hidden(there[0][2], sex)
    alive = any(found.living > 0.0 for _, _, found in there)
    weights = [weight * (found.living if alive else found.hatching) for weight, _, found in there]
    total = math.fsum(weights)
    genes: dict[str, list[HiddenGene]] = {}
    sums: dict[str, list[float]] = {}
    for weight, (_, looks, found) in zip(weights, there, strict=True):
        share = weight / total
        for gene in looks.hidden(found, sex) if share > 0.0 else ():
            genes.setdefault(gene.allele, []).append(gene)
            chances = sums.setdefault(gene.allele, [0.0, 0.0])
            chances[0] += share * gene.chance
            chances[1] += share * gene.two_copies
    return tuple(
        replace(
            alike[0],
            chance=min(sums[allele][0], 1.0),
            two_copies=min(sums[allele][1], 1.0),
            rests_on=max((gene.rests_on for gene in alike), key=TRUST.index),
        )
        for allele, alike in genes.items()
    )
