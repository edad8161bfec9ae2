"""What a season plan says; frozen results that pages and commands read. Worths are in the unit of `Project.worth`."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Pairing:
    """One pairing of the plan.

    Parameters
    ----------
    sire, dam : str
        Animal ids.
    project : str
        Key of the project it serves; empty for a locked pair that serves none.
    part : int
        Place of the part within the project.
    chance : float
        Chance that this clutch alone brings what the part needs.
    value : float
        Worth that the plan would lose without it, costs counted.
    locked : bool
        Whether it was asked for.
    reasons : tuple of str
        Sentences.
    """

    sire: str
    dam: str
    project: str
    part: int
    chance: float
    value: float
    locked: bool
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A female without a pairing: the reason, and what it would take to use her (empty where nothing would)."""

    dam: str
    reason: str
    takes: str = ""


@dataclass(frozen=True, slots=True)
class ProjectOutlook:
    """What the plan does for one project: its pairings, the chance of each part, and the worth that comes of them."""

    project: str
    pairings: int
    chances: tuple[float, ...]
    worth: float


@dataclass(frozen=True, slots=True)
class WeekPlaces:
    """Places of one kind in one week: expected, in the year planned for, and there."""

    name: str
    week: dt.date
    expected: float
    planned_for: float
    places: float


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """Who goes with whom this season.

    Parameters
    ----------
    pairings : tuple of Pairing
        Pairs, by project and the largest chance first.
    left_out : tuple of LeftOut
        Females without one.
    projects : tuple of ProjectOutlook
        In the order asked.
    worth : float
        Worth of the plan, worked out exactly, costs taken off.
    bound : float
        No plan within the limits is worth more than this.
    gap : float
        (bound - worth) / worth, 0 where proven.
    optimal : bool
        Whether the gap is within what was asked for.
    spare : tuple of str
        Males that are ready and without a pairing.
    load : tuple of WeekPlaces
        Places by week.
    notes : tuple of str
        Sentences on the whole plan.
    seconds : float
        Time that the search took.
    """

    pairings: tuple[Pairing, ...]
    left_out: tuple[LeftOut, ...]
    projects: tuple[ProjectOutlook, ...]
    worth: float
    bound: float
    gap: float
    optimal: bool
    spare: tuple[str, ...] = ()
    load: tuple[WeekPlaces, ...] = ()
    notes: tuple[str, ...] = ()
    seconds: float = 0.0

    def as_json(self) -> dict[str, object]:
        """Plan as a JSON object."""
        return {
            "pairings": [
                {
                    "sire": one.sire,
                    "dam": one.dam,
                    "project": one.project,
                    "part": one.part,
                    "chance": one.chance,
                    "value": one.value,
                    "locked": one.locked,
                    "reasons": list(one.reasons),
                }
                for one in self.pairings
            ],
            "left_out": [{"dam": one.dam, "reason": one.reason, "takes": one.takes} for one in self.left_out],
            "projects": [
                {"project": one.project, "pairings": one.pairings, "chances": list(one.chances), "worth": one.worth}
                for one in self.projects
            ],
            "worth": self.worth,
            "bound": self.bound,
            "gap": self.gap,
            "optimal": self.optimal,
            "spare": list(self.spare),
            "load": [
                {
                    "name": one.name,
                    "week": one.week.isoformat(),
                    "expected": one.expected,
                    "planned_for": one.planned_for,
                    "places": one.places,
                }
                for one in self.load
            ],
            "notes": list(self.notes),
        }


@dataclass(frozen=True, slots=True)
class Move:
    """A change to a plan by hand: the female goes to this male for this project, or to nobody where `sire` is empty.

    Where `project` is empty, the pair serves the part that it adds most to.
    """

    dam: str
    sire: str = ""
    project: str = ""


@dataclass(frozen=True, slots=True)
class Broken:
    """A limit that a plan breaks: which, by how much, and a sentence."""

    limit: str
    by: float
    sentence: str


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A plan moved by hand.

    Parameters
    ----------
    worth, change : float
        Its worth, and that less the worth of the plan it was made from.
    pairings : tuple of Pairing
        Pairs after the moves.
    broken : tuple of Broken
        Limits that it breaks; empty where it keeps all.
    load : tuple of WeekPlaces
        Places by week.
    projects : tuple of ProjectOutlook
        What it does for each project.
    """

    worth: float
    change: float
    pairings: tuple[Pairing, ...]
    broken: tuple[Broken, ...]
    load: tuple[WeekPlaces, ...]
    projects: tuple[ProjectOutlook, ...]


@dataclass(frozen=True, slots=True)
class Price:
    """What a limit costs: worth gained if it were looser by one, and the sentence that says so.

    Parameters
    ----------
    limit : str
        Key of the limit: "male:ID", "egg places:2031-07-08", "most:PROJECT", ...
    what : str
        What one more would be, in words: "one more clutch from Ledger".
    gain : float
        Worth gained; at least 0.
    proven : bool
        Whether both plans are proven, so that the gain is exact.
    sentence : str
        In words.
    """

    limit: str
    what: str
    gain: float
    proven: bool
    sentence: str


@dataclass(frozen=True, slots=True)
class UsingHer:
    """What it would take to use a female that was left out.

    Parameters
    ----------
    dam : str
        Animal id.
    plan : SeasonPlan or None
        Best plan that pairs her; None where no plan within the limits can.
    change : float
        Worth of that plan less that of the plan without her; nan where there is none.
    sentence : str
        In words.
    """

    dam: str
    plan: SeasonPlan | None
    change: float
    sentence: str
