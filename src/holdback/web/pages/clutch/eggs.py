"""Eggs of a clutch as its page draws them: box by box, each as it was last found."""

from __future__ import annotations

import datetime as dt
import uuid
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.season.words import day_words
from holdback.collection.model import EggState, PartialDate
from holdback.web.pages.wording import day, listed, quantity
from holdback.web.records.clutch_rules import in_order
from holdback.web.records.egg_states import looks_at, states_of
from holdback.web.records.models import Clutch, Egg, EggLook
from holdback.web.records.queries import whole_places

ALIVE = frozenset({None, EggState.VEINS, EggState.WEAK, EggState.NO_VEINS, EggState.PIPPED})
"""How an egg that is still waited for was last found; None is not looked at."""

CHOICES = (EggState.VEINS, EggState.WEAK, EggState.NO_VEINS, EggState.SLUG, EggState.LOST, EggState.PIPPED)
"""What a look at one egg may find; what is out is written with its young."""

WORDS: Mapping[EggState | None, str] = MappingProxyType(
    {
        None: "not looked at",
        EggState.VEINS: "veins",
        EggState.WEAK: "weak veins",
        EggState.NO_VEINS: "no veins",
        EggState.SLUG: "slug",
        EggState.LOST: "lost",
        EggState.PIPPED: "pipped",
        EggState.OUT: "out",
    }
)

_SHELL = "M23 2C33 2 43 19 43 34S34 56 23 56 3 49 3 34 13 2 23 2Z"
_OPEN = "M3 34 11 28l6 6 6-7 6 7 6-6 8 6C43 49 34 56 23 56S3 49 3 34Z"
_VEINS = "M23 50V33M23 40l-9-10M23 36l9-11M14 30l-4-1M32 25l1-7M23 33l-2-11"
_WEAK = "M23 50V40M23 44l-6-5"
_NONE = "M16 38h14"
_PIP = "m18 8 5 6 4-5 4 7"
_DRAWN: Mapping[EggState | None, tuple[str, tuple[str, ...]]] = MappingProxyType(
    {
        None: ("shell", ()),
        EggState.VEINS: ("shell", (_VEINS,)),
        EggState.WEAK: ("shell", (_WEAK,)),
        EggState.NO_VEINS: ("shell", (_NONE,)),
        EggState.SLUG: ("shell slug", ()),
        EggState.LOST: ("shell dead", ()),
        EggState.PIPPED: ("shell", (_VEINS, _PIP)),
        EggState.OUT: ("shell", ()),
    }
)


def drawn(state: EggState | None) -> SafeString:
    """An egg in a state, without words."""
    kind, lines = _DRAWN[state]
    return format_html(
        '<svg viewBox="0 0 46 58" aria-hidden="true"><path class="{}" d="{}"/>{}</svg>',
        kind,
        _OPEN if state is EggState.OUT else _SHELL,
        SafeString("".join(f'<path class="vein" d="{line}"/>' for line in lines)),
    )


def key() -> list[tuple[SafeString, str]]:
    """Every drawing with its word."""
    return [(drawn(state), WORDS[state]) for state in (*CHOICES, EggState.OUT, None)]


