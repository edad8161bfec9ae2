"""The chance of what is wanted, mixed over everything the parents may carry.

A question such as "at least one in this clutch" is not linear in what a parent carries: all eggs share the parents. So
the chance per egg is worked out for every joint state of the parents, and the answer is averaged over the states, never
worked out from an averaged chance.

Notation: for a state, `t` is the chance that an egg of a sex gives the target alive, `v` that it lives at all.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from holdback.collection.model import Sex
from holdback.heredity.crosses.clutch import GUARD, LEVELS, EggCount, each_sex, first_reaching
from holdback.heredity.crosses.couples import BySex, Genotype, couples, young_table
from holdback.heredity.crosses.gametes import ParentState
from holdback.heredity.crosses.result import TurnsOn, WantOdds
from holdback.heredity.crosses.turning import either_or, turning_facts
from holdback.heredity.crosses.young import Cross, Part, sex_of
from holdback.heredity.genotype import WILD_PAIR, Wish
from holdback.species.model import Pair

_MOST_STATES = 50_000
"""Beyond this many joint states chances are told apart to nine figures only, and the result says it is not exact."""

_MOST_TOLD = 5
"""Chances of at least one up to at least this many are told."""

Values = tuple[float, float, float, float]
"""Target and living, each for the heterogametic and the homogametic sex of young."""

_CERTAIN: Values = (1.0, 1.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class State:
    """Something the parents may be, and what it means for one egg.

    Parameters
    ----------
    weight : float
        Probability.
    target : tuple of float
        Chance that an egg is a target of the heterogametic, and of the homogametic sex (both halves of all eggs).
    living : float
        Chance that an egg gives a living young.
    """

    weight: float
    target: tuple[float, float]
    living: float

    @property
    def per_egg(self) -> float:
        """Chance that an egg gives the target."""
        return self.target[0] + self.target[1]


Pairs = frozenset[Pair]

_Row = tuple[float, tuple[ParentState, ...], tuple[ParentState, ...], Values]


@dataclass(frozen=True, slots=True)
class WantedPart:
    """Part of a cross that a wish names, with the joint states of the parents there."""

    part: Part
    accepted: Mapping[str, Pairs]
    rows: Sequence[_Row]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What one scenario says of a wish."""

    cross: Cross
    states: tuple[State, ...]
    parts: tuple[WantedPart, ...]
    exact: bool


def wanted_states(cross: Cross, wish: Wish) -> Wanted:
    """Chance per egg of a wish for every state of the parents.

    Parameters
    ----------
    cross : Cross
        The pair in parts.
    wish : Wish
        What is wanted.

    Returns
    -------
    Wanted
        States with probabilities summing to 1; states with equal chances are one. No parts where the wish asks for
        what neither parent has.
    """
    possible = all(WILD_PAIR in accepted for locus, accepted in wish.loci.items() if locus not in cross.order)
    joint: dict[Values, float] = {_CERTAIN if possible else (0.0, 0.0, 1.0, 1.0): 1.0}
    exact = True
    parts: list[WantedPart] = []
    for part in cross.parts:
        accepted = {locus: pairs for locus, pairs in wish.loci.items() if locus in part.loci}
        if not accepted and part.all_live:
            continue
        rows = _part_states(part, accepted)
        if accepted and possible:
            parts.append(WantedPart(part, accepted, rows))
        joint = _multiplied(joint, rows)
        if len(joint) > _MOST_STATES:
            joint, exact = _rounded(joint), False
    sexes = [1.0 if wish.sex in (Sex.UNKNOWN, sex_of(index, cross.catalogue)) else 0.0 for index in (0, 1)]
    states = tuple(
        State(weight, (0.5 * sexes[0] * v[0], 0.5 * sexes[1] * v[1]), 0.5 * (v[2] + v[3]))
        for v, weight in joint.items()
    )
    return Wanted(cross, states, tuple(parts), exact)


