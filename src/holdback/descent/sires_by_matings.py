"""Candidate sires of a clutch whose sire nobody wrote down, from the matings of its dam.

The male put to her last before the clutch is the likeliest, none is certain, and sperm kept from the season before is
possible (common practice, no source). The weights are assumptions; the genes of the young then speak.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Set

from holdback.collection.collection import Collection
from holdback.collection.model import Candidate, Mating, PartialDate

SEASON_DAYS = 270
"""Days before laying in which a mating belongs to the same season: pairing runs from November to April, laying to July
(common practice, no source)."""

INCUBATION_DAYS = 60
"""Days from laying to hatching where only the hatch date is known (common practice, no source)."""

NOT_ON_RECORD = 0.07
"""Weight of a male whose mating nobody wrote down (an assumption)."""


def sires_by_matings(
    collection: Collection, dam: str, laid: dt.date, *, stored_sperm: float, never: Set[str] = frozenset()
) -> tuple[Candidate, ...]:
    """Candidate sires of a clutch, likeliest first; empty where no mating of the dam is recorded that could matter.

    Parameters
    ----------
    collection : Collection
        Records.
    dam : str
        Id of the dam.
    laid : date
        Day of laying.
    stored_sperm : float
        Weight of the males of the season before, in [0, 1).
    never : set of str
        Males that cannot be, such as the young of the clutch; so is one that hatched after laying.

    Notes
    -----
    Of the males of the season each counts half of the one put to her after him. The weights sum to less than 1; the
    rest is a male that is not on record.
    """
    season: dict[str, dt.date] = {}
    before: dict[str, dt.date] = {}
    for mating in collection.matings_of(dam):
        day = _last_day(mating, laid)
        if mating.dam != dam or day is None or mating.sire in never:
            continue
        hatched = collection.animals[mating.sire].hatched
        if hatched is not None and hatched.earliest >= laid:
            continue
        age = (laid - day).days
        if age <= SEASON_DAYS:
            season[mating.sire] = max(season.get(mating.sire, day), day)
        elif age <= SEASON_DAYS + 365:
            before[mating.sire] = max(before.get(mating.sire, day), day)
    for sire in season:
        before.pop(sire, None)
    share = 1.0 - NOT_ON_RECORD - (stored_sperm if before else 0.0) if season else 0.0
    latest_first = sorted(season, key=lambda sire: (season[sire], sire), reverse=True)
    parts = [0.5**rank for rank in range(len(latest_first))]
    found = [Candidate(sire, share * part / sum(parts)) for sire, part in zip(latest_first, parts, strict=True)]
    found += [Candidate(sire, stored_sperm / len(before)) for sire in sorted(before)]
    return tuple(found)


def _last_day(mating: Mating, laid: dt.date) -> dt.date | None:
    """Last day that a pair was together before laying; None where it was not, or nobody wrote it down."""
    days = [one.earliest for one in (mating.together, mating.apart) if one is not None]
    if not days or days[0] > laid:
        return None
    return min(days[-1], laid)


def laying_day(laid: PartialDate | None, hatched: PartialDate | None) -> dt.date | None:
    """Day of laying as recorded, or worked back from hatching; None where neither is known to the month."""
    if laid is not None and laid.month:
        return laid.earliest
    if hatched is not None and hatched.month:
        return hatched.earliest - dt.timedelta(days=INCUBATION_DAYS)
    return None
