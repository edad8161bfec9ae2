"""What is due of clutches: candling, hatching, and eggs that nobody accounted for."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from holdback.collection.model import Clutch, EggLook, EggOutcome, EggState
from holdback.season.day_words import day_words
from holdback.season.keeping import Keeping
from holdback.season.outlook import ClutchOutlook, DueItem

EARLY_DAYS = 2
"""A look so many days before a day of candling counts for it (an assumption)."""

LATE_DAYS = 3
"""Candling is late after so many days (an assumption)."""

LAST_LOOK_DAYS = 10
"""So many days after the last day of candling nothing is asked for any more: eggs are left alone (an assumption)."""

TALLY_DAYS = 14
"""Within so many days of hatching every egg is accounted for (an assumption)."""

OLD_TALLY_DAYS = 365
"""Nothing is asked of a clutch that hatched longer ago."""

_NUMBERS = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen"),
)
_CLOSED = frozenset({EggState.SLUG, EggState.LOST, EggState.OUT})


def clutch_items(
    outlooks: Mapping[str, ClutchOutlook], keeping: Keeping, *, candle_days: Sequence[int]
) -> Iterator[DueItem]:
    """Candling and hatching of the clutches in the boxes, and open tallies of those that hatched.

    Parameters
    ----------
    outlooks : mapping of str to ClutchOutlook
        Clutches in the boxes, by id.
    keeping : Keeping
        Records up to the day.
    candle_days : sequence of int
        Days after laying.
    """
    for name, one in outlooks.items():
        clutch = keeping.collection.clutches[name]
        if not _has_hatched(clutch, keeping.today):
            yield from _candling(clutch, one, keeping, sorted(candle_days))
            yield from _hatching(one, keeping.today)
    for clutch in keeping.collection.records.clutches:
        yield from _tally(clutch, keeping)


def number_word(count: int) -> str:
    """A number in words up to fifteen, in figures beyond.

    Examples
    --------
    >>> number_word(5), number_word(20)
    ('five', '20')
    """
    return _NUMBERS[count] if 0 <= count < len(_NUMBERS) else str(count)


def _has_hatched(clutch: Clutch, today: dt.date) -> bool:
    return clutch.hatched is not None and clutch.hatched.earliest <= today


def _candling(clutch: Clutch, one: ClutchOutlook, keeping: Keeping, days: Sequence[int]) -> Iterator[DueItem]:
    """The day of candling that is open, or the next; earlier ones are past, and are not made up for."""
    left = one.alive + one.unknown
    if clutch.laid is None or not clutch.laid.day or not left:
        return
    laid = clutch.laid.earliest
    looks = [look for look in keeping.collection.looks_at(clutch.id) if look.date.latest <= keeping.today]
    ends = [*days[1:], (days[-1] if days else 0) + LAST_LOOK_DAYS]
    for day, end in zip(days, ends, strict=True):
        first, until = (laid + dt.timedelta(days=each) for each in (day, end))
        seen = any(
            first - dt.timedelta(days=EARLY_DAYS) <= look.date.latest < until - dt.timedelta(days=EARLY_DAYS)
            for look in looks
        )
        if keeping.today >= until or seen:
            continue
        text = f"Day {day}. {_last_look(looks, laid)}".strip()
        last = min(first + dt.timedelta(days=LATE_DAYS), until - dt.timedelta(days=1))
        deed = f"{number_word(left)} with veins"
        yield DueItem(f"candle:{clutch.id}:{day}", "candle", clutch.id, True, first, last, text, deed)
        return


def _last_look(looks: Sequence[EggLook], laid: dt.date) -> str:
    """What was found when the eggs were last looked at."""
    if not looks:
        return "Not looked at yet."
    day = looks[-1].date.latest
    states = Counter(look.state for look in looks if look.date.latest == day)
    found = ", ".join(f"{number_word(count)} {_STATES[state]}" for state, count in sorted(states.items()))
    return f"On day {(day - laid).days}: {found}."


_STATES: Mapping[EggState, str] = {
    EggState.VEINS: "with veins",
    EggState.WEAK: "with weak veins",
    EggState.NO_VEINS: "without veins",
    EggState.SLUG: "slug",
    EggState.LOST: "lost",
    EggState.PIPPED: "pipped",
    EggState.OUT: "out",
}


def _hatching(one: ClutchOutlook, today: dt.date) -> Iterator[DueItem]:
    """Hatching; once the range foretold at laying has passed it is late, until what came of the eggs is written."""
    key, expected = f"hatch:{one.clutch}", one.expected
    if expected is not None and today > expected[1]:
        text = f"Hatching was expected by {day_words(expected[1], today)}. Look at the eggs; write what became of each."
        yield DueItem(key, "hatch", one.clutch, True, *expected, text, level="think")
    elif one.hatching is not None:
        first, last = one.hatching.law.window()
        text = f"Hatching {day_words(first, today)} to {day_words(last, today)}, most likely."
        yield DueItem(key, "hatch", one.clutch, True, first, last, text)


def _tally(clutch: Clutch, keeping: Keeping) -> Iterator[DueItem]:
    if clutch.hatched is None or clutch.eggs is None:
        return
    hatched = clutch.hatched.latest
    if not 0 <= (keeping.today - hatched).days <= OLD_TALLY_DAYS:
        return
    open_ = unaccounted(clutch, keeping)
    if open_ <= 0:
        return
    which = "The one egg" if clutch.eggs == 1 else f"{number_word(open_).capitalize()} of {clutch.eggs} eggs"
    text = f"{which} {'is' if open_ == 1 else 'are'} not accounted for."
    last = hatched + dt.timedelta(days=TALLY_DAYS)
    yield DueItem(f"tally:{clutch.id}", "tally", clutch.id, True, hatched, last, f"{text} Write what became of each.")


def unaccounted(clutch: Clutch, keeping: Keeping) -> int:
    """Eggs of which it is not known what became of them: those without an outcome, a last look or a hatchling.

    Parameters
    ----------
    clutch : Clutch
        Clutch that has hatched.
    keeping : Keeping
        Records up to the day.
    """
    eggs = keeping.collection.eggs_of(clutch.id)
    closed = {
        look.egg for look in keeping.collection.looks_at(clutch.id)
        if look.state in _CLOSED and look.date.latest <= keeping.today
    }  # fmt: skip
    known = [egg for egg in eggs if egg.outcome is not EggOutcome.UNKNOWN or egg.egg in closed]
    slugs_in_rows = sum(egg.outcome is EggOutcome.SLUG for egg in eggs)
    slugs = clutch.slugs or 0
    in_rows = len(known) + max(slugs - slugs_in_rows, 0)
    by_young = len(keeping.collection.clutch_mates(clutch.id)) + slugs
    return (clutch.eggs or 0) - max(in_rows, by_young)
