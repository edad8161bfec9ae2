"""What one parent hands on: its possible states and, for each, the alleles in its eggs or sperm.

A state is a genotype at every locus of a linkage group together with its phase: which alleles ride on one chromosome.
States are kept apart with their probabilities; a question that is not linear in the parent is mixed over them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

from holdback.heredity.crosses.chain import SEX_REGION, LinkageGroup
from holdback.heredity.genotype import GenotypeBelief
from holdback.species.model import Pair

GameteOdds = Mapping[tuple[str, ...], float]
"""Alleles at the loci of a group, in its order, to probability."""

_X, _Y = "x", "y"


@dataclass(frozen=True, slots=True)
class ParentState:
    """One genotype with phase that a parent may have at a group.

    Parameters
    ----------
    weight : float
        Probability of the state.
    pairs : tuple of Pair
        Genotype at each locus of the group.
    gametes : tuple of GameteOdds
        Alleles handed to a young of the heterogametic sex, and to one of the homogametic sex.
    """

    weight: float
    pairs: tuple[Pair, ...]
    gametes: tuple[GameteOdds, GameteOdds]


def parent_states(parent: GenotypeBelief, group: LinkageGroup, *, heterogametic: bool) -> tuple[ParentState, ...]:
    """Possible states of a parent at a linkage group, with what each hands on.

    Parameters
    ----------
    parent : GenotypeBelief
        What is known of the parent.
    group : LinkageGroup
        Loci inherited together.
    heterogametic : bool
        Whether the parent has the two different sex chromosomes.

    Returns
    -------
    tuple of ParentState
        Probabilities sum to 1; states of probability 0 are left out.

    Notes
    -----
    Phase not known is one half each way, except against the sex-determining region, where `GenotypeBelief.phase` says.
    """
    states: list[ParentState] = []
    listed = [[(pair, odds) for pair, odds in parent.at(locus).items() if odds > 0.0] for locus in group.loci]
    for combination in product(*listed):
        weight = 1.0
        for _, odds in combination:
            weight *= odds
        pairs = tuple(pair for pair, _ in combination)
        states.extend(phased_states(pairs, parent.phase, group, heterogametic=heterogametic, weight=weight))
    return tuple(states)


def phased_states(
    pairs: tuple[Pair, ...],
    phase: Mapping[str, float],
    group: LinkageGroup,
    *,
    heterogametic: bool,
    weight: float = 1.0,
) -> tuple[ParentState, ...]:
    """Ways in which the alleles of a parent of known genotype may lie on its chromosomes.

    Parameters
    ----------
    pairs : tuple of Pair
        Genotype at each locus of the group.
    phase : mapping of str to float
        As in `GenotypeBelief.phase`.
    group, heterogametic
        As in `parent_states`.
    weight : float
        Probability of the genotype.

    Returns
    -------
    tuple of ParentState
        Probabilities sum to `weight`.
    """
    return tuple(
        ParentState(weight * share, pairs, _gametes(first, second, group))
        for share, first, second in _phases(pairs, phase, group, heterogametic=heterogametic)
    )


def mean_gametes(states: tuple[ParentState, ...]) -> tuple[GameteOdds, GameteOdds]:
    """What a parent hands on, averaged over its states; right for one egg, not for a clutch."""
    if len(states) == 1:
        return states[0].gametes
    both: list[GameteOdds] = []
    for young in (0, 1):
        mean: dict[tuple[str, ...], float] = {}
        for state in states:
            for alleles, odds in state.gametes[young].items():
                mean[alleles] = mean.get(alleles, 0.0) + state.weight * odds
        both.append(mean)
    return both[0], both[1]


def _phases(
    pairs: tuple[Pair, ...], phase: Mapping[str, float], group: LinkageGroup, *, heterogametic: bool
) -> list[tuple[float, tuple[str, ...], tuple[str, ...]]]:
    """Ways the alleles can lie on the two chromosomes: probability, first and second chromosome."""
    against_sex = group.sex_linked and heterogametic
    choices: list[tuple[tuple[float, Pair], ...]] = []
    free = against_sex  # the first het locus fixes which chromosome is called first, unless X and Y already do
    for locus, alleles in zip(group.loci, pairs, strict=True):
        if alleles[0] == alleles[1] or not free:
            free = free or alleles[0] != alleles[1]
            choices.append(((1.0, alleles),))
            continue
        straight = phase.get(locus, 0.5) if against_sex else 0.5
        both = ((straight, alleles), (1.0 - straight, (alleles[1], alleles[0])))
        choices.append(tuple(choice for choice in both if choice[0] > 0.0))
    phases = []
    for combination in product(*choices):
        share = 1.0
        for odds, _ in combination:
            share *= odds
        strands = [list(strand) for strand in zip(*(pair for _, pair in combination), strict=True)]
        if group.sex_linked:
            place = group.members.index(SEX_REGION)
            strands[0].insert(place, _X)
            strands[1].insert(place, _Y if heterogametic else _X)
        phases.append((share, tuple(strands[0]), tuple(strands[1])))
    return phases


def _gametes(first: tuple[str, ...], second: tuple[str, ...], group: LinkageGroup) -> tuple[GameteOdds, GameteOdds]:
    """Gametes of two chromosomes, for a young of the heterogametic and of the homogametic sex."""
    if len(first) == 1:
        single: GameteOdds = {first: 1.0} if first == second else {first: 0.5, second: 0.5}
        return single, single
    both = _along(first, second, group.r)
    if not group.sex_linked:
        return both, both
    place = group.members.index(SEX_REGION)
    carried: dict[str, dict[tuple[str, ...], float]] = {_X: {}, _Y: {}}
    for alleles, odds in both.items():
        rest = alleles[:place] + alleles[place + 1 :]
        found = carried[alleles[place]]
        found[rest] = found.get(rest, 0.0) + odds
    if not carried[_Y]:  # homogametic parent: either sex of young gets an X
        return carried[_X], carried[_X]
    doubled = [{alleles: 2.0 * odds for alleles, odds in carried[sex].items()} for sex in (_Y, _X)]
    return doubled[0], doubled[1]


def _along(first: tuple[str, ...], second: tuple[str, ...], r: tuple[float, ...]) -> dict[tuple[str, ...], float]:
    """Gametes by forward recursion along the chromosome, without interference."""
    on_first: dict[tuple[str, ...], float] = {(first[0],): 0.5}
    on_second: dict[tuple[str, ...], float] = {(second[0],): 0.5}
    for index, fraction in enumerate(r, start=1):
        next_first: dict[tuple[str, ...], float] = {}
        next_second: dict[tuple[str, ...], float] = {}
        for strand, stay, switch in ((on_first, next_first, next_second), (on_second, next_second, next_first)):
            for alleles, odds in strand.items():
                for target, share in ((stay, 1.0 - fraction), (switch, fraction)):
                    if share > 0.0:
                        grown = (*alleles, (first if target is next_first else second)[index])
                        target[grown] = target.get(grown, 0.0) + odds * share
        on_first, on_second = next_first, next_second
    total = dict(on_first)
    for alleles, odds in on_second.items():
        total[alleles] = total.get(alleles, 0.0) + odds
    return total
