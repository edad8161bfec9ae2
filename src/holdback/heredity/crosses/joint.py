"""What will come out of a pair whose parents are related, or of whom something is known only together.

Two possible hets of one clutch share their parents: if one is het, so more likely is the other. What they may be
together stands in place of the product of two beliefs.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from holdback.heredity.crosses.answering import answer
from holdback.heredity.crosses.checks import check, with_sexes
from holdback.heredity.crosses.clutch import EggCount
from holdback.heredity.crosses.looks import LookBook
from holdback.heredity.crosses.result import Odds
from holdback.heredity.crosses.young import Cross, Part, PartKey
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint, Wish
from holdback.species.model import Pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_WEIGHED = "Where a sire among the parents' kin is in doubt, his candidates are weighed."


def odds_joint(
    scenarios: Sequence[ParentsJoint],
    catalogue: Catalogue,
    *,
    sire: GenotypeBelief,
    dam: GenotypeBelief,
    eggs: EggCount | None = None,
    want: Wish | None = None,
    top: int = 16,
) -> Odds:
    """What comes out of one pair, given what its parents may be together.

    Parameters
    ----------
    scenarios : sequence of ParentsJoint
        Possible states of what several loci share, with weights that sum to 1. Within a state loci are independent,
        the two parents at one locus are not.
    catalogue : Catalogue
        Species.
    sire, dam : GenotypeBelief
        The two animals. Their sexes and bases are used; their chances and phases are taken from the scenarios alone.
    eggs, want, top
        As in `odds`.

    Returns
    -------
    Odds
        As of `odds`. With parents that are independent at every locus, and one scenario, it differs from `odds` in
        its assumptions only.

    Raises
    ------
    CrossError
        As in `odds`, if the weights do not sum to 1, or if a parent may carry a gene of which no scenario speaks.

    Notes
    -----
    For a part of several loci (linked, hiding or deadly together) the chances of both parents are the product over its
    loci of the joint chances at each. Chances of a clutch mix over every couple that the parents may be.

    Examples
    --------
    A gene that both parents carry or neither: at best half of the clutches hold a visual.

    >>> from holdback.species import load
    >>> het, wild, sure = ("+", "clown"), ("+", "+"), ("clown", "clown")
    >>> both = ParentsJoint(1.0, {"clown": {(het, het): 0.5, (wild, wild): 0.5}})
    >>> either = {"clown": {het: 0.5, wild: 0.5}}
    >>> visual = Wish("Clown", {"clown": frozenset({sure})})
    >>> found = odds_joint(
    ...     [both], load(), sire=GenotypeBelief(loci=either), dam=GenotypeBelief(loci=either),
    ...     want=visual, eggs=EggCount.fixed(8),
    ... )
    >>> found.want.possible, round(found.want.at_least_one, 6)
    (0.5, 0.449944)
    """
    turned = with_sexes(sire, dam)
    check(
        [turned],
        catalogue,
        weights=[scenario.weight for scenario in scenarios],
        want=want,
        top=top,
        joints=scenarios,
    )
    father, mother, notes = turned
    if any(note.code == "swapped" for note in notes):
        scenarios = [_turned(scenario) for scenario in scenarios]
    scenarios = [scenario for scenario in scenarios if scenario.weight > 0.0]
    sires, dams = (
        _overall(parent, scenarios, side, heterogametic=catalogue.is_heterogametic(parent.sex))
        for side, parent in enumerate((father, mother))
    )
    book = LookBook(catalogue)
    parts: dict[PartKey, Part] = {}
    return answer(
        [
            (scenario.weight, Cross(sires, dams, catalogue, book=book, joint=scenario, parts=parts))
            for scenario in scenarios
        ],
        catalogue,
        eggs=eggs,
        want=want,
        top=top,
        notes=notes,
        of_parents=[_WEIGHED] if len(scenarios) > 1 else [],
        same_animals=True,
    )


def _turned(scenario: ParentsJoint) -> ParentsJoint:
    """Scenario with sire and dam changed over."""
    loci = {
        locus: {(hers, mine): chance for (mine, hers), chance in both.items()} for locus, both in scenario.loci.items()
    }
    return dataclasses.replace(scenario, loci=loci)


def _overall(
    parent: GenotypeBelief, scenarios: Sequence[ParentsJoint], side: int, *, heterogametic: bool
) -> GenotypeBelief:
    """What one parent may be over all scenarios, with its sex and bases."""
    loci: dict[str, Mapping[Pair, float]] = {}
    phase: dict[str, float] = {}
    for locus in dict.fromkeys(locus for scenario in scenarios for locus in scenario.loci):
        at: dict[Pair, float] = {}
        het = limited = 0.0
        for scenario in scenarios:
            for both, chance in scenario.at(locus).items():
                alleles, weight = both[side], scenario.weight * chance
                if weight > 0.0:
                    at[alleles] = at.get(alleles, 0.0) + weight
                if alleles[0] != alleles[1]:
                    het += weight
                    limited += weight * scenario.phase.get(locus, 0.5)
        loci[locus] = at if len(at) > 1 else dict.fromkeys(at, 1.0)
        if heterogametic and het > 0.0:
            phase[locus] = limited / het
    return dataclasses.replace(parent, loci=loci, phase=phase)
