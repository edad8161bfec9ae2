"""What the page is asked, from its address."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import QueryDict

MOST_TUBS = 12
USUAL_TUBS = 2
MOST_EGGS = 400.0


@dataclass(frozen=True, slots=True)
class Asked:
    """Clutches, tubs, projects, and what a tub is worth.

    Parameters
    ----------
    clutches : tuple of str
        Clutch tags; empty where nothing is asked yet.
    tubs : int
        Young that can be held back, 0 to `MOST_TUBS`.
    projects : tuple of str
        Keys of projects to weigh for; all open ones where there are none.
    tub_eggs : float
        What a tub for a year is worth, in eggs.
    """

    clutches: tuple[str, ...] = ()
    tubs: int = USUAL_TUBS
    projects: tuple[str, ...] = ()
    tub_eggs: float = 0.0

    @classmethod
    def of(cls, given: QueryDict) -> Asked:
        """What an address asks; a number that means nothing here is the usual one."""
        tubs = given.get("tubs", "")
        return cls(
            _named(given.getlist("clutch")),
            min(int(tubs), MOST_TUBS) if tubs.isdecimal() else USUAL_TUBS,
            _named(given.getlist("project")),
            _eggs(given.get("tub_eggs", "")),
        )

    @property
    def inputs(self) -> dict[str, Any]:
        """The same as JSON knows it."""
        return {
            "clutches": list(self.clutches),
            "tubs": self.tubs,
            "projects": list(self.projects),
            "tub_eggs": self.tub_eggs,
        }

    @property
    def tub_eggs_typed(self) -> str:
        """Worth of a tub as a field holds it."""
        return f"{self.tub_eggs:g}"

    def address(self, *, more: int = 0) -> str:
        """Query that asks the same, with more tubs."""
        pairs = [*(("clutch", tag) for tag in self.clutches), ("tubs", str(min(self.tubs + more, MOST_TUBS)))]
        pairs += [("project", key) for key in self.projects]
        pairs += [("tub_eggs", self.tub_eggs_typed)] if self.tub_eggs else []
        return "?" + urlencode(pairs)


def _named(given: Sequence[str]) -> tuple[str, ...]:
    """Names without gaps and doubles."""
    return tuple(dict.fromkeys(one.strip() for one in given if one.strip()))


def _eggs(text: str) -> float:
    """Worth of a tub as typed; 0 where it is no number."""
    try:
        found = float(text.replace(",", "."))
    except ValueError:
        return 0.0
    return min(max(found, 0.0), MOST_EGGS) if math.isfinite(found) else 0.0
