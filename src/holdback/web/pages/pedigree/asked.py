"""What an address asks of a pedigree drawing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from holdback.web.pages.pedigree.shading import NONE

MOST_UP, MOST_DOWN = 6, 4
UP, DOWN = 3, 1


@dataclass(frozen=True, slots=True)
class Asked:
    """Options of a drawing.

    Parameters
    ----------
    up, down : int
        Generations of ancestors and of descendants.
    is_folded : bool
        Whether clutch mates without young share one box.
    shade : str
        As in `shading.shading_of`.
    beside : str
        Id of the animal that it is set beside; empty for none.
    """

    up: int = UP
    down: int = DOWN
    is_folded: bool = True
    shade: str = NONE
    beside: str = ""

    @classmethod
    def of(cls, given: Mapping[str, str]) -> Asked:
        """Options out of an address; what is no number, or is too large, is taken as the nearest that can be."""
        return cls(
            _number(given.get("up", ""), UP, MOST_UP),
            _number(given.get("down", ""), DOWN, MOST_DOWN),
            given.get("mates", "") != "all",
            given.get("shade", "").strip() or NONE,
            given.get("with", "").strip(),
        )

    def address(self) -> str:
        """The options as they stand in an address, those that are as usual left out; empty if all are."""
        parts = {
            "up": str(self.up) if self.up != UP else "",
            "down": str(self.down) if self.down != DOWN else "",
            "mates": "" if self.is_folded else "all",
            "shade": self.shade if self.shade != NONE else "",
            "with": self.beside,
        }
        kept = {name: value for name, value in parts.items() if value}
        return f"?{urlencode(kept)}" if kept else ""

    def unfolded(self) -> Asked:
        """The same with every clutch mate by itself."""
        return replace(self, is_folded=False)

    def alone(self) -> Asked:
        """The same without the animal that it is set beside."""
        return replace(self, beside="")


def _number(text: str, usual: int, most: int) -> int:
    return min(int(text), most) if text.isdecimal() else usual
