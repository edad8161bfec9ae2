"""Days on which a dam's weight is not her own: eggs in her, or thin from laying."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.size.ages import INCUBATION_DAYS, span_of
from holdback.size.state import AFTER_LAYING, EMPTY, GRAVID
from holdback.species.catalogue import Catalogue
from holdback.species.model import Value

SAME_LAYING_DAYS = 120.0
"""Signs this near to a recorded laying tell of that one; no dam lays twice in it (common practice, no source)."""

SIGN_DAYS = 60.0
"""From ovulation to laying where the species file states nothing (common practice, no source)."""

MOST_SWAY = (-0.45, 0.25)
"""How far laying moves a dam's weight down and eggs move it up, on the logarithm (common practice, no source)."""

UNTOLD = (-0.08, 0.08)
"""The same for a dam on days when none of her layings is near."""

_SIGNS = re.compile(r"laid|laying|ovulation|pre-?lay(ing)? shed|gravid")


@dataclass(frozen=True, slots=True)
class Laying:
    """One laying of a dam, recorded or foreseen by what was seen of her.

    Parameters
    ----------
    earliest, latest : float
        Ordinal days between which she lays.
    """

    earliest: float
    latest: float


@dataclass(frozen=True, slots=True)
class Windows:
    """Days before and after a laying in which a weight does not count.

    Parameters
    ----------
    before, after : float
        Where nobody wrote in what state she was.
    before_empty, after_empty : float
        Where "empty" was written, which is taken at its word except from ovulation until she can have regained it.
    """

    before: float
    after: float
    before_empty: float
    after_empty: float

    @classmethod
    def of(cls, catalogue: Catalogue) -> Windows:
        """Windows by the species file."""
        regain = catalogue.reproduction.get("regain_months")
        before, after = catalogue.size["gravid_window_days"].value, catalogue.size["recovery_window_days"].value
        after_empty = regain.low * 365.25 / 12 if regain else after
        return cls(before, after, min(_days_from_ovulation(catalogue), before), min(after_empty, after))

    def state_on(self, day: float, state: str, layings: Sequence[Laying]) -> str:
        """Gravid, after laying, or empty text for neither.

        Parameters
        ----------
        day : float
            Ordinal day of the weight.
        state : str
            What was written of it.
        layings : sequence of Laying
            Of this dam.
        """
        before, after = (self.before_empty, self.after_empty) if state == EMPTY else (self.before, self.after)
        for one in layings:
            if one.earliest - before <= day <= one.latest + after:
                return GRAVID if day < one.earliest else AFTER_LAYING
        return ""

    def sway_on(self, day: float, layings: Sequence[Laying]) -> tuple[float, float]:
        """How far eggs or laying may have moved a weight down and up, on the logarithm: most at laying.

        Parameters
        ----------
        day : float
            Ordinal day of the weight.
        layings : sequence of Laying
            Of this dam.
        """
        down, up = UNTOLD
        for one in layings:
            if one.earliest - self.before <= day <= one.latest:
                part = (day - one.earliest + self.before) / max(self.before, 1.0)
                up = max(up, MOST_SWAY[1] * min(part, 1.0) + UNTOLD[1])
            if one.earliest <= day <= one.latest + self.after:
                part = (one.latest + self.after - day) / max(self.after, 1.0)
                down = min(down, MOST_SWAY[0] * min(part, 1.0) + UNTOLD[0])
        return down, up


def layings_of(collection: Collection, catalogue: Catalogue) -> Mapping[str, Sequence[Laying]]:
    """Layings of each dam, of her clutches and of what was seen of her without one.

    Parameters
    ----------
    collection : Collection
        Records.
    catalogue : Catalogue
        For the days from ovulation and from the pre-lay shed to laying, and those in the egg.

    Notes
    -----
    A laying known to the year only has no window: it would be longer than the year.
    """
    found: dict[str, list[Laying]] = defaultdict(list)
    least, most = _range(catalogue.reproduction.get("incubation_days"), INCUBATION_DAYS)
    for clutch in collection.records.clutches:
        if clutch.dam is None:
            continue
        if clutch.laid is not None and clutch.laid.month:
            found[clutch.dam].append(Laying(*span_of(clutch.laid)))
        elif clutch.hatched is not None and clutch.hatched.month:
            first, last = span_of(clutch.hatched)
            found[clutch.dam].append(Laying(first - most, last - least))
    for dam, signs in _signs(collection, catalogue).items():
        recorded = tuple(found[dam])
        for sign in signs:
            if not any(_is_near(sign, one) for one in recorded):
                found[dam].append(sign)
    return found


def _is_near(first: Laying, second: Laying) -> bool:
    return (
        first.earliest - SAME_LAYING_DAYS <= second.latest and second.earliest - SAME_LAYING_DAYS <= first.latest
    )  # fmt: skip


def _signs(collection: Collection, catalogue: Catalogue) -> Mapping[str, Sequence[Laying]]:
    """Layings that what was seen of a dam points to."""
    shed = _range(catalogue.reproduction.get("laying_after_prelay_shed_days"), (25.0, 45.0))
    ovulation = _range(catalogue.reproduction.get("laying_after_ovulation_days"), (44.0, SIGN_DAYS))
    found: dict[str, list[Laying]] = defaultdict(list)
    for event in collection.records.events:
        kind = event.kind.casefold()
        if not event.date.month or not _SIGNS.fullmatch(kind):
            continue
        first, last = span_of(event.date)
        if kind in ("laid", "laying"):
            found[event.animal].append(Laying(first, last))
        elif kind == "ovulation":
            found[event.animal].append(Laying(first + ovulation[0], last + ovulation[1]))
        elif kind == "gravid":
            found[event.animal].append(Laying(first, last + ovulation[1]))
        else:
            found[event.animal].append(Laying(first + shed[0], last + shed[1]))
    return found


def _range(value: Value | None, default: tuple[float, float]) -> tuple[float, float]:
    return (value.low, value.high) if value else default


def _days_from_ovulation(catalogue: Catalogue) -> float:
    return _range(catalogue.reproduction.get("laying_after_ovulation_days"), (0.0, SIGN_DAYS))[1]
