"""Masses of a clutch: the whole, its share of the dam, and its eggs."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.event_kinds import LAID, kind_of
from holdback.collection.model import Clutch, EggOutcome
from holdback.collection.units import MASS_IN_G
from holdback.season.egg_records import mass_before


@dataclass(frozen=True, slots=True)
class ClutchMasses:
    """What was weighed of a clutch.

    Parameters
    ----------
    whole_g : float or None
        Mass of the whole clutch, slugs among it; None where neither it nor every egg was weighed.
    is_summed : bool
        Whether the whole is the sum of its eggs, for want of a weight of its own.
    dam_g : float or None
        Mass of the dam in the months before laying; None where none is on record.
    share : float or None
        The whole as a part of the mass of the dam before laying, in [0, 1]; None where one of them is not known.
    good_g : tuple of float
        Masses of the eggs that are no slugs, in the order of the eggs.
    """

    whole_g: float | None
    is_summed: bool
    dam_g: float | None
    share: float | None
    good_g: tuple[float, ...]

    @property
    def good_mean_g(self) -> float | None:
        """Mean mass of the eggs that are no slugs; None where none was weighed."""
        return sum(self.good_g) / len(self.good_g) if self.good_g else None


def clutch_masses(collection: Collection, clutch: Clutch) -> ClutchMasses:
    """Masses of one clutch.

    Parameters
    ----------
    collection : Collection
        Records.
    clutch : Clutch
        One of its clutches.

    Notes
    -----
    The mass of the dam is that of `egg_records.mass_before`, up to the day before laying.
    """
    eggs = collection.eggs_of(clutch.id)
    masses = [egg.mass_g for egg in eggs]
    laid = clutch.laid.earliest if clutch.laid is not None and clutch.laid.day else None
    whole = _weighed(collection, clutch, laid)
    known = [mass for mass in masses if mass is not None]
    is_summed = whole is None and bool(eggs) and len(known) == len(masses) and len(eggs) >= (clutch.eggs or 0)
    if is_summed:
        whole = sum(known)
    dam_g = mass_before(collection, clutch.dam, laid - dt.timedelta(days=1)) if clutch.dam and laid else None
    good = tuple(egg.mass_g for egg in eggs if egg.mass_g is not None and egg.outcome is not EggOutcome.SLUG)
    return ClutchMasses(whole, is_summed, dam_g, whole / dam_g if whole and dam_g else None, good)


def _weighed(collection: Collection, clutch: Clutch, laid: dt.date | None) -> float | None:
    """Mass of the whole clutch as it was noted at laying."""
    for event in collection.events_of(clutch.dam) if clutch.dam and laid else ():
        if kind_of(event.kind) == LAID and event.date.earliest == laid and event.value and event.unit in MASS_IN_G:
            return event.value * MASS_IN_G[event.unit]
    return None
