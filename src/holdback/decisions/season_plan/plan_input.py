"""What a season plan is made from: who is there, what each cross could give, and the limits.

Letters: x is 1 where a cross is made; lambda = -ln(1 - chance) of a cross. Over independent crosses lambda adds up, and
a part's chance of at least one young that counts is 1 - exp(-sum of lambda).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

BAD_YEAR = 1.28
"""Standard deviations above the mean that one year in ten passes (normal quantile of 0.9)."""


@dataclass(frozen=True, slots=True)
class Part:
    """One thing a project needs this season.

    Parameters
    ----------
    name : str
        In words, as in "a visual Clown"; empty where the project needs only one.
    share : float
        Share of the project's worth that it brings alone; not read where the parts count only together.
    """

    name: str = ""
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Project:
    """One project and what it may use this season; None is no limit.

    Parameters
    ----------
    id, name : str
        Key, and what it is called.
    worth : float
        What reaching its aim of this season is worth, in the unit of all worths (eggs of any pairing).
    parts : tuple of Part
        What it needs this season; crosses name a part by its place here.
    together : bool
        Whether the parts count only together: then its worth is that of the part with the smallest chance.
    least, most : int and int or None
        Pairings.
    eggs : float or None
        Expected eggs of its pairings, at most.
    money : float or None
        Money for its pairings, at most.
    reserve : int
        Males that could serve it and are to be kept free.
    """

    id: str
    name: str
    worth: float
    parts: tuple[Part, ...] = (Part(),)
    together: bool = False
    least: int = 0
    most: int | None = None
    eggs: float | None = None
    money: float | None = None
    reserve: int = 0


@dataclass(frozen=True, eq=False)
class Crosses:
    """Crosses to choose from, n of them; a pair may stand here once for each part it could serve.

    Parameters
    ----------
    sire, dam : int array, shape (n,)
        Places in `PlanInput.males` and `PlanInput.females`.
    project, part : int array, shape (n,)
        Place in `PlanInput.projects`, and of the part within it.
    chance : float array, shape (n,)
        Chance, in [0, 1], that she lays and at least one young counts for the part.
    """

    sire: IntArray
    dam: IntArray
    project: IntArray
    part: IntArray
    chance: FloatArray


@dataclass(frozen=True, slots=True)
class Ban:
    """A pair that is not to be made.

    Parameters
    ----------
    sire, dam : str
        Animal ids.
    reason : str
        A sentence.
    project : str
        Key of the only project it is banned from; empty for all.
    """

    sire: str
    dam: str
    reason: str
    project: str = ""


@dataclass(frozen=True, slots=True)
class Lock:
    """A pair that stays; for a project, or for any where `project` is empty."""

    sire: str
    dam: str
    project: str = ""


@dataclass(frozen=True, slots=True)
class MayCarry:
    """A male who serves a part only if he carries what he may carry: all his clutches hang on that one chance.

    Parameters
    ----------
    sire, project : str
        Animal id and key of the project.
    chance : float
        Chance that he does, in (0, 1).
    part : int
        Place of the part.
    """

    sire: str
    project: str
    chance: float
    part: int = 0


@dataclass(frozen=True, eq=False)
class WeeklyLoad:
    """What each female's clutch would take of one kind of place, week by week.

    Parameters
    ----------
    name : str
        What the places are, in the plural: "egg places", "tubs".
    mean, sd : float array, shape (n_females, n_weeks)
        Places taken if she is paired, that she may not lay counted in; females count as independent.
    places : float array, shape (n_weeks,)
        Places there are.
    taken_mean, taken_sd : float array, shape (n_weeks,)
        What is taken whatever the plan says.
    """

    name: str
    mean: FloatArray
    sd: FloatArray
    places: FloatArray
    taken_mean: FloatArray
    taken_sd: FloatArray


@dataclass(frozen=True, eq=False)
class PlanInput:
    """Everything a season plan is made from.

    Parameters
    ----------
    males, females : tuple of str
        Animal ids.
    caps : int array, shape (n_males,)
        Most clutches of each male this season, by his mass and rest.
    projects : tuple of Project
        What is bred for.
    crosses : Crosses
        What to choose from.
    names : mapping of str to str
        What to call animals; the id where one is missing.
    not_ready : mapping of str to str
        Animals that are not to breed this season, with the reason in a sentence.
    male_costs : float array, shape (n_males,), or None
        What using a male at all costs, in the unit of worth; None is 0.
    clutch_costs : float array, shape (n_females,), or None
        What a clutch of hers costs, in the unit of worth; None is 0.
    eggs : float array, shape (n_females,), or None
        Expected eggs if she is paired, for `Project.eggs`; None where no project limits them.
    money : float array, shape (n_females,), or None
        Money that a clutch of hers takes, for `Project.money`; None where no project limits it.
    bans : tuple of Ban
        Pairs not to be made: kinship, welfare, what does not fit.
    locks : tuple of Lock
        Pairs that stay.
    may_carry : tuple of MayCarry
        Uncertain males.
    reserve : int
        Males to be kept free in all.
    clutches_at_most : int or None
        Pairings in all.
    weeks : tuple of date
        First day of each week of the loads.
    loads : tuple of WeeklyLoad
        Places by week.
    caution : float
        Standard deviations above the mean that must find room: 0 plans for the mean, `BAD_YEAR` for a year that one in
        ten passes.
    """

    males: tuple[str, ...]
    females: tuple[str, ...]
    caps: IntArray
    projects: tuple[Project, ...]
    crosses: Crosses
    names: Mapping[str, str] = field(default_factory=dict)
    not_ready: Mapping[str, str] = field(default_factory=dict)
    male_costs: FloatArray | None = None
    clutch_costs: FloatArray | None = None
    eggs: FloatArray | None = None
    money: FloatArray | None = None
    bans: tuple[Ban, ...] = ()
    locks: tuple[Lock, ...] = ()
    may_carry: tuple[MayCarry, ...] = ()
    reserve: int = 0
    clutches_at_most: int | None = None
    weeks: tuple[dt.date, ...] = ()
    loads: tuple[WeeklyLoad, ...] = ()
    caution: float = BAD_YEAR

    def name(self, animal: str) -> str:
        """What to call an animal in a sentence."""
        return self.names.get(animal, animal)
