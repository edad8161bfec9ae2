"""Optimum contributions: the most gain that a limit on the kinship of the next generation allows.

Notation: c are the contributions (half from each sex, so they sum to 1), g the breeding values, F the matrix of
kinship (half the additive relationship matrix A). The gain is g'c; the group kinship c'Fc is the mean kinship among
the young, and so the inbreeding to expect a generation later under random mating. The problem is convex (a linear aim,
one second-order cone) and is solved whole: dropping animals with a negative contribution and solving again, as was
first proposed, can miss the optimum (Pong-Wong & Woolliams 2007, Genetics Selection Evolution 39:3).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.decisions.contributions.cone import at_limit, least_kinship
from holdback.decisions.contributions.problem import Problem
from holdback.errors import DecisionError, Fault

FloatArray = npt.NDArray[np.float64]

_SLACK = 1e-9
"""Group kinship within this of the least, or of what the most gain needs, counts as equal to it."""


@dataclass(frozen=True, eq=False)
class Contributions:
    """What each animal should give to the next generation.

    Parameters
    ----------
    animals : tuple of str
        Ids, n of them.
    shares : float array, shape (n,)
        Part of the genes of the young that comes from each, 0.5 in all from each sex.
    gain : float
        Expected breeding value of the young, in the unit of the gains given.
    group_kinship : float
        Mean kinship among the young, an animal with itself counted in.
    least_kinship : float
        The least that these animals allow.
    worth_of_limit : float
        Gain for each unit by which the limit on the group kinship is raised; 0 where it does not bind, ``inf`` where it
        is at the least.
    violation : float
        Largest violation of the conditions for an optimum (Karush, Kuhn, Tucker), in units of the spread of the gains.
    """

    animals: tuple[str, ...]
    shares: FloatArray
    gain: float
    group_kinship: float
    least_kinship: float
    worth_of_limit: float
    violation: float


def kinship_limit(now: float, rate: float) -> float:
    """Group kinship of the next generation at a rate of inbreeding a generation.

    Parameters
    ----------
    now : float
        Mean kinship of the animals that stand for the present generation.
    rate : float
        Rate of inbreeding a generation, in [0, 1]: 0.01 is a common limit (common practice, no source).

    Examples
    --------
    >>> round(kinship_limit(0.1, 0.01), 4)
    0.109
    """
    return now + rate * (1.0 - now)


def contributions(
    animals: Sequence[str],
    gains: Sequence[float] | FloatArray,
    kinship: FloatArray,
    sexes: Sequence[Sex],
    *,
    group_kinship_at_most: float,
    most: Sequence[float] | FloatArray | None = None,
) -> Contributions:
    """Contributions with the most gain within a limit on the mean kinship of the young.

    Parameters
    ----------
    animals : sequence of str
        Ids, n of them.
    gains : float array, shape (n,)
        Breeding values, in any unit.
    kinship : float array, shape (n, n)
        Coefficients of kinship; an animal with itself gives (1 + F) / 2.
    sexes : sequence of Sex, length n
        Male or female.
    group_kinship_at_most : float
        Limit on the group kinship.
    most : float array, shape (n,), optional
        Largest contribution of each, in [0, 0.5]; 0.5 where left out.

    Raises
    ------
    DecisionError
        DEC-100 if no contributions keep the limit, DEC-101 if a sex is missing, DEC-102 if the largest contributions
        of a sex do not add up to a half, DEC-103 if a breeding value or a kinship is not known.

    Notes
    -----
    Where several answers have the same gain, the one with the least group kinship. Time grows with the cube of n:
    about 0.1 s for 200 animals.

    References
    ----------
    Meuwissen (1997), Maximizing the response of selection with a predefined rate of inbreeding, J Anim Sci 75:934-940.
    """
    problem = problem_of(animals, gains, kinship, sexes, most)
    least = least_kinship(problem)
    lowest = problem.group_kinship(least)
    if group_kinship_at_most < lowest - _SLACK:
        raise DecisionError(
            Fault(
                "DEC-100",
                f"A group kinship of {group_kinship_at_most:.4g} cannot be kept: the least is {lowest:.4g}.",
                "Allow more, or bring in an unrelated animal.",
                field="group_kinship_at_most",
                value=f"{group_kinship_at_most:g}",
            )
        )
    if group_kinship_at_most <= lowest + _SLACK:
        return _result(animals, problem, least, lowest, float("inf"), 0.0)
    free = least_kinship(problem.at_most_gain())
    if problem.group_kinship(free) <= group_kinship_at_most + _SLACK:
        return _result(animals, problem, free, lowest, 0.0, 0.0)
    shares, worth = at_limit(problem, group_kinship_at_most)
    return _result(animals, problem, shares, lowest, worth, problem.violation(shares, worth, group_kinship_at_most))


def least_inbreeding(
    animals: Sequence[str],
    gains: Sequence[float] | FloatArray,
    kinship: FloatArray,
    sexes: Sequence[Sex],
    *,
    most: Sequence[float] | FloatArray | None = None,
) -> Contributions:
    """Contributions with the least mean kinship of the young, whatever the gain; parameters as in `contributions`."""
    problem = problem_of(animals, gains, kinship, sexes, most)
    shares = least_kinship(problem)
    return _result(animals, problem, shares, problem.group_kinship(shares), float("inf"), 0.0)


def most_gain(
    animals: Sequence[str],
    gains: Sequence[float] | FloatArray,
    kinship: FloatArray,
    sexes: Sequence[Sex],
    *,
    most: Sequence[float] | FloatArray | None = None,
) -> Contributions:
    """Contributions with the most gain, whatever the inbreeding; parameters as in `contributions`."""
    problem = problem_of(animals, gains, kinship, sexes, most)
    shares = least_kinship(problem.at_most_gain())
    return _result(animals, problem, shares, problem.group_kinship(least_kinship(problem)), 0.0, 0.0)


def problem_of(
    animals: Sequence[str],
    gains: Sequence[float] | FloatArray,
    kinship: FloatArray,
    sexes: Sequence[Sex],
    most: Sequence[float] | FloatArray | None,
) -> Problem:
    """The problem in arrays, checked.

    Raises
    ------
    DecisionError
        DEC-101, DEC-102, DEC-103; see `contributions`.
    """
    values = np.asarray(gains, dtype=np.float64)
    caps = np.full(len(values), 0.5) if most is None else np.minimum(np.asarray(most, dtype=np.float64), 0.5)
    sires = np.array([sex is Sex.MALE for sex in sexes])
    faults = [fault for name, rows in (("male", sires), ("female", ~sires)) for fault in _faults(name, caps[rows])]
    unknown = ~(np.isfinite(values) & np.isfinite(kinship).all(axis=1))
    faults += [
        Fault("DEC-103", "Its breeding value or its kinship is not known.", "Leave it out.", animal=animals[int(place)])
        for place in np.flatnonzero(unknown)
    ]
    if faults:
        raise DecisionError(faults)
    return Problem(values, np.asarray(kinship, dtype=np.float64), sires, np.zeros(len(values)), caps)


def _faults(sex: str, caps: FloatArray) -> list[Fault]:
    """What is wrong with the animals of one sex."""
    if len(caps) == 0:
        return [Fault("DEC-101", f"There is no {sex} to breed from.", f"Add a {sex}, or borrow one.", field="sexes")]
    if caps.sum() < 0.5 - 1e-12:
        what = f"The largest contributions of the {sex}s add up to {caps.sum():.3g}, and a half is needed."
        return [Fault("DEC-102", what, "Raise them.", field="most")]
    return []


def _result(
    animals: Sequence[str], problem: Problem, shares: FloatArray, lowest: float, worth: float, violation: float
) -> Contributions:
    """Result from the shares found."""
    return Contributions(
        animals=tuple(animals),
        shares=shares,
        gain=float(problem.gains @ shares),
        group_kinship=problem.group_kinship(shares),
        least_kinship=lowest,
        worth_of_limit=worth,
        violation=violation,
    )