@dataclass(frozen=True, slots=True)
class EggShown:
    """One egg.

    Parameters
    ----------
    egg : Egg
        As it is on record; unsaved where the clutch was only counted.
    state : EggState or None
        How it was last found; None is not looked at.
    since : str
        Day of that, as written.
    looks : tuple of EggLook
        All looks, in the order of their days.
    word : str
        The state in words, with the day after laying where it ended.
    """

    egg: Egg
    state: EggState | None
    since: str
    looks: tuple[EggLook, ...]
    word: str

    @property
    def mark(self) -> str:
        """Number or letter of the egg."""
        return self.egg.mark

    @property
    def mass(self) -> str:
        """Mass at laying; empty where it was not weighed."""
        return quantity(self.egg.mass_g, "g", 1) if self.egg.mass_g else ""

    @property
    def drawing(self) -> SafeString:
        """The drawing."""
        return drawn(self.state)

    @property
    def is_new(self) -> bool:
        """Whether it is not on record by itself: the clutch was only counted."""
        return self.egg._state.adding

    @property
    def is_waiting(self) -> bool:
        """Whether it is neither out nor written off."""
        return self.state in ALIVE

    def told(self, today: dt.date) -> str:
        """What is on record of it, in sentences."""
        parts = [f"{self.mass} at laying." if self.mass else "Not weighed."]
        runs: list[tuple[EggState, list[str]]] = []
        for look in self.looks:
            if not runs or runs[-1][0] != EggState(look.state):
                runs.append((EggState(look.state), []))
            runs[-1][1].append(_on(look.date, today))
        if runs:
            text = ", ".join(f"{WORDS[state]} on {listed(days)}" for state, days in runs)
            parts.append(f"{text[:1].upper()}{text[1:]}.")
        notes = [
            f"{_on(look.date, today)}: {look.note}." for look in self.looks if look.note not in ("", self.egg.cause)
        ]
        cause = f"Cause: {self.egg.cause}." if self.egg.cause else ""
        candling = f"Noted before: {self.egg.candling}." if self.egg.candling else ""
        return " ".join([*parts, *notes, *([cause] if cause else []), *([candling] if candling else [])])


def _on(date: str, today: dt.date) -> str:
    known = PartialDate.parse(date)
    return day_words(known.earliest, today=today) if known.day else day(known)


@dataclass(frozen=True, slots=True)
class BoxShown:
    """A box with its eggs; the name is empty for eggs that lie in none on record."""

    name: str
    eggs: tuple[EggShown, ...]

    @property
    def nowhere(self) -> str:
        """What is said of eggs that lie in no box."""
        return "In no box on record" if any(one.is_waiting for one in self.eggs) else "In no box any more"


def eggs_shown(clutch: Clutch) -> list[EggShown]:
    """Eggs of a clutch in the order of their marks; two queries.

    Notes
    -----
    Where they were only counted they are numbered, as long as the clutch has not hatched: of one that has, nobody can
    say afterwards which egg a young came out of.
    """
    eggs = list(clutch.egg_records.select_related("animal", "box", "clutch"))
    if not eggs and clutch.eggs and not clutch.hatched:
        eggs = [Egg(clutch=clutch, mark=str(number)) for number in range(1, clutch.eggs + 1)]
    looks = looks_at(egg for egg in eggs if not egg._state.adding)
    return [_shown(clutch, egg, looks.get(egg.pk, [])) for egg in sorted(eggs, key=lambda egg: in_order(egg.mark))]


def _shown(clutch: Clutch, egg: Egg, looks: Sequence[EggLook]) -> EggShown:
    known = states_of(egg, looks)
    since, state = known[-1] if known else ("", None)
    word = WORDS[state]
    ended = egg.ended or since or (egg.animal.hatched if egg.animal else "")
    if state in {EggState.LOST, EggState.OUT} and (age := days_between(clutch.laid, ended)) is not None:
        word = f"{word}, day {age}"
    return EggShown(egg, state, since, tuple(looks), word)


def days_between(laid: str, date: str) -> int | None:
    """Days from laying to a date; None where one of them is not known to the day."""
    if not laid or not date:
        return None
    first, last = PartialDate.parse(laid), PartialDate.parse(date)
    return (last.earliest - first.earliest).days if first.day and last.day else None


def boxes_shown(eggs: Sequence[EggShown]) -> list[BoxShown]:
    """The eggs box by box, in the order of their first eggs."""
    found: dict[uuid.UUID | None, list[EggShown]] = defaultdict(list)
    for one in eggs:
        found[one.egg.box_id].append(one)
    names = whole_places() if any(found) else {}
    return [BoxShown(names.get(place, "") if place else "", tuple(group)) for place, group in found.items()]


def beside(eggs: Sequence[EggShown], mark: str) -> tuple[EggShown | None, EggShown | None]:
    """The waiting eggs before and after one; None at an end."""
    place = next((index for index, one in enumerate(eggs) if one.mark == mark), len(eggs))
    before = [one for one in eggs[:place] if one.is_waiting]
    after = [one for one in eggs[place + 1 :] if one.is_waiting]
    return (before[-1] if before else None), (after[0] if after else None)
