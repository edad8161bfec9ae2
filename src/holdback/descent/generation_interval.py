"""Generation interval: the age of parents when their young are born, by the four paths of selection."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from holdback.collection.model import Sex
from holdback.descent.pedigree import UNKNOWN, Pedigree

PATHS = ("sire to son", "sire to daughter", "dam to son", "dam to daughter")


@dataclass(frozen=True, slots=True)
class Interval:
    """Age of parents at the birth of their young.

    Parameters
    ----------
    n : int
        Pairs of parent and young.
    mean, sd : float or None
        In years; None where there are no pairs, the spread also where there is one.
    """

    n: int
    mean: float | None
    sd: float | None


@dataclass(frozen=True)
class GenerationInterval:
    """Generation interval of a pedigree.

    Parameters
    ----------
    paths : mapping of str to Interval
        By each of `PATHS`; young of unknown sex are on none of them.
    pooled : Interval
        All pairs together.
    mean : float or None
        Mean of the four paths, in years (Rendel and Robertson 1950, from memory); None where one of them has no pair.
    undated : int
        Pairs left out because a birth is not known.
    doubtful : int
        Young whose sire is one of several males, left out on his side.
    """

    paths: Mapping[str, Interval]
    pooled: Interval
    mean: float | None
    undated: int
    doubtful: int


def generation_interval(pedigree: Pedigree, *, only_parents: bool = True) -> GenerationInterval:
    """Age of parents at the birth of their young.

    Parameters
    ----------
    pedigree : Pedigree
        With births in `born`.
    only_parents : bool
        True for young that became parents themselves, as the term is defined; False for all young.

    Notes
    -----
    A male that only may be a sire is not taken for a parent.
    """
    bred = {parent for pair in pedigree.parents.tolist() for parent in pair if parent != UNKNOWN}
    ages: dict[str, list[float]] = {path: [] for path in PATHS}
    pooled: list[float] = []
    undated = doubtful = 0
    for node, (sire, dam) in enumerate(pedigree.parents.tolist()):
        if only_parents and node not in bred:
            continue
        doubtful += sire in pedigree.candidates
        sides = [("sire", sire), ("dam", dam)] if sire != dam else [("dam", dam)]
        for side, parent in sides:
            if parent == UNKNOWN or parent in pedigree.candidates:
                continue
            age = float(pedigree.born[node] - pedigree.born[parent])
            if np.isnan(age):
                undated += 1
                continue
            pooled.append(age)
            if pedigree.sexes[node] is not Sex.UNKNOWN:
                ages[f"{side} to {'son' if pedigree.sexes[node] is Sex.MALE else 'daughter'}"].append(age)
    paths = {path: _interval(found) for path, found in ages.items()}
    means = [one.mean for one in paths.values() if one.mean is not None]
    mean = sum(means) / len(PATHS) if len(means) == len(PATHS) else None
    return GenerationInterval(paths, _interval(pooled), mean, undated, doubtful)


def _interval(ages: Sequence[float]) -> Interval:
    """Number, mean and spread of ages."""
    if not ages:
        return Interval(0, None, None)
    return Interval(len(ages), float(np.mean(ages)), float(np.std(ages, ddof=1)) if len(ages) > 1 else None)
