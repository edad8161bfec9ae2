"""What is said of the working year; frozen results that pages, commands and plans read."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from holdback.collection.estimate import Estimate
from holdback.season.days import DayLaw


class Step(StrEnum):
    """How far a female has come in a season."""

    RESTS = "rests"
    """Not put to a male, or said to rest."""
    PAIRED = "paired"
    GROWING = "growing"
    """Follicles were seen to grow."""
    OVULATED = "ovulated"
    SHED = "shed before laying"
    LAID = "laid"
    HATCHED = "hatched"
    OVER = "did not lay"
    """The season is over, or she took her follicles back."""


@dataclass(frozen=True, slots=True)
class Together:
    """A male with a female in a season.

    Parameters
    ----------
    sire : str
        Animal id.
    first, last : date or None
        Days; `last` is None while he is still with her or where nobody wrote it.
    locks : int
        Locks counted.
    lock_days : tuple of date
        Days of those that were dated.
    """

    sire: str
    first: dt.date | None
    last: dt.date | None
    locks: int = 0
    lock_days: tuple[dt.date, ...] = ()


@dataclass(frozen=True, slots=True)
class Follicle:
    """One look by ultrasound: day, largest follicle in mm, and how many (None is not counted)."""

    day: dt.date
    largest_mm: float
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Cycle:
    """What is on record of one female in one season; a season is named by the year she lays in.

    Parameters
    ----------
    dam : str
        Animal id.
    season : int
        Year.
    together : tuple of Together
        Males, in the order of their first days.
    follicles : tuple of Follicle
        In the order of days.
    ovulated, shed : date or None
        Ovulation, and shed before laying, to the day.
    clutch : str or None
        Clutch id; of several the first.
    laid, hatched : date or None
        To the day; None where it is not known to the day or has not happened.
    has_laid, has_hatched : bool
        Whether it has happened, to the day or not.
    rests : bool
        Whether she is said to rest.
    nest_box : date or None
        Day the nest box went in.
    later_clutches : tuple of str
        Further clutches of the same season.
    """

    dam: str
    season: int
    together: tuple[Together, ...] = ()
    follicles: tuple[Follicle, ...] = ()
    ovulated: dt.date | None = None
    shed: dt.date | None = None
    clutch: str | None = None
    laid: dt.date | None = None
    hatched: dt.date | None = None
    has_laid: bool = False
    has_hatched: bool = False
    rests: bool = False
    nest_box: dt.date | None = None
    later_clutches: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class CountLaw:
    """Chances of a number from 0 on, as array of shape (most + 1,)."""

    chances: NDArray[np.float64]

    @property
    def mean(self) -> float:
        """Expected number."""
        return float(np.arange(len(self.chances)) @ self.chances)

    def at_least(self, share: float) -> int:
        """Smallest number that is reached or passed in at most a share of the cases, counted from above.

        ``at_least(0.1)`` is the number that is not passed in nine of ten cases.
        """
        return int(np.searchsorted(np.cumsum(self.chances), 1 - share - 1e-12))

    def window(self, coverage: float = 0.8) -> tuple[int, int]:
        """Ends of the middle part that holds at least a share of the cases."""
        outside = (1 - coverage) / 2
        sums = np.cumsum(self.chances)
        return int(np.searchsorted(sums, outside + 1e-12)), int(np.searchsorted(sums, 1 - outside - 1e-12))


@dataclass(frozen=True, eq=False)
class Window:
    """A day foretold: its law and what it rests on.

    Parameters
    ----------
    law : DayLaw
        Chances of the days, given that it happens.
    estimate : Estimate
        The same as days from today: mean, and the range that holds 80 %; carries basis and ground.
    n_own : int
        The keeper's own records of this interval that it rests on.
    """

    law: DayLaw
    estimate: Estimate
    n_own: int


@dataclass(frozen=True, eq=False)
class Outlook:
    """Where one female stands in a season, and what is to come.

    Parameters
    ----------
    cycle : Cycle
        What is on record.
    step : Step
        How far she has come.
    lays : Estimate
        Chance in percent that she lays this season (100 once she has), with its range, basis and ground.
    laying, shedding, hatching, ready : Window or None
        Laying, shed before laying, first egg out, and young ready for sale; None where it has happened, where nothing
        can be said, or where she rests.
    eggs, young : CountLaw or None
        Eggs of the clutch, and young that come out, given that she lays; None once counted or where she rests.
    advice : str
        The next thing to do, in a sentence; may be empty.
    look_by : date or None
        Day by which to look again.
    overdue : bool
        Whether what was foretold has not come in its window.
    caution : str
        Sentence that sends to a vet, or empty.
    """

    cycle: Cycle
    step: Step
    lays: Estimate
    laying: Window | None = None
    shedding: Window | None = None
    hatching: Window | None = None
    ready: Window | None = None
    eggs: CountLaw | None = None
    young: CountLaw | None = None
    advice: str = ""
    look_by: dt.date | None = None
    overdue: bool = False
    caution: str = ""


@dataclass(frozen=True, eq=False)
class ClutchOutlook:
    """What is to come of one clutch in the boxes.

    Parameters
    ----------
    clutch : str
        Clutch id.
    alive, lost, slugs, unknown, laid : int
        Eggs by their last look or outcome; they sum to `laid`.
    hatching, ready : Window or None
        First egg out, and young ready for sale.
    young : CountLaw
        Young that come out in all, those that are out among them.
    celsius : Estimate or None
        Mean warmth so far; None where nobody wrote any.
    ground : str
        What the number of young rests on.
    expected : tuple of date and date, or None
        Range of the first egg out as foretold on the day of laying, whether or not it has passed; None where it has
        hatched, or nothing is to come or can be said.
    """

    clutch: str
    alive: int
    lost: int
    slugs: int
    unknown: int
    laid: int
    hatching: Window | None
    ready: Window | None
    young: CountLaw
    celsius: Estimate | None
    ground: str
    expected: tuple[dt.date, dt.date] | None = None


@dataclass(frozen=True, slots=True)
class WeekLoad:
    """Places in use in a week: its Monday, the expected number, and what is not passed in nine of ten seasons."""

    monday: dt.date
    expected: float
    upper: int


@dataclass(frozen=True, slots=True)
class Load:
    """Places for eggs and for young, week by week.

    Parameters
    ----------
    eggs, young : tuple of WeekLoad
        Egg places and tubs for young in use.
    egg_places, tubs_free : int or None
        Places there are; None where nobody said.
    draws, seed : int
        Seasons drawn, and the seed.
    standard_error : float
        Largest standard error of an expected number.
    """

    eggs: tuple[WeekLoad, ...]
    young: tuple[WeekLoad, ...]
    egg_places: int | None
    tubs_free: int | None
    draws: int
    seed: int
    standard_error: float


class Verdict(StrEnum):
    """Whether an animal may breed now."""

    MAY = "may breed"
    NOT_YET = "not yet"
    REST = "rest"
    STOP = "stop"
    """A sign that wants a vet first, or a loss of mass."""
    ASK = "not known"


@dataclass(frozen=True, slots=True)
class Reason:
    """One rule, and how the animal stands to it.

    Parameters
    ----------
    rule : str
        Key: ``mass``, ``age``, ``condition``, ``since clutch``, ``regained``, ``mass trend``, ``load``, ``rest days``,
        ``sign``, ``rests``, ``welfare``.
    text : str
        A sentence with the numbers.
    verdict : Verdict
        What this rule alone says.
    """

    rule: str
    text: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Fitness:
    """Whether an animal may breed, with every reason.

    Parameters
    ----------
    animal : str
        Animal id.
    verdict : Verdict
        The gravest of its reasons.
    reasons : tuple of Reason
        Gravest first.
    mass_g : Estimate or None
        Mass now, from its last weights that count; None where there is none.
    trend_percent : Estimate or None
        Change of mass in percent since the highest weight of the last half year that counts.
    load : int
        Of a male: females he has been with this season. 0 for a female.
    """

    animal: str
    verdict: Verdict
    reasons: tuple[Reason, ...]
    mass_g: Estimate | None
    trend_percent: Estimate | None
    load: int = 0


@dataclass(frozen=True, slots=True)
class MealPlan:
    """When an animal is to be fed next, and what.

    Parameters
    ----------
    animal : str
        Animal id.
    stage : str
        Stage in words ("hatchling", "adult male", "gravid").
    last_taken : date or None
        Last meal taken.
    refused : int
        Meals refused since.
    due_first, due_last : date or None
        Days between which the next meal falls; None where none is planned (gravid, brooding, gone).
    prey_low_g, prey_high_g : float
        Mass of prey; NaN where its mass is not known.
    loss_percent : float or None
        Mass lost since its last high, in percent; None where it cannot be told.
    caution : str
        Sentence where it lost too much or a vet is wanted; else empty.
    basis : str
        What the plan rests on, with its mark.
    interval_days : tuple of float or None
        Fewest and most days between its meals; None where none is planned.
    """

    animal: str
    stage: str
    last_taken: dt.date | None
    refused: int
    due_first: dt.date | None
    due_last: dt.date | None
    prey_low_g: float
    prey_high_g: float
    loss_percent: float | None
    caution: str
    basis: str
    interval_days: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class PreyNeed:
    """Prey wanted in a span of days: size in gram (from, to), and how many."""

    low_g: float
    high_g: float
    count: int


@dataclass(frozen=True, slots=True)
class DueItem:
    """One thing to do.

    Parameters
    ----------
    key : str
        Stable name, the same on every day until it is done ("candle:26-02:14", "feed:22-11").
    kind : str
        feed, weigh, candle, ultrasound, nest box, lay, hatch, first shed, first meal, ready, apart, quarantine, loan,
        treatment, tally, vet.
    subject : str
        Id of the animal or the clutch.
    is_clutch : bool
        Whether the subject is a clutch.
    first, last : date
        Days in which it falls due; it is late after `last`, soon before `first`.
    text : str
        A sentence without the name of the subject.
    deed : str
        What one tap writes down ("meal taken", "five with veins", "box is in"); empty where a page has to be opened.
    level : str
        "" for what is usual, "think", or "stop" for what a vet has to see.
    """

    key: str
    kind: str
    subject: str
    is_clutch: bool
    first: dt.date
    last: dt.date
    text: str
    deed: str = ""
    level: str = ""


@dataclass(frozen=True, slots=True)
class Rate:
    """A share counted in one group.

    Parameters
    ----------
    group : str
        Id or name of the group (a dam, a sire, an incubator, a year).
    n, k : int
        Counted in all, and of them those asked about.
    clutches : int
        Clutches they come from.
    share : Estimate
        Share in percent, drawn towards all groups, with a 90 % range that knows that eggs of a clutch fare alike.
    raw_percent : float
        Plain share in percent; NaN where nothing was counted.
    """

    group: str
    n: int
    k: int
    clutches: int
    share: Estimate
    raw_percent: float


@dataclass(frozen=True, slots=True)
class LookCount:
    """One look: foretold share, and how many came."""

    look: str
    foretold: float
    came: int


@dataclass(frozen=True, slots=True)
class RatioTest:
    """Whether what came fits what was foretold.

    Parameters
    ----------
    looks : tuple of LookCount
        Every look that was foretold or came.
    n : int
        Young counted, those that died in the egg and were looked at among them.
    p_value : float
        Chance of a result as unlikely as this or more so, if the foretold odds are right.
    is_exact : bool
        Whether `p_value` was counted over every possible result; else drawn, with `standard_error`.
    standard_error : float
        Of a drawn `p_value`; 0 where it is exact.
    could_tell : int
        Young needed to notice, four times in five, that the commonest look foretold comes half as often; 0 where no
        number up to 1,000 would do.
    unseen : int
        Eggs of which no look is on record.
    said : str
        The answer in one or two sentences.
    """

    looks: tuple[LookCount, ...]
    n: int
    p_value: float
    is_exact: bool
    standard_error: float
    could_tell: int
    unseen: int
    said: str
