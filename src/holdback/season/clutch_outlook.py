"""What is to come of a clutch in the boxes: when it hatches, and how many come out."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Clutch, PartialDate
from holdback.season.assumed import assumed
from holdback.season.by_season import laid_about
from holdback.season.clumped import binomials, sum_of
from holdback.season.clutch_counts import ClutchCounts
from holdback.season.days import DayLaw
from holdback.season.egg_records import first_out
from holdback.season.egg_tally import Tally, tally
from holdback.season.incubation import warmth_of
from holdback.season.intervals import Intervals, Length, Span
from holdback.season.outlook import ClutchOutlook, CountLaw, Window
from holdback.season.windows import window_after
from holdback.species.catalogue import Catalogue

Floats = NDArray[np.float64]

THERMOMETER_C = 0.5
"""How far a thermometer may be off; an assumption."""


def clutch_outlook(
    collection: Collection,
    clutch: Clutch,
    *,
    today: dt.date,
    intervals: Intervals,
    catalogue: Catalogue,
    counts: ClutchCounts | None = None,
) -> ClutchOutlook:
    """What is to come of one clutch.

    Parameters
    ----------
    collection : Collection
        Records.
    clutch : Clutch
        One of its clutches.
    today : date
        Day of the outlook.
    intervals : Intervals
        How long things take.
    catalogue : Catalogue
        Species.
    counts : ClutchCounts, optional
        Laws of numbers, where they are at hand.

    Returns
    -------
    ClutchOutlook
        `alive` holds the young that are out. Where nobody counted the eggs, `laid` is 0, and the young are those of a
        clutch of this dam that was not counted.
    """
    counts = counts or ClutchCounts.learned(collection, catalogue, before=today + dt.timedelta(days=1))
    found = tally(collection, clutch, today=today)
    hatching = hatching_window(collection, clutch, today=today, intervals=intervals, catalogue=catalogue)
    hatched = clutch.hatched is not None or found.out > 0
    out = first_out(collection, clutch) if hatched else None
    from_day = DayLaw.between(out.earliest, out.latest) if out is not None else None
    ready = window_after(
        from_day or (hatching.law if hatching is not None else None),
        intervals.length(Span.HATCHING_TO_READY, dam=clutch.dam or ""),
        today=today,
    )
    return ClutchOutlook(
        clutch=clutch.id,
        alive=found.alive,
        lost=found.lost,
        slugs=found.slugs,
        unknown=found.unknown,
        laid=found.laid,
        hatching=None if hatched else hatching,
        ready=ready,
        young=young_law(found, counts, clutch),
        celsius=_warmth(_celsius(collection, clutch, today)),
        ground=_ground(found, counts, clutch.dam or ""),
        expected=None if hatched else _expected(collection, clutch, today, intervals, catalogue),
    )


def hatching_window(
    collection: Collection, clutch: Clutch, *, today: dt.date, intervals: Intervals, catalogue: Catalogue
) -> Window | None:
    """First egg out of a clutch that has not hatched; None where it has, cannot, or nobody wrote when it was laid."""
    start = _start(collection, clutch, today, catalogue)
    return window_after(start, _in_egg(collection, clutch, today, intervals), today=today)


def is_over(found: Tally) -> bool:
    """Whether no egg of a clutch whose eggs were counted can hatch any more."""
    return found.laid > 0 and not found.unknown and found.alive == found.out


def _start(collection: Collection, clutch: Clutch, today: dt.date, catalogue: Catalogue) -> DayLaw | None:
    """Day of laying of a clutch that may hatch yet; None where it has, cannot, or nobody wrote when it was laid."""
    laid: PartialDate | None = laid_about(collection, clutch, catalogue)
    if laid is None or not laid.month or clutch.hatched is not None or is_over(tally(collection, clutch, today=today)):
        return None
    return DayLaw.between(laid.earliest, max(min(laid.latest, today), laid.earliest))


def _in_egg(collection: Collection, clutch: Clutch, today: dt.date, intervals: Intervals) -> Length | None:
    celsius = _celsius(collection, clutch, today)
    return intervals.length(Span.LAYING_TO_HATCHING, dam=clutch.dam or "", celsius=celsius)


def _expected(
    collection: Collection, clutch: Clutch, today: dt.date, intervals: Intervals, catalogue: Catalogue
) -> tuple[dt.date, dt.date] | None:
    """Range of hatching as foretold on the day of laying."""
    start, length = _start(collection, clutch, today, catalogue), _in_egg(collection, clutch, today, intervals)
    return start.plus(length.law).window() if start is not None and length is not None else None


def young_law(found: Tally, counts: ClutchCounts, clutch: Clutch) -> CountLaw:
    """Law of the young of a clutch in all, from how its eggs were last found.

    Notes
    -----
    The rate of the clutch is one for all of its eggs; what has happened to some of them tells of the others.
    """
    dam = clutch.dam or ""
    if not found.laid:
        laid = laid_about(counts.collection, clutch, counts.catalogue)
        return counts.young(dam, laid.earliest if laid is not None else None)
    rates, weights = counts.hatching.nodes()
    log_likelihood = seen(found, counts, rates)
    weights = weights * np.exp(log_likelihood - log_likelihood.max())
    weak, pipped = (assumed(counts.catalogue, f"{each}_egg_hatches").value for each in ("weak", "pipped"))
    parts = [binomials(found.pipped, np.full_like(rates, pipped))]
    for day, is_weak in found.looked:
        chance = np.asarray(counts.losses.hatch_chance(rates, day))
        parts.append(binomials(1, np.minimum(chance, weak) if is_weak else chance))
    slugs = np.eye(found.unknown + 1)[0] if found.slugs_counted else counts.slugs_by(dam).chances(found.unknown)
    unknown = np.zeros((len(rates), found.unknown + 1))
    for n_slugs, chance_of in enumerate(slugs):
        good = found.unknown - n_slugs
        unknown[:, : good + 1] += chance_of * binomials(good, rates)
    young = weights @ sum_of([*parts, unknown]) / weights.sum()
    return CountLaw(np.concatenate([np.zeros(found.out), young]))


def seen(found: Tally, counts: ClutchCounts, rates: Floats) -> Floats:
    """Log likelihood of what is known of the eggs of a clutch, at each hatch rate of its good eggs."""
    log_likelihood = (found.out + found.pipped) * np.log(rates) + found.lost * np.log1p(-rates)
    for day, _ in found.looked:
        log_likelihood += np.log(rates + (1 - rates) * counts.losses.to_come(day))
    return np.asarray(log_likelihood, dtype=np.float64)


def _celsius(collection: Collection, clutch: Clutch, today: dt.date) -> float | None:
    """Mean warmth of the eggs so far, in degrees Celsius; None where nobody wrote any."""
    if clutch.laid is None or not clutch.laid.month:
        return None
    last = min(today, clutch.hatched.latest) if clutch.hatched is not None else today
    return warmth_of(collection, clutch.id, first=clutch.laid.earliest, last=last)


def _warmth(celsius: float | None) -> Estimate | None:
    if celsius is None:
        return None
    ground = "mean of the readings on record; the thermometer is taken to be true to half a degree"
    low, high = celsius - THERMOMETER_C, celsius + THERMOMETER_C
    return Estimate(celsius, low, high, "°C", Basis.MEASURED, ground)


def _ground(found: Tally, counts: ClutchCounts, dam: str) -> str:
    if not found.laid:
        return f"Nobody counted the eggs; {counts.ground(dam)}."
    rate = counts.catalogue.reproduction["hatch_rate"]
    n_own = counts.hatching.n_own
    own = f"{n_own} good eggs of yours known to the end, drawn towards " if n_own else ""
    said = f"{own}{rate.value * 100:.0f}\u00a0% of eggs hatching ({rate.mark})."
    return " ".join(part for part in (found.told, said[0].upper() + said[1:]) if part)
