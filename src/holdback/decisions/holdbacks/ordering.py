"""Hatchlings in order: those kept by what each adds beside the ones before it, the others by what they would add."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.collection.estimate import Basis, Estimate
from holdback.decisions.holdbacks.preference import Lacking, ids_of
from holdback.decisions.holdbacks.result import ProjectGain
from holdback.decisions.holdbacks.worths import Bag, Worth, Worths, difference

RANGE = 1.6448536269514722
"""Standard errors to either side that hold 90 %."""
_SAME = 1e-9


@dataclass(frozen=True, eq=False)
class Place:
    """Place of one hatchling.

    Parameters
    ----------
    animal : str
        Id.
    group : int
        Number of its group.
    is_kept : bool
        Whether it is to be held back.
    before, after : Worth
        The set it is compared with, without and with it.
    alone : Estimate
        What it would add by itself, in eggs.
    """

    animal: str
    group: int
    is_kept: bool
    before: Worth
    after: Worth
    alone: Estimate

    @property
    def adds(self) -> tuple[float, float]:
        """Eggs it adds, and the standard error."""
        return difference(self.after.eggs, self.before.eggs)

    @property
    def tells(self) -> float:
        """Eggs it adds; 0 where that cannot be told from nothing."""
        gap, error = self.adds
        return gap if abs(gap) > 2 * error + _SAME else 0.0


def ordered(worths: Worths, kept: Bag, lacking: Lacking) -> list[Place]:
    """All hatchlings, the best first.

    Parameters
    ----------
    worths : Worths
        Works out sets.
    kept : tuple of int
        The set to hold back.
    lacking : Lacking
        Sexes lacking, which decide between those that add the same.
    """
    nothing = worths.of(())
    alone = [eggs(*difference(worths.of((k,)).eggs, nothing.eggs)) for k in range(len(worths.groups))]
    names, places = ids_of(worths, kept), []
    done: Bag = ()
    for k in _steps(worths, kept):
        animal = names[kept.index(k) + done.count(k)]
        more = tuple(sorted((*done, k)))
        places.append(Place(animal, k, True, worths.of(done), worths.of(more), alone[k]))
        done = more
    rest = [
        Place(animal, k, False, worths.of(kept), worths.of(tuple(sorted((*kept, k)))), alone[k])
        for k, group in enumerate(worths.groups)
        for animal in group
        if animal not in names
    ]
    return places + sorted(rest, key=lambda place: _order(worths, place, kept, lacking))


def _steps(worths: Worths, kept: Bag) -> list[int]:
    """The kept in the order in which they add most."""
    left, steps = list(kept), []
    done: Bag = ()
    while left:
        best = max(dict.fromkeys(left), key=lambda k: worths.of(tuple(sorted((*done, k)))).mean)
        left.remove(best)
        steps.append(best)
        done = tuple(sorted((*done, best)))
    return steps


def _order(worths: Worths, place: Place, kept: Bag, lacking: Lacking) -> tuple[float | str, ...]:
    """What it adds, what it would add alone, a sex lacking, what speaks against it, kinship to those kept, mass, id."""
    one = worths.candidates[place.animal]
    kin = [worths.stock.kinship[worths.stock.index(place.animal), worths.stock.index(a)] for a in ids_of(worths, kept)]
    return (
        -round(place.tells, 6),
        -round(place.alone.mean, 6),
        not lacking.fills(place.group, kept),
        len(one.flags) + len(one.troubles),
        round(float(np.mean(kin)), 6) if kin else 0.0,
        -one.beyond_egg,
        place.animal,
    )


def eggs(gain: float, error: float) -> Estimate:
    """A gain in eggs."""
    return Estimate(
        gain, gain - RANGE * error, gain + RANGE * error, "eggs", Basis.REHEARSED, "Rehearsed with and without."
    )


def gains(worths: Worths, place: Place) -> tuple[ProjectGain, ...]:
    """What a hatchling does for each project."""
    found = []
    for k, project in enumerate(worths.projects):
        before, after = place.before.projects[k], place.after.projects[k]
        by_wish, error = difference(after.by_wish, before.by_wish)
        saved, saved_error = difference(after.saved, before.saved)
        last = worths.stock.year + worths.tools.seasons - 1
        one = worths.candidates[place.animal]
        found.append(
            ProjectGain(
                project.goal.name,
                min(project.goal.by, last) if project.goal.by else last,
                100 * float(before.by_wish.mean()),
                100 * float(after.by_wish.mean()),
                _rehearsed(100 * by_wish, 100 * error, "%"),
                _rehearsed(saved, saved_error, "seasons"),
                any(worths.is_goal(k, place.group, sex) for sex, _ in one.sexes),
            )
        )
    return tuple(found)


def _rehearsed(mean: float, error: float, unit: str) -> Estimate:
    return Estimate(
        mean, mean - RANGE * error, mean + RANGE * error, unit, Basis.REHEARSED, "Rehearsed with and without."
    )


def equals(places: Sequence[Place]) -> dict[str, tuple[str, ...]]:
    """For each hatchling not kept the others not kept that add as much, within two standard errors."""
    rest = [place for place in places if not place.is_kept]
    return {
        place.animal: tuple(other.animal for other in rest if other is not place and _is_equal(place, other))
        for place in rest
    }


def _is_equal(one: Place, other: Place) -> bool:
    gap, error = difference(one.after.eggs, other.after.eggs)
    return abs(gap) <= 2 * error + _SAME
