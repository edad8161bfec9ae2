"""What is asked of the season page by its address: which year, and which females."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from holdback.season.outlook import Outlook, Step
from holdback.web.pages.season.names import Names
from holdback.web.pages.season.words import may_not_lay

_GROUPS: Mapping[str, tuple[str, Callable[[Outlook], bool]]] = {
    "": ("all", lambda one: True),
    "paired": ("paired", lambda one: bool(one.cycle.together)),
    "laid": ("laid", lambda one: one.cycle.has_laid),
    "doubt": ("may not lay", may_not_lay),
    "rest": ("resting or not paired", lambda one: one.step in (Step.RESTS, Step.OVER)),
}
GROUPS = {key: words for key, (words, _) in _GROUPS.items()}
"""Key of a group of females to its words."""
_YEARS = range(1980, 2101)


@dataclass(frozen=True, slots=True)
class Asked:
    """Year and females asked for.

    Parameters
    ----------
    year : int or None
        Season by the year of laying; None for the present one.
    group : str
        Key of `GROUPS`.
    male : str
        Only females that were with him; empty is any.
    text : str
        Part of a name or an id; empty is any.
    is_print : bool
        Whether it is for paper.
    """

    year: int | None = None
    group: str = ""
    male: str = ""
    text: str = ""
    is_print: bool = False

    @classmethod
    def of(cls, given: Mapping[str, str]) -> Asked:
        """Read from an address; what cannot be read is taken as left out."""
        year = given.get("year", "")
        return cls(
            year=int(year) if year.isdecimal() and int(year) in _YEARS else None,
            group=given.get("show", "") if given.get("show", "") in _GROUPS else "",
            male=given.get("male", ""),
            text=given.get("text", "").strip(),
            is_print="print" in given,
        )

    @property
    def is_any(self) -> bool:
        """Whether any of the females is left out."""
        return bool(self.group or self.male or self.text)

    def takes(self, outlook: Outlook, names: Names) -> bool:
        """Whether a female is asked for."""
        cycle = outlook.cycle
        if not _GROUPS[self.group][1](outlook):
            return False
        if self.male and all(stay.sire != self.male for stay in cycle.together):
            return False
        return self.text.casefold() in names.label(cycle.dam).casefold()

    def address(self, **more: str) -> str:
        """The same as the end of an address, with some of it changed."""
        parts = {"year": str(self.year or ""), "show": self.group, "male": self.male, "text": self.text} | more
        return urlencode({key: value for key, value in parts.items() if value})