def _part_states(part: Part, accepted: Mapping[str, Pairs]) -> list[_Row]:
    """Every joint state of the parents at a part: probability, sire, dam, values."""
    places = [(part.loci.index(locus), pairs) for locus, pairs in accepted.items()]
    by_group = [
        [(weight, sire, dam, young_table(sire.gametes, dam.gametes)) for weight, sire, dam in couples(blocks)]
        for blocks in part.blocks
    ]
    rows = []
    for chosen in product(*by_group):
        weights, sires, dams, tables = zip(*chosen, strict=True)
        rows.append((math.prod(weights), sires, dams, _values(part, part.young(tables), places)))
    return rows


def _values(part: Part, young: Mapping[Genotype, BySex], places: Sequence[tuple[int, Pairs]]) -> Values:
    """Target and living chances of one table of young."""
    sums = [0.0, 0.0, 0.0, 0.0]
    for genotype, chances in young.items():
        lives = part.survival(genotype)[1]
        fits = all(genotype[index] in accepted for index, accepted in places)
        for sex in (0, 1):
            sums[2 + sex] += chances[sex] * lives
            if fits:
                sums[sex] += chances[sex] * lives
    return sums[0], sums[1], sums[2], sums[3]


def _multiplied(joint: Mapping[Values, float], rows: Sequence[_Row]) -> dict[Values, float]:
    """Joint states with one more part."""
    distinct: dict[Values, float] = {}
    for weight, _, _, values in rows:
        distinct[values] = distinct.get(values, 0.0) + weight
    grown: dict[Values, float] = {}
    for known, weight in joint.items():
        for values, other in distinct.items():
            both = (known[0] * values[0], known[1] * values[1], known[2] * values[2], known[3] * values[3])
            grown[both] = grown.get(both, 0.0) + weight * other
    return grown


def _rounded(joint: Mapping[Values, float]) -> dict[Values, float]:
    """Joint states with chances told apart to nine figures."""
    rounded: dict[Values, float] = {}
    for values, weight in joint.items():
        key = tuple(float(f"{value:.9g}") for value in values)
        rounded[key[0], key[1], key[2], key[3]] = rounded.get((key[0], key[1], key[2], key[3]), 0.0) + weight
    return rounded


def want_odds(scenarios: Sequence[tuple[float, Wanted]], wish: Wish, eggs: EggCount, *, same_animals: bool) -> WantOdds:
    """Chance of a wish over all scenarios.

    Parameters
    ----------
    scenarios : sequence of (float, Wanted)
        Possible pairs with their probabilities.
    wish : Wish
        What is wanted.
    eggs : EggCount
        The clutch counted on.
    same_animals : bool
        Whether all scenarios are of the same two animals, so that a fact about one of them can be told.

    Returns
    -------
    WantOdds
        Per egg, per hatchling, per clutch, and what is needed.
    """
    weights: dict[tuple[BySex, float], float] = {}
    for share, wanted in scenarios:
        for state in wanted.states:
            kind = (state.target, state.living)
            weights[kind] = weights.get(kind, 0.0) + share * state.weight
    states = [State(weight, *kind) for kind, weight in weights.items()]
    per_egg = math.fsum(state.weight * state.per_egg for state in states)
    living = math.fsum(state.weight * state.living for state in states)
    counted = [(state.weight, *_counted(state, eggs)) for state in states]
    possible = math.fsum(state.weight for state in states if state.per_egg > 0.0)
    eggs_for = _eggs_for([(weight, male + female) for weight, male, female in counted], eggs)
    facts = _facts(scenarios, per_egg / possible if possible > 0.0 else 0.0) if same_animals else ()
    surely = [(weight / possible, male + female) for weight, male, female in counted if male + female > 0.0]
    return WantOdds(
        text=wish.text,
        per_egg=per_egg,
        per_hatchling=per_egg / living if living > 0.0 else 0.0,
        at_least_one=math.fsum(w * eggs.at_least_one(a + b) for w, a, b in counted),
        eggs_for=eggs_for,
        clutches_for=_clutches_for([(weight, male + female) for weight, male, female in counted], eggs),
        at_least=_at_least(counted, eggs),
        one_of_each_sex=math.fsum(
            w * eggs.one_of_each_sex(a + b, males=a / (a + b)) for w, a, b in counted if a * b > 0.0
        ),
        possible=possible,
        either_or=either_or(facts, possible, _eggs_for(surely, eggs)["95"] if surely else None, eggs.unit),
        turns_on=facts,
        eggs_for_each_sex=_each_sex_for(counted, eggs),
    )


