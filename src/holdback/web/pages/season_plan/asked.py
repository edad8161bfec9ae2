"""What a board is asked by its address: the season, how it is planned, what was fixed and moved by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import urlencode

from django.http import QueryDict

from holdback.answers.decisions.season_input import Wish
from holdback.decisions.season_plan import Lock, Move

_BETWEEN = "~"
"""Between a female, a male and a project in an address."""
_MOST = 500
"""Largest number of animals that an address asks for."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One board.

    Parameters
    ----------
    year : int
        Season, by the year of laying.
    is_mean : bool
        Whether places have to do for the mean year only, not for a year that one in ten passes.
    reserve : int
        Males kept free in all.
    most : int or None
        Pairings in all.
    fixed : tuple of Lock
        Pairs that the plan is made around.
    moves : tuple of Move
        Changes made to the plan by hand, in their order.
    her : str
        Female that another male is looked for; empty for none.
    """

    year: int
    is_mean: bool = False
    reserve: int = 0
    most: int | None = None
    fixed: tuple[Lock, ...] = ()
    moves: tuple[Move, ...] = ()
    her: str = ""

    @classmethod
    def of(cls, given: QueryDict, *, year: int) -> Asked:
        """Read from an address; what cannot be read is taken as left out, `year` where none is named."""
        return cls(
            year=_number(given.get("year", "")) or year,
            is_mean=given.get("mean") == "1",
            reserve=min(_number(given.get("reserve", "")) or 0, _MOST),
            most=_number(given.get("most", "")),
            fixed=tuple(Lock(sire, dam, project) for dam, sire, project in _three(given.getlist("fix")) if sire),
            moves=tuple(Move(dam, sire, project) for dam, sire, project in _three(given.getlist("move"))),
            her=given.get("her", ""),
        )

    @property
    def wish(self) -> Wish:
        """How the season is planned."""
        caution = 0.0 if self.is_mean else None
        return Wish(caution, self.reserve, self.fixed, self.most)

    def as_json(self) -> dict[str, Any]:
        """What a job has to know."""
        fixed = [[one.sire, one.dam, one.project] for one in self.fixed]
        return {
            "year": self.year,
            "is_mean": self.is_mean,
            "reserve": self.reserve,
            "most": self.most,
            "fixed": fixed,
        }

    @classmethod
    def from_json(cls, given: dict[str, Any]) -> Asked:
        """The same out of `as_json`."""
        return cls(**{**given, "fixed": tuple(Lock(*one) for one in given["fixed"])})

    def but(self, **changes: Any) -> Asked:
        """The same with some of it changed."""
        return replace(self, **changes)

    @property
    def plain(self) -> Asked:
        """The plan alone, with nothing moved."""
        return replace(self, moves=(), her="")

    @property
    def last_taken_back(self) -> Asked:
        """The same without the last change."""
        return replace(self, moves=self.moves[:-1], her="")

    @property
    def moves_fixed(self) -> Asked:
        """A plan made anew around the pairs that were put together by hand."""
        last = {one.dam: one for one in self.moves}
        dams = {one.dam for one in self.fixed} - last.keys()
        fixed = [one for one in self.fixed if one.dam in dams]
        fixed += [Lock(one.sire, one.dam, one.project) for one in last.values() if one.sire]
        return replace(self, fixed=tuple(fixed), moves=(), her="")

    def moved(self, dam: str, sire: str = "", project: str = "") -> Asked:
        """The same with one more change; a female that was moved before is moved once."""
        kept = tuple(one for one in self.moves if one.dam != dam)
        return replace(self, moves=(*kept, Move(dam, sire, project)), her="")

    @property
    def address(self) -> str:
        """The end of an address that asks for this."""
        pairs: list[tuple[str, str]] = [("year", str(self.year))]
        pairs += [("mean", "1")] if self.is_mean else []
        pairs += [("reserve", str(self.reserve))] if self.reserve else []
        pairs += [("most", str(self.most))] if self.most is not None else []
        pairs += [("fix", _BETWEEN.join((one.dam, one.sire, one.project))) for one in self.fixed]
        pairs += [("move", _BETWEEN.join((one.dam, one.sire, one.project))) for one in self.moves]
        pairs += [("her", self.her)] if self.her else []
        return "?" + urlencode(pairs)


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 6 else None


def _three(texts: list[str]) -> list[tuple[str, str, str]]:
    """Female, male and project of each text; those that are none are passed over."""
    parts = [text.split(_BETWEEN) for text in texts]
    return [(one[0], one[1], one[2] if len(one) == 3 else "") for one in parts if len(one) in (2, 3) and one[0]]
