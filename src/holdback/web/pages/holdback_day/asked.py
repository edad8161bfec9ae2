"""What the page is asked, from its address."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import QueryDict

MOST_TUBS = 12
USUAL_TUBS = 2


@dataclass(frozen=True, slots=True)
class Asked:
    """Clutches and tubs.

    Parameters
    ----------
    clutches : tuple of str
        Clutch tags; empty where nothing is asked yet.
    tubs : int
        Young that can be held back, 0 to `MOST_TUBS`.
    """

    clutches: tuple[str, ...] = ()
    tubs: int = USUAL_TUBS

    @classmethod
    def of(cls, given: QueryDict) -> Asked:
        """What an address asks; a number that means nothing here is the usual one."""
        tubs = given.get("tubs", "")
        return cls(
            tuple(dict.fromkeys(tag.strip() for tag in given.getlist("clutch") if tag.strip())),
            min(int(tubs), MOST_TUBS) if tubs.isdecimal() else USUAL_TUBS,
        )

    @property
    def inputs(self) -> dict[str, Any]:
        """The same as JSON knows it."""
        return {"clutches": list(self.clutches), "tubs": self.tubs}

    def address(self, *, more: int = 0) -> str:
        """Query that asks the same, with more tubs."""
        return "?" + urlencode([*(("clutch", tag) for tag in self.clutches), ("tubs", self.tubs + more)])