def _facts(scenarios: Sequence[tuple[float, Wanted]], if_so: float) -> tuple[TurnsOn, ...]:
    """Facts about two parents on which the wish turns, over all that they may be."""
    first = scenarios[0][1]
    found: list[TurnsOn] = []
    for index, wanted in enumerate(first.parts):
        rows = [
            (share * weight, sire, dam, max(values[:2]))
            for share, scenario in scenarios
            for weight, sire, dam, values in scenario.parts[index].rows
        ]
        found += turning_facts(first.cross, wanted.part, wanted.accepted, rows)
    return tuple(replace(fact, if_so=if_so) for fact in found)


def _at_least(counted: Sequence[tuple[float, float, float]], eggs: EggCount) -> dict[str, float]:
    """Chance of at least one, two and so on in this clutch."""
    each = [(weight, eggs.at_least_each(_MOST_TOLD, male + female)) for weight, male, female in counted]
    return {str(m + 1): math.fsum(weight * chances[m] for weight, chances in each) for m in range(_MOST_TOLD)}


def _counted(state: State, eggs: EggCount) -> tuple[float, float]:
    """Chance of a target of each sex for one of what is counted: an egg, or a young that lives."""
    if eggs.unit != "hatchlings":
        return state.target
    return (state.target[0] / state.living, state.target[1] / state.living) if state.living > 0.0 else (0.0, 0.0)


def _levels(states: Sequence[tuple[float, float]], chance: Callable[[int], float]) -> dict[str, int | None]:
    """Least number that meets each certainty, None where the limit lies at or below it and is never met."""
    limit = math.fsum(weight for weight, q in states if q > 0.0)
    at_once = all(q >= 1.0 - GUARD for _, q in states if q > 0.0)
    needed: dict[str, int | None] = {}
    for level in LEVELS:
        wanted = level / 100.0
        reachable = limit > wanted + GUARD or (at_once and limit >= wanted - GUARD and limit > 0.0)
        needed[str(level)] = first_reaching(wanted, chance) if reachable else None
    return needed


def _eggs_for(states: Sequence[tuple[float, float]], eggs: EggCount) -> dict[str, int | None]:
    """Eggs needed, counted singly at the mean hatch rate (they may come from many clutches)."""
    rate = eggs.hatch_rate
    scaled = [(weight, q * rate) for weight, q in states]

    def chance(n: int) -> float:
        return math.fsum(w * -math.expm1(n * math.log1p(-q)) if q < 1.0 else w for w, q in scaled if q > 0.0)

    return _levels(scaled, chance)


def _clutches_for(states: Sequence[tuple[float, float]], eggs: EggCount) -> dict[str, int | None]:
    """Clutches needed of the same pair."""
    empty = [(weight, eggs.none_of(q)) for weight, q in states]
    return _levels(
        [(weight, 1.0 - none) for weight, none in empty],
        lambda clutches: math.fsum(weight * (1.0 - none**clutches) for weight, none in empty),
    )


def _each_sex_for(counted: Sequence[tuple[float, float, float]], eggs: EggCount) -> dict[str, int | None]:
    """Eggs needed for one male and one female."""
    rate = eggs.hatch_rate
    both = [(w, a * rate, b * rate) for w, a, b in counted]
    return _levels(
        [(w, min(a, b)) for w, a, b in both],
        lambda n: math.fsum(w * each_sex(n, a, b) for w, a, b in both if a * b > 0.0),
    )
