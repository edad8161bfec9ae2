"""How long things take: common practice drawn towards the keeper's own records.

The logarithm of a length is normal: every usual range of the species file reaches further up than down, and no length
is below nothing. The middle of the usual range, on the logarithm, is where an unknown keeper is expected, and the range
holds nine of ten of his cases. Own records move the middle and the spread, a dam's own records move hers
(`dam_regression`); what is foretold is Student's law of a single case, a chance for every day.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.season.by_season import season_of
from holdback.season.completed import Completed, lengths
from holdback.season.cycles import cycles, past_seasons
from holdback.season.dam_regression import Drawn, Fit, Prior, Sample, share_weights, student_95
from holdback.season.days import DayLaw
from holdback.season.incubation import Warming
from holdback.season.interval_draws import IntervalDraws, SpanDraws
from holdback.season.spans import Span, stated, usual
from holdback.species.catalogue import Catalogue
from holdback.species.model import Value

__all__ = ["IntervalDraws", "Intervals", "Length", "Span", "Told"]

FloatArray = NDArray[np.float64]

PARTS_OF_DAY = 4
"""Points in a day at which the density is taken."""

SCALES_OUT = 9.0
"""A law ends this many scales from its middle."""

NO_RANGE = 0.1
"""Half the range, as a share of the value, where the species file gives none; an assumption."""


@dataclass(frozen=True, eq=False)
class Length:
    """How many days something takes.

    Parameters
    ----------
    law : DayLaw
        Chances of numbers of days; `law.first` is a number of days, 0 or more.
    n_own : int
        The keeper's own records that it rests on.
    basis : Basis
        Measured where there is any, else assumed.
    ground : str
        How many records, and what else.
    """

    law: DayLaw
    n_own: int
    basis: Basis
    ground: str


@dataclass(frozen=True, slots=True)
class Told:
    """One length for a page.

    Parameters
    ----------
    span : Span
        Which.
    usual : Value
        What the species file says, with its mark.
    own_mean : float or None
        Mean of the keeper's own in days; None without any.
    n_own : int
        Own records.
    low, middle, high : int
        What it is taken to be now: days by which one in ten, half and nine in ten have come.
    ground : str
        What it rests on.
    """

    span: Span
    usual: Value
    own_mean: float | None
    n_own: int
    low: int
    middle: int
    high: int
    ground: str


@dataclass(frozen=True, eq=False)
class _Learned:
    """One span: a fit for each warmth that unmeasured boxes may have; a single one where warmth does not matter."""

    usual: Value
    own: Sequence[Completed]
    fits: tuple[Fit, ...]
    weights: FloatArray
    warmer: FloatArray | None
    at: float

    def columns(self, number: int, celsius: float | None) -> FloatArray:
        """Columns of a case in one of the fits."""
        if self.warmer is None:
            return np.ones(1)
        return np.array([1.0, self.warmer[number] if celsius is None else celsius - self.at])


@dataclass(frozen=True, eq=False)
class Intervals:
    """All lengths as they are known on a day. Build it with `learned`.

    Parameters
    ----------
    asked : tuple of Completed
        Lengths on record that cannot be right; they were left out.
    """

    _learned: Mapping[Span, _Learned]
    asked: tuple[Completed, ...] = ()

    @classmethod
    def learned(cls, collection: Collection, catalogue: Catalogue, *, before: dt.date) -> Intervals:
        """Lengths by common practice and by what had ended before a day.

        Parameters
        ----------
        collection : Collection
            Records.
        catalogue : Catalogue
            Species: usual lengths, and how far own records are followed.
        before : date
            What happened on this day or later is not known yet.
        """
        past = past_seasons(collection, catalogue, before)
        now = cycles(collection, season_of(before, catalogue), catalogue, before=before).values()
        found = lengths(collection, [*past, *now], catalogue, before=before)
        learned = {
            span: _learn(value, found.counted.get(span, ()), catalogue, span)
            for span in Span
            if (value := usual(catalogue, span)) is not None
        }
        return cls(learned, found.asked)

    def length(self, span: Span, *, dam: str = "", celsius: float | None = None) -> Length | None:
        """How many days something takes; None where the species file says nothing of it.

        Parameters
        ----------
        span : Span
            Which.
        dam : str
            Her id, or the dam of the young; her own records count more then.
        celsius : float, optional
            Mean warmth of the eggs; only `Span.LAYING_TO_HATCHING` uses it.
        """
        key = (span, dam if self._n_of(span, dam) else "", celsius)
        if key not in self._known:
            learned = self._learned.get(span)
            self._known[key] = None if learned is None else _length(learned, key[1], celsius)
        return self._known[key]

    @cached_property
    def _known(self) -> dict[tuple[Span, str, float | None], Length | None]:
        return {}

    def _n_of(self, span: Span, dam: str) -> int:
        learned = self._learned.get(span)
        return learned.fits[0].n_of(dam) if learned is not None else 0

    def draw(self, rng: np.random.Generator, n: int) -> IntervalDraws:
        """Sets of what the lengths may truly be for this keeper, as likely as they are held to be.

        Parameters
        ----------
        rng : Generator
            Random numbers.
        n : int
            Sets.
        """
        return IntervalDraws({span: _draw(one, rng, n) for span, one in self._learned.items()})

    def told(self) -> tuple[Told, ...]:
        """Every length for a page: what is usual, what the keeper's own are, what it is taken to be."""
        return tuple(self._tell(span) for span in self._learned)

    def _tell(self, span: Span) -> Told:
        learned, length = self._learned[span], self.length(span)
        assert length is not None
        days = [one.days for one in learned.own]
        low, middle, high = (length.law.day_by(share).toordinal() for share in (0.1, 0.5, 0.9))
        mean = sum(days) / len(days) if days else None
        return Told(span, learned.usual, mean, len(days), low, middle, high, length.ground)


