"""How each egg of a clutch was last found, and whether the tally adds up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.model import Clutch, Egg, EggLook, EggOutcome, EggState
from holdback.season.egg_records import eggs_laid

VEINS_BY_DAY = 14
"""Days after laying by which a good egg shows veins; before, one without is not known (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Tally:
    """Eggs of a clutch by their last look or outcome; the numbers sum to `laid`.

    Parameters
    ----------
    laid : int
        Eggs in all, slugs among them.
    veins, weak, pipped, out : int
        Alive, by how they were found; `out` are young.
    lost, slugs, unknown : int
        Lost, slugs, and those nobody looked at.
    looked : tuple of (int, bool)
        Of each egg with veins or weak ones: days after laying of the last look (0 where not known), and whether weak.
    slugs_counted : bool
        Whether anybody told good eggs from slugs.
    told : str
        What does not add up, in a sentence; empty where all does.
    """

    laid: int
    veins: int
    weak: int
    pipped: int
    out: int
    lost: int
    slugs: int
    unknown: int
    looked: tuple[tuple[int, bool], ...]
    slugs_counted: bool
    told: str

    @property
    def alive(self) -> int:
        """Eggs alive, young that are out among them."""
        return self.veins + self.weak + self.pipped + self.out


def tally(collection: Collection, clutch: Clutch, *, today: dt.date) -> Tally:
    """Eggs of a clutch by how they were last found.

    Parameters
    ----------
    collection : Collection
        Records.
    clutch : Clutch
        One of its clutches.
    today : date
        Looks of later days are not known yet.
    """
    looks = {look.egg: look for look in collection.looks_at(clutch.id) if look.date.earliest <= today}
    eggs = {egg.egg: egg for egg in collection.eggs_of(clutch.id)}
    states = {
        mark: _state(eggs.get(mark), looks.get(mark), clutch, today) for mark in [*eggs, *(set(looks) - set(eggs))]
    }
    counts = {state: sum(found is state for found in states.values()) for state in EggState}
    laid = max(eggs_laid(collection, clutch), len(states))
    unknown = laid - sum(counts.values())
    listed = counts[EggState.SLUG]
    slugs = min(max(listed, clutch.slugs or 0), listed + unknown)
    alive = (EggState.VEINS, EggState.WEAK)
    return Tally(
        laid=laid,
        veins=counts[EggState.VEINS],
        weak=counts[EggState.WEAK],
        pipped=counts[EggState.PIPPED],
        out=counts[EggState.OUT],
        lost=counts[EggState.LOST] + counts[EggState.NO_VEINS],
        slugs=slugs,
        unknown=unknown - (slugs - listed),
        looked=tuple(
            (_day_of(looks.get(mark), clutch), state is EggState.WEAK)
            for mark, state in states.items()
            if state in alive
        ),
        slugs_counted=clutch.slugs is not None or listed > 0,
        told=_told(clutch, len(states), listed, slugs),
    )


def _state(egg: Egg | None, look: EggLook | None, clutch: Clutch, today: dt.date) -> EggState | None:
    """State of an egg: its outcome once that is known, else the last look; None where there is neither."""
    outcomes: Mapping[EggOutcome, EggState] = {
        EggOutcome.HATCHED: EggState.OUT,
        EggOutcome.DIED: EggState.LOST,
        EggOutcome.SLUG: EggState.SLUG,
    }
    if egg is not None and egg.outcome in outcomes and (egg.ended is None or egg.ended.earliest <= today):
        return outcomes[egg.outcome]
    if look is None or (look.state is EggState.NO_VEINS and _day_of(look, clutch) < VEINS_BY_DAY):
        return None
    return look.state


def _day_of(look: EggLook | None, clutch: Clutch) -> int:
    if look is None or clutch.laid is None or not clutch.laid.day:
        return 0
    return max((look.date.earliest - clutch.laid.earliest).days, 0)


def _told(clutch: Clutch, n_listed: int, n_slugs: int, slugs: int) -> str:
    if clutch.eggs is not None and n_listed > clutch.eggs:
        return f"{clutch.eggs} eggs are written of the clutch, {n_listed} are listed; count them again."
    if clutch.slugs is not None and n_slugs > clutch.slugs:
        return f"{clutch.slugs} slugs are written of the clutch, {n_slugs} are listed; count them again."
    if clutch.slugs is not None and clutch.slugs > slugs:
        return f"{clutch.slugs} slugs are written of the clutch, but only {slugs} can be; count them again."
    return ""
