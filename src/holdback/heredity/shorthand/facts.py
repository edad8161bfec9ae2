"""Sex, counts, origin, dates, weight and status words of one line of shorthand."""

from __future__ import annotations

from collections.abc import Callable

from holdback.collection.model import Origin, PartialDate, Sex
from holdback.heredity.shorthand.numbers import ReadDate
from holdback.heredity.shorthand.reading import SexCounts
from holdback.heredity.shorthand.tokens import Token

Warn = Callable[[str, str, int, int], None]
"""Report of a remark: code, message, start, end."""


class Facts:
    """What is said beside the genes, gathered token by token.

    Parameters
    ----------
    warn : callable
        Takes code, message, start and end of a remark.
    """

    def __init__(self, warn: Warn) -> None:
        self._warn = warn
        self.sex = Sex.UNKNOWN
        self.counts: SexCounts | None = None
        self.origin: Origin | None = None
        self.hatched: PartialDate | None = None
        self.mass: tuple[float, str] | None = None
        self.status: list[str] = []
        self.makers: list[Token] = []
        self.relatives: list[Token] = []
        self._sex_token: Token | None = None
        self._clashes: set[str] = set()

    def take(self, token: Token) -> None:
        """Note one token."""
        carried = token.carried
        if token.kind == "SEX" and isinstance(carried, Sex):
            self._take_sex(carried, token)
        elif token.kind == "COUNTS" and isinstance(carried, SexCounts):
            self._take_counts(carried, token)
        elif token.kind == "ORIGIN" and isinstance(carried, tuple):
            self._take_origin(carried, token)
        elif token.kind == "DATE" and isinstance(carried, ReadDate):
            self._take_date(carried, token)
        elif token.kind == "MASS" and isinstance(carried, tuple):
            self._take_mass(carried, token)
        elif token.kind == "MAKER":
            self.makers.append(token)
        elif token.kind == "RELATIVE":
            self.relatives.append(token)
            self.status.append(" ".join(token.text.split()))
            message = f"{token.text!r} is kept, and not read as this animal's genes."
            self._warn("says-another-animal", message, token.start, token.end)
        elif token.kind == "STATUS":
            self.status.append(" ".join(str(carried).split()))

    def close(self) -> None:
        """Drop what was said in two ways."""
        if "sex" in self._clashes:
            self.sex, self.counts = Sex.UNKNOWN, None
        if "origin" in self._clashes:
            self.origin = None
        if "hatched" in self._clashes:
            self.hatched = None
        if "mass" in self._clashes:
            self.mass = None

    def _take_sex(self, sex: Sex, token: Token) -> None:
        if sex is Sex.UNKNOWN or (self.counts and self.counts.total > 1 and self.counts.of_one_sex is Sex.UNKNOWN):
            return
        if self.sex not in (Sex.UNKNOWN, sex):
            message = f"Both {self.sex} and {sex} are written; neither is used."
            self._warn("sex-twice", message, token.start, token.end)
            self._clashes.add("sex")
        else:
            self.sex = sex

    def _take_counts(self, counts: SexCounts, token: Token) -> None:
        if self.counts not in (None, counts):
            message = f"Counts {self.counts} and {counts} are both written; neither is used."
            self._warn("sex-twice", message, token.start, token.end)
            self._clashes.add("sex")
            return
        self.counts = counts
        if counts.total > 1:
            message = f"{counts.total} animals are counted; the genes are read as those of each."
            self._warn("several-animals", message, token.start, token.end)
        self._take_sex(counts.of_one_sex, token)

    def _take_origin(self, carried: tuple[Origin | None, str, bool], token: Token) -> None:
        origin, status, loose = carried
        if status:
            self.status.append(status)
        if loose:
            message = f"{token.text} is used loosely; parents count as unknown."
            self._warn("origin-loose", message, token.start, token.end)
        if origin is None:
            return
        if self.origin not in (None, origin):
            message = f"Both {self.origin} and {origin} are written; neither is used."
            self._warn("origin-twice", message, token.start, token.end)
            self._clashes.add("origin")
            return
        self.origin = origin

    def _take_date(self, read: ReadDate, token: Token) -> None:
        if read.either_way:
            message = f"{token.text}: day and month can be read both ways; only the year {read.date.year} is used."
            self._warn("date-either-way", message, token.start, token.end)
        if self.hatched is None or _refines(read.date, self.hatched):
            self.hatched = read.date
        elif self.hatched != read.date and not _refines(self.hatched, read.date):
            message = f"Both {self.hatched} and {read.date} are written; neither is used."
            self._warn("hatched-twice", message, token.start, token.end)
            self._clashes.add("hatched")

    def _take_mass(self, mass: tuple[float, str], token: Token) -> None:
        if self.mass and self.mass[1] == "lb" and mass[1] == "oz":
            self.mass = self.mass[0] * 16 + mass[0], "oz"
        elif self.mass in (None, mass):
            self.mass = mass
        else:
            message = f"Both {self.mass[0]:g} {self.mass[1]} and {token.text} are written; neither is used."
            self._warn("mass-twice", message, token.start, token.end)
            self._clashes.add("mass")


def _refines(finer: PartialDate, coarser: PartialDate) -> bool:
    """True where one date is the other, known more closely."""
    return coarser.earliest <= finer.earliest and finer.latest <= coarser.latest and finer != coarser
