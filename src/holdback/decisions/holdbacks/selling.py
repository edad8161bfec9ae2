"""What may be said of a hatchling that is sold: no more than the records support.

Chances are rounded down to whole percent, but for the labels of the trade (25, 33, 50, 66 %); what is as good as sure
is said plainly; a second copy that nobody can see stays unsaid until it is bred out. Rules of what may be claimed:
common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import floor
from typing import TYPE_CHECKING

from holdback.collection.estimate import Basis
from holdback.decisions.holdbacks.candidate import Candidate
from holdback.decisions.holdbacks.result import ForSale
from holdback.decisions.holdbacks.words import in_100
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief
from holdback.species.model import WILD, Inheritance, Pair, pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

SURE = 0.995
"""A chance from which a thing is said plainly: no record is beyond error."""
WORTH_SAYING = 0.05
"""A chance below which a gene is not named."""

_LABELS = (1 / 4, 1 / 3, 1 / 2, 2 / 3)
"""Chances that the trade has labels for; one this near to what the records say is used."""
_NEAR = 0.01

_BASES = {
    Basis.MEASURED: "seen",
    Basis.BY_DESCENT: "by descent",
    Basis.BY_OFFSPRING: "proven by young",
    Basis.CLAIMED: "as claimed when it came",
    Basis.ASSUMED: "assumed",
    Basis.REHEARSED: "rehearsed",
}


def for_sale(one: Candidate, catalogue: Catalogue) -> ForSale:
    """What may be said of a hatchling.

    Parameters
    ----------
    one : Candidate
        With its belief.
    catalogue : Catalogue
        Species.
    """
    from holdback.heredity.shorthand.writer import write

    notes: list[str] = []
    loci: dict[str, Mapping[Pair, float]] = {}
    for locus in one.belief.loci:
        said = _said(one.belief, locus, catalogue, notes)
        if said:
            loci[locus] = said
    phase = {locus: side for locus, side in one.belief.phase.items() if locus in loci and side in (0.0, 1.0)}
    text = write(GenotypeBelief(sex=one.sex, loci=loci, phase=phase), catalogue)
    if not loci:
        notes.insert(0, "Nothing on record speaks for any gene.")
    return ForSale(one.animal, text, (*notes, *_from(one), *one.flags, *one.troubles))


def _said(belief: GenotypeBelief, locus: str, catalogue: Catalogue, notes: list[str]) -> Mapping[Pair, float] | None:
    """What is said at a locus; None where nothing is. Notes get what cannot be said in shorthand, and the basis."""
    odds = belief.at(locus)
    basis = _BASES[belief.basis.get(locus, Basis.CLAIMED)]
    surest = max(odds, key=lambda alleles: odds[alleles])
    if odds[surest] >= SURE:
        if surest == WILD_PAIR:
            return None
        notes.append(f"{_names(surest, catalogue)}: {basis}.")
        return {surest: 1.0}
    told = [
        key for key in catalogue.loci[locus].alleles if key != WILD and 1 - belief.copies(locus, key)[0] >= WORTH_SAYING
    ]
    if len(told) > 1:
        chances = ", ".join(f"{catalogue.alleles[key].name} {_in_100(belief, locus, key)}" for key in told)
        notes.append(f"Not settled, in 100: {chances}; {basis}.")
        return None
    if not told:
        return None
    return _one(belief.copies(locus, told[0]), told[0], catalogue, basis, notes)


def _one(
    copies: tuple[float, float, float], key: str, catalogue: Catalogue, basis: str, notes: list[str]
) -> Mapping[Pair, float] | None:
    """What is said of one gene that is not settled."""
    allele, some, one_copy = catalogue.alleles[key], copies[1] + copies[2], pair(WILD, key)
    is_recessive = allele.inheritance is Inheritance.RECESSIVE
    if is_recessive and copies[2] > 1 - SURE:
        notes.append(
            f"{allele.name}: may show two copies ({in_100(100 * copies[2])} in 100); not said before it is seen."
        )
    if some >= SURE:
        notes.append(f"{allele.name}: {basis}.")
        if not is_recessive:
            notes.append(
                f"{allele.name}: may have two copies ({in_100(100 * copies[2])} in 100); not said before it is bred."
            )
        return {one_copy: 1.0}
    chance = next((label for label in _LABELS if abs(some - label) <= _NEAR), floor(100 * some + 1e-6) / 100)
    what = (
        f"{floor(100 * chance + 1e-6)} % het {allele.name}"
        if is_recessive
        else f"{floor(100 * chance + 1e-6)} % {allele.name}"
    )
    notes.append(f"{what}: {basis}, not proven.")
    return {one_copy: chance, WILD_PAIR: 1 - chance}


def _in_100(belief: GenotypeBelief, locus: str, key: str) -> str:
    return in_100(100 * (1 - belief.copies(locus, key)[0]))


def _names(alleles: Pair, catalogue: Catalogue) -> str:
    return " and ".join(dict.fromkeys(catalogue.alleles[key].name for key in alleles if key != WILD))


def _from(one: Candidate) -> tuple[str, ...]:
    return (f"Out of {one.parents}.",) if one.parents else ()
