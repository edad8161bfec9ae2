"""What an egg can be found as, after what it was found as before."""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from holdback.collection.model import EggOutcome, EggState, PartialDate
from holdback.web.records.models import Egg, EggLook

_WAITING = frozenset(EggState) - {EggState.SLUG}

FOLLOWS: Mapping[EggState, frozenset[EggState]] = MappingProxyType(
    {
        EggState.VEINS: _WAITING,
        EggState.WEAK: _WAITING,
        EggState.NO_VEINS: frozenset(EggState),
        EggState.SLUG: frozenset({EggState.SLUG}),
        EggState.LOST: frozenset({EggState.LOST}),
        EggState.PIPPED: frozenset({EggState.PIPPED, EggState.OUT, EggState.LOST}),
        EggState.OUT: frozenset({EggState.OUT}),
    }
)
"""What may be found later: an egg with veins is no slug any more, and what is out stays out."""

_AS_STATE = {EggOutcome.SLUG: EggState.SLUG, EggOutcome.DIED: EggState.LOST, EggOutcome.HATCHED: EggState.OUT}


def looks_at(eggs: Iterable[Egg]) -> dict[uuid.UUID, list[EggLook]]:
    """Looks at each egg by its key, in the order of their days."""
    found: dict[uuid.UUID, list[EggLook]] = defaultdict(list)
    for look in EggLook.objects.filter(egg__in=list(eggs)).order_by("date", "id"):
        found[look.egg_id].append(look)
    return found


def states_of(egg: Egg, looks: Iterable[EggLook]) -> list[tuple[str, EggState]]:
    """Day and state of everything known of an egg, its outcome among it, in the order of days."""
    known = [(look.date, EggState(look.state)) for look in looks]
    outcome = _AS_STATE.get(EggOutcome(egg.outcome))
    if outcome and outcome not in {state for _, state in known}:
        known.append((egg.ended, outcome))
    return sorted(known, key=lambda one: one[0])


def unlikely(egg: Egg, looks: Iterable[EggLook], state: EggState, day: str) -> str:
    """Question about a state on a day that cannot follow, or cannot stand before, what is known; empty where it can."""
    known = states_of(egg, looks)
    before = [one for one in known if _lies_before(one[0], day)]
    after = [one for one in known if one[0] and _lies_before(day, one[0])]
    if before and state not in FOLLOWS[before[-1][1]]:
        when, other = before[-1]
        since = f" on {when}" if when else ""
        return f"egg {egg.mark} is on record as {in_words(other)}{since}. Is it {in_words(state)} on {day}?"
    if after and after[0][1] not in FOLLOWS[state]:
        when, other = after[0]
        return f"egg {egg.mark} is on record as {in_words(other)} on {when}. Was it {in_words(state)} before, on {day}?"
    return ""


def looks_against(looks: Iterable[EggLook], state: EggState, day: str) -> list[EggLook]:
    """Looks that cannot stand beside a state on a day."""
    return [
        look
        for look in looks
        if (_lies_before(look.date, day) and state not in FOLLOWS[EggState(look.state)])
        or (_lies_before(day, look.date) and EggState(look.state) not in FOLLOWS[state])
    ]


def _lies_before(first: str, second: str) -> bool:
    """Whether one day surely lies before another; a day that nobody wrote lies before all."""
    return not first or PartialDate.parse(first).latest < PartialDate.parse(second).earliest


def day_of_end(egg: Egg, outcome: EggOutcome, day: str) -> str:
    """Day on which an egg was first known to be what it is: the earlier one, if it was written off before."""
    return min(egg.ended, day) if egg.ended and egg.outcome == outcome else day


def in_words(state: EggState) -> str:
    """A state in a sentence."""
    words = {EggState.VEINS: "with veins", EggState.NO_VEINS: "without veins", EggState.SLUG: "a slug"}
    return words.get(state, state.value)
