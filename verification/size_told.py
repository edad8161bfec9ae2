"""Statements on sizes, each beside the truth."""

from __future__ import annotations

from dataclasses import dataclass

DEVIATION, FORECAST = "adult deviation", "adult mass"
BREEDING, WITHIN, MEAN_OF_YOUNG = "breeding value", "breeding value within lines", "mean of young of a pair"
EFFECT, OWNED, HERITABILITY, HEAD = "line effect", "owned of the line", "heritability", "head of the line"
YOUNG, MIDDLE, GROWN = "young", "to two years", "grown"


@dataclass(frozen=True, slots=True)
class Told:
    """One number with its 90 % range beside the truth; on the log scale but for heritabilities.

    Parameters
    ----------
    kind, group : str
        What is said, and of which animals or lines.
    mean, low, high : float
        As said.
    true : float
        As it is.
    """

    kind: str
    group: str
    mean: float
    low: float
    high: float
    true: float

    @property
    def half(self) -> float:
        """Half the width of the range."""
        return (self.high - self.low) / 2.0

    @property
    def away(self) -> float:
        """Distance of the truth from the middle of the range, in half widths; at most 1 where the range holds it."""
        return abs(self.true - (self.low + self.high) / 2.0) / max(self.half, 1e-12)


@dataclass(frozen=True, slots=True)
class LineTold:
    """What is said of one line.

    Parameters
    ----------
    effect : float
        True effect.
    founders : int
        Of the line.
    told : Told
        The effect.
    chance_larger : float
        As said.
    can_tell : bool
        As said.
    """

    effect: float
    founders: int
    told: Told
    chance_larger: float
    can_tell: bool

    @property
    def is_found(self) -> bool:
        """Whether an effect is stated: the records are said to tell, and the range does not hold nought."""
        return self.can_tell and not self.told.low <= 0.0 <= self.told.high


@dataclass(frozen=True, slots=True)
class Scored:
    """One collection.

    Parameters
    ----------
    effect : float
        True effect of its line.
    told : tuple of Told
        All ranges.
    lines : tuple of LineTold
        Its lines.
    correlation : float
        Of breeding values said with the true ones, over all animals.
    reliability : float
        Mean reliability said.
    missed, genetic : float
        Sum of the squared errors of breeding values within lines, and of their true variances before any weight.
    best_said, best_true : float
        Mean chance of the young said to be likeliest the biggest of its clutch, and how often it is.
    misfits, asked : float
        Part of the animals that are said not to fit their curve, and of the weights that are asked about.
    seconds : float
        Time taken.
    settled : bool
        Whether the fit converged.
    """

    effect: float
    told: tuple[Told, ...]
    lines: tuple[LineTold, ...]
    correlation: float
    reliability: float
    missed: float
    genetic: float
    best_said: float
    best_true: float
    misfits: float
    asked: float
    seconds: float
    settled: bool