def usual_law(value: Value) -> tuple[float, float]:
    """Middle of the logarithm of a usual length, and half its range.

    Examples
    --------
    A range of 25 to 36 has its middle at 30.

    >>> from holdback.species.model import Mark
    >>> middle, half = usual_law(Value(30, 25, 36, "d", Mark.COMMON))
    >>> round(math.exp(middle)), round(math.exp(half), 2)
    (30, 1.2)
    """
    if value.high > value.low > 0:
        low, high = math.log(value.low), math.log(value.high)
        return (low + high) / 2, (high - low) / 2
    return math.log(value.value), NO_RANGE


def prior_of(value: Value, catalogue: Catalogue, warming: Warming | None = None) -> Prior:
    """Prior of a length, such that a single case of an unknown keeper lies in the usual range nine times in ten."""
    middle, half = usual_law(value)
    records, nu = stated(catalogue, "interval_prior_records").value, stated(catalogue, "interval_spread_records").value
    share = stated(catalogue, "interval_dam_share")
    scale2 = (half / student_95(nu)) ** 2 / (1 + 1 / records)
    mean, precision = np.array([middle]), np.array([[records]])
    if warming is not None:
        mean = np.array([middle, warming.slope])
        precision = np.diag([records, scale2 / warming.slope_sd**2])
    return Prior(mean, precision, nu, scale2, share_weights(share.value, share.low, share.high))


def _learn(value: Value, own: Sequence[Completed], catalogue: Catalogue, span: Span) -> _Learned:
    """What is known of one length."""
    warming = Warming.of(catalogue) if span is Span.LAYING_TO_HATCHING else None
    prior = prior_of(value, catalogue, warming)
    y = np.log(np.maximum([float(one.days) for one in own], 0.5))
    dams = [one.dam or f"\0{number}" for number, one in enumerate(own)]
    ones = np.ones(len(own))
    if warming is None:
        return _Learned(value, own, (Fit.of(Sample(y, ones[:, None], dams), prior),), np.ones(1), None, 0.0)
    celsius = np.array([math.nan if one.celsius is None else one.celsius for one in own], dtype=float)
    is_known = ~np.isnan(celsius)
    warmer, chances = warming.unmeasured(celsius[is_known])
    fits = tuple(
        Fit.of(Sample(y, np.stack([ones, np.where(is_known, celsius - warming.at, each)], axis=1), dams), prior)
        for each in warmer
    )
    log_weights = np.log(chances) + [fit.log_evidence for fit in fits]
    weights = np.exp(log_weights - log_weights.max())
    return _Learned(value, own, fits, weights / weights.sum(), warmer, warming.at)


def _length(learned: _Learned, dam: str, celsius: float | None) -> Length:
    """Law and ground of one length."""
    parts = [
        (float(weight), fit.foretold(learned.columns(number, celsius), dam))
        for number, (weight, fit) in enumerate(zip(learned.weights, learned.fits, strict=True))
    ]
    most = max(part.location.max() + SCALES_OUT * part.widest for _, part in parts)
    last = min(math.ceil(math.exp(most)), math.ceil(12 * max(learned.usual.high, learned.usual.value)))
    points = (np.arange((last + 1) * PARTS_OF_DAY) + 0.5) / PARTS_OF_DAY - 0.5
    able = points > 0
    density = np.zeros(len(points))
    for weight, part in parts:
        density[able] += weight * part.density(np.log(points[able])) / points[able]
    law = DayLaw.of(0, density.reshape(-1, PARTS_OF_DAY).sum(axis=1))
    n_own = len(learned.own)
    return Length(law, n_own, Basis.MEASURED if n_own else Basis.ASSUMED, _ground(learned, dam, celsius))


def _ground(learned: _Learned, dam: str, celsius: float | None) -> str:
    """What a length rests on, in words."""
    n_own, mark = len(learned.own), str(learned.usual.mark)
    said = f"{learned.usual.low:g} to {learned.usual.high:g} days ({mark})"
    if n_own:
        n_hers = learned.fits[0].n_of(dam)
        of_hers = f", {n_hers} of them hers" if n_hers else ""
        word = "record" if n_own == 1 else "records"
        said = f"{n_own} {word} of yours{of_hers}, drawn towards {said}"
    if learned.warmer is None:
        return said
    warmth = "no warmth on record" if celsius is None else f"at {celsius:.1f}\u00a0°C"
    return f"{said}; {warmth}"


def _draw(learned: _Learned, rng: np.random.Generator, n: int) -> SpanDraws:
    """Sets of parameters of one length, over the warmths that unmeasured boxes may have."""
    which = rng.choice(len(learned.fits), size=n, p=learned.weights)
    parts: list[tuple[NDArray[np.int64], Drawn, FloatArray]] = []
    for number, fit in enumerate(learned.fits):
        rows = np.flatnonzero(which == number)
        if len(rows):
            parts.append((rows, fit.draw(rng, len(rows)), learned.columns(number, None)))
    return SpanDraws(n, tuple(parts), learned.at)
