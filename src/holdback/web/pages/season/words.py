"""What is said of a female in a season: her next event, its chance and ground, and her band in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.safestring import SafeString

from holdback.answers.season.words import MONTHS, day_words, in_ten, window_words
from holdback.collection.estimate import Basis, Estimate
from holdback.season.outlook import ClutchOutlook, Cycle, Outlook, Step, Window
from holdback.web.pages.season.names import Names, clutch_link
from holdback.web.pages.wording import counted, listed

SURE = 95.0
"""Chance of laying in percent from which it is not spoken of."""
UNLIKELY = 50.0
"""Chance of laying in percent below which she may well not lay."""
_WAITING = (Step.PAIRED, Step.GROWING, Step.OVULATED, Step.SHED)


@dataclass(frozen=True, slots=True)
class Next:
    """What comes next of a female.

    Parameters
    ----------
    head : str
        In a few words.
    basis : Basis or None
        How it is known; None for what happened.
    word : str
        Sharper word for the basis.
    lines : tuple of str
        What is on record, and what to do.
    chance : Estimate or None
        Chance that she lays in percent, where it is open.
    ground : str
        What the window rests on.
    clutch : safe mark-up or None
        Her clutch, linked; None before.
    """

    head: str
    basis: Basis | None = None
    word: str = ""
    lines: tuple[str, ...] = ()
    chance: Estimate | None = None
    ground: str = ""
    clutch: SafeString | None = None

    @property
    def chance_words(self) -> str:
        """Chance that she lays as a natural frequency."""
        return in_ten(self.chance.mean / 100) if self.chance else ""


def is_waiting(outlook: Outlook) -> bool:
    """Whether a female is on her way to a clutch."""
    return not outlook.cycle.has_laid and outlook.step in _WAITING


def may_not_lay(outlook: Outlook) -> bool:
    """Whether a female on her way to a clutch may well not lay."""
    return is_waiting(outlook) and outlook.lays.mean < UNLIKELY


def next_of(outlook: Outlook, clutch: ClutchOutlook | None, *, today: dt.date, why_not: str = "") -> Next:
    """What comes next of a female, in words.

    Parameters
    ----------
    outlook : Outlook
        Where she stands.
    clutch : ClutchOutlook or None
        Her clutch in the boxes.
    today : date
        Today.
    why_not : str
        First reason not to breed her; said where she is not paired.
    """
    cycle = outlook.cycle
    if cycle.has_laid:
        return _laid(outlook, clutch, today)
    if outlook.step is Step.OVER:
        return Next("Did not lay", lines=(outlook.lays.ground,))
    if not is_waiting(outlook):
        return Next("Rests this season" if cycle.rests else "Not paired", lines=(why_not,) if why_not else ())
    chance = None if outlook.lays.mean >= SURE else outlook.lays
    lines = tuple(_so_far(outlook, today))
    if outlook.laying is None:
        head = "Laying is late" if outlook.overdue else "When she lays cannot be told"
        return Next(head, outlook.lays.basis, "", lines, chance, outlook.lays.ground)
    head = f"Lays {window_words(outlook.laying.law, today=today)}"
    if outlook.overdue:
        head = f"Late: {head[:1].lower()}{head[1:]}"
    elif may_not_lay(outlook):
        last = outlook.laying.law.day_by(0.9)
        head = f"May not lay; if so, by {MONTHS[last.month - 1]}"
    return Next(head, *_basis(outlook.laying), lines, chance, outlook.laying.estimate.ground)


def _laid(outlook: Outlook, clutch: ClutchOutlook | None, today: dt.date) -> Next:
    """What comes of eggs."""
    cycle = outlook.cycle
    linked = clutch_link(cycle.clutch, is_first=True) if cycle.clutch else None
    eggs = eggs_words(clutch) if clutch else ""
    lines = [f"{eggs}." if eggs else ""]
    if cycle.later_clutches:
        lines.append(f"And clutch {listed(cycle.later_clutches)}.")
    if cycle.has_hatched:
        head = f"Hatched {day_words(cycle.hatched, today=today)}" if cycle.hatched else "Hatched"
        window = outlook.ready
        if window:
            lines.append(f"Young ready for sale {window_words(window.law, today=today)}.")
    else:
        window = outlook.hatching
        laid = f"Laid {day_words(cycle.laid, today=today)}" if cycle.laid else "Laid"
        head = f"Hatches {window_words(window.law, today=today)}" if window else laid
        if outlook.overdue:
            head = f"Hatching is late; {head[:1].lower()}{head[1:]}" if window else "Hatching is late"
        lines.insert(0, f"{laid}." if window else "")
    basis, word = _basis(window) if window else (None, "")
    ground = window.estimate.ground if window else ""
    return Next(head, basis, word, tuple(line for line in lines if line), None, ground, linked)


def eggs_words(clutch: ClutchOutlook) -> str:
    """Eggs of a clutch in words: "6 alive, 1 lost, 1 slug"."""
    kinds = (
        (clutch.alive, "alive", "alive"),
        (clutch.unknown, "not looked at", "not looked at"),
        (clutch.lost, "lost", "lost"),
        (clutch.slugs, "slug", "slugs"),
    )
    return ", ".join(counted(number, one, many) for number, one, many in kinds if number)


def _so_far(outlook: Outlook, today: dt.date) -> Iterator[str]:
    """What is on record of a female that waits, and what to do."""
    cycle = outlook.cycle
    if outlook.step is Step.SHED and cycle.shed:
        yield f"Shed before laying {day_words(cycle.shed, today=today)}."
        box = cycle.nest_box
        yield f"Nest box in since {day_words(box, today=today)}." if box else "Put the nest box in."
    elif outlook.advice:
        yield outlook.advice


def _basis(window: Window) -> tuple[Basis, str]:
    """Stroke of a window and the word beside it."""
    own = window.n_own
    word = f"on {counted(own, 'record')} of yours" if own and window.estimate.basis is Basis.MEASURED else ""
    return window.estimate.basis, word


def band_words(outlook: Outlook, names: Names, said: Next, *, today: dt.date) -> str:
    """The band of a female as a sentence."""
    cycle = outlook.cycle
    parts = [*_past(cycle, names, today), *_to_come(outlook, today)]
    if not parts:
        return f"{names.short(cycle.dam)}: {said.head[:1].lower()}{said.head[1:]}, nothing on record this season"
    if said.chance:
        parts.append(f"she lays this season in {said.chance_words} cases")
    return f"{names.short(cycle.dam)}: {', '.join(parts)}"


def _past(cycle: Cycle, names: Names, today: dt.date) -> Iterator[str]:
    for stay in cycle.together:
        first = f" from {day_words(stay.first, today=today)}" if stay.first else ""
        last = f" to {day_words(stay.last, today=today)}" if stay.last and stay.last != stay.first else ""
        locks = f", {counted(stay.locks, 'lock')}" if stay.locks else ""
        yield f"with {names.short(stay.sire)}{first}{last}{locks}"
    for look in cycle.follicles:
        yield f"largest follicle {look.largest_mm:g} mm on {day_words(look.day, today=today)}"
    days = (
        ("ovulation", cycle.ovulated),
        ("shed before laying", cycle.shed),
        ("nest box in", cycle.nest_box),
        ("laid", cycle.laid),
        ("hatched", cycle.hatched),
    )
    yield from (f"{what} {day_words(day, today=today)}" for what, day in days if day)


def _to_come(outlook: Outlook, today: dt.date) -> Iterator[str]:
    windows = (
        ("shed before laying", outlook.shedding),
        ("laying", outlook.laying),
        ("hatching", outlook.hatching),
        ("young ready for sale", outlook.ready if outlook.cycle.has_hatched else None),
    )
    for what, window in windows:
        if window is not None:
            yield f"{what} expected {window_words(window.law, today=today)}"


def lede(outlooks: list[Outlook], names: Names, *, today: dt.date) -> tuple[str, str]:
    """What the page answers first, and the uncertain part of it (may be empty)."""
    doubtful = _doubt(outlooks, names, today)
    coming = [(what, window) for what, window in (_event(one, names) for one in outlooks) if window]
    if not coming:
        return _nothing_to_come(outlooks), doubtful
    what, window = min(coming, key=lambda one: one[1].law.median)
    return f"{what} next, {window_words(window.law, today=today)}.", doubtful


def _nothing_to_come(outlooks: list[Outlook]) -> str:
    laid = sum(one.cycle.has_laid for one in outlooks)
    hatched = sum(one.cycle.has_hatched for one in outlooks)
    if not laid:
        return "No clutch is expected."
    return f"{counted(laid, 'female')} laid, {counted(hatched, 'clutch', 'clutches')} hatched."


def _event(outlook: Outlook, names: Names) -> tuple[str, Window | None]:
    if outlook.cycle.has_laid:
        clutch = outlook.cycle.clutch
        what = f"Clutch {clutch} hatches" if clutch else f"The clutch of {names.short(outlook.cycle.dam)} hatches"
        return what, outlook.hatching
    return f"{names.short(outlook.cycle.dam)} lays", None if may_not_lay(outlook) else outlook.laying


def _doubt(outlooks: list[Outlook], names: Names, today: dt.date) -> str:
    for one in outlooks:
        if one.caution:
            return f"{names.short(one.cycle.dam)}: {one.caution}"
    late = [names.short(one.cycle.dam) for one in outlooks if one.overdue]
    if late:
        return f"{listed(late)} {'is' if len(late) == 1 else 'are'} late."
    doubtful = [one for one in outlooks if may_not_lay(one)]
    if not doubtful:
        return ""
    if len(doubtful) > 1:
        return f"{listed([names.short(one.cycle.dam) for one in doubtful])} may not lay at all."
    look_by = doubtful[0].look_by
    again = ""
    if look_by:
        again = ": look again now" if look_by < today else f": look again by {day_words(look_by, today=today)}"
    return f"{names.short(doubtful[0].cycle.dam)} may not lay at all{again}."
