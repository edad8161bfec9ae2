"""Which set of hatchlings to hold back.

Sets are compared by worth on equal luck. Of those that lie within two standard errors of the best, the one is taken
that fills more of the sexes still lacking, then the smaller one, then the one with less against it, less akin, and
heavier for its eggs.

Worth is not submodular: a son may be worth something only beside a daughter. So no bound holds for adding one at a
time, and only trying every set proves a choice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations, combinations_with_replacement

from holdback.decisions.holdbacks.alike import all_bags, n_sets
from holdback.decisions.holdbacks.watch import Watch
from holdback.decisions.holdbacks.worths import Bag, Worths, difference

_SAME = 1e-9
_PAIR_SWAPS = 120
"""Most swaps of two at a time that are tried."""

Preference = Callable[[Bag], tuple[float, ...]]
"""What decides between sets that are worth the same; less is better."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A set of hatchlings and how well it is proved.

    Parameters
    ----------
    bag : tuple of int
        The set.
    n_tried : int
        Sets worked out.
    is_best_of_all : bool
        Whether every set of the groups to choose from was tried.
    """

    bag: Bag
    n_tried: int
    is_best_of_all: bool


def choose(worths: Worths, groups: Sequence[int], preference: Preference, watch: Watch) -> Choice:
    """The set to hold back.

    Parameters
    ----------
    worths : Worths
        Works out sets.
    groups : sequence of int
        Numbers of the groups to choose from.
    preference : callable
        Decides between sets that are worth the same.
    watch : Watch
        Told how far the work is; asked whether to stop.

    Raises
    ------
    Cancelled
        If asked to stop.
    """
    tubs = worths.keeping.tubs
    members = [worths.groups[k] for k in groups]
    if n_sets(members, tubs) <= worths.keeping.most_sets:
        bags = [tuple(groups[k] for k in bag) for bag in all_bags(members, tubs)]
        for done, bag in enumerate(bags):
            worths.of(bag)
            watch.step((done + 1) / len(bags))
        return Choice(_preferred(worths, tubs, preference), len(worths.bags), is_best_of_all=True)
    bag = _swapped(worths, groups, _added(worths, groups, (), watch), watch)
    while True:
        settled = _preferred(worths, tubs, preference)
        _added(worths, groups, settled, watch)
        if settled in (bag, _preferred(worths, tubs, preference)):
            return Choice(_preferred(worths, tubs, preference), len(worths.bags), is_best_of_all=False)
        bag = settled


def equal_worth(worths: Worths, bag: Bag, best: Bag) -> bool:
    """Whether a set lies within two standard errors of another."""
    gap, error = difference(worths.of(best).eggs, worths.of(bag).eggs)
    return abs(gap) <= 2 * error + _SAME


def _preferred(worths: Worths, tubs: int, preference: Preference) -> Bag:
    """Of the sets tried that are worth as much as the best, the one preferred."""
    fitting = [bag for bag in worths.bags if len(bag) <= tubs]
    best = max(fitting, key=lambda bag: (worths.of(bag).mean, -len(bag)))
    return min((bag for bag in fitting if equal_worth(worths, bag, best)), key=lambda bag: (*preference(bag), *bag))


def added_to(worths: Worths, bag: Bag, k: int) -> Bag | None:
    """A set with one more of a group; None where the group has no more."""
    return tuple(sorted((*bag, k))) if bag.count(k) < len(worths.groups[k]) else None


def _added(worths: Worths, groups: Sequence[int], bag: Bag, watch: Watch) -> Bag:
    """One added at a time, each time the best beside those there."""
    tubs = worths.keeping.tubs
    worths.of(bag)
    while len(bag) < tubs:
        more = [each for k in groups if (each := added_to(worths, bag, k)) is not None]
        if not more:
            break
        for each in more:
            worths.of(each)
            watch.step(0.6 * len(bag) / tubs)
        bag = max(more, key=lambda each: worths.of(each).mean)
    return bag


def _swapped(worths: Worths, groups: Sequence[int], bag: Bag, watch: Watch) -> Bag:
    """Swapped one by one, and in twos, until no swap is better."""
    better: Bag | None = bag
    while better is not None:
        bag = better
        better = _better(worths, bag, _swaps(worths, groups, bag, 1), watch) or _better(
            worths, bag, _swaps(worths, groups, bag, 2)[:_PAIR_SWAPS], watch
        )
    return bag


def _better(worths: Worths, bag: Bag, swaps: Sequence[Bag], watch: Watch) -> Bag | None:
    """The best of some sets, if it is better than the one at hand."""
    for each in swaps:
        worths.of(each)
        watch.step(0.8)
    best = max(swaps, key=lambda each: worths.of(each).mean, default=None)
    return best if best is not None and worths.of(best).mean > worths.of(bag).mean + _SAME else None


def _swaps(worths: Worths, groups: Sequence[int], bag: Bag, n: int) -> list[Bag]:
    """Sets with n members replaced."""
    found: dict[Bag, None] = {}
    for out in combinations(range(len(bag)), n):
        rest = [k for place, k in enumerate(bag) if place not in out]
        for into in combinations_with_replacement(groups, n):
            new = tuple(sorted((*rest, *into)))
            if new != bag and all(new.count(k) <= len(worths.groups[k]) for k in into):
                found[new] = None
    return list(found)
