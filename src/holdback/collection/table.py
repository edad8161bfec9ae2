"""What a table of the collection folder is: a file, its columns, and what each takes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Kind(StrEnum):
    """What a cell holds."""

    ID = "id"
    TEXT = "text"
    WORD = "word"
    DATE = "date"
    NUMBER = "number"
    COUNT = "count"
    SIRES = "sires"
    PLACE = "place"
    LIST = "list"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    name : str
        Header as written in the file.
    kind : Kind
        What its cells hold.
    about : str
        One sentence for the reference and the descriptor.
    required : bool
        Whether every row must fill it.
    refers : str
        Table whose ids it names ("animals", "clutches", "projects"); empty for none.
    words : type of StrEnum or None
        Closed choice, for `Kind.WORD`.
    absent : object
        Value of an empty cell.
    attribute : str
        Field of the record where it is not called like the column.
    positive : bool
        Whether a number must be more than 0.
    is_late : bool
        Whether the column came after folders were in use: an empty cell of it leaves the digest as it was.
    """

    name: str
    kind: Kind
    about: str
    required: bool = False
    refers: str = ""
    words: type[StrEnum] | None = None
    absent: Any = None
    attribute: str = ""
    positive: bool = False
    is_late: bool = False

    @property
    def field(self) -> str:
        """Name of the field of the record."""
        return self.attribute or self.name


@dataclass(frozen=True, slots=True)
class Table:
    """One file of the folder.

    Parameters
    ----------
    name : str
        Name without ``.csv``; also the field of `Records`.
    about : str
        One sentence.
    record : callable
        Class of its rows.
    columns : tuple of Column
        In the order they are written.
    key : tuple of str
        Columns that together name one row; empty where rows may repeat.
    is_late : bool
        Whether the table came after folders were in use: while it is empty it leaves the digest as it was.
    """

    name: str
    about: str
    record: Callable[..., Any]
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()
    is_late: bool = False

    @property
    def file(self) -> str:
        """File name in the folder."""
        return f"{self.name}.csv"


def text(name: str, about: str) -> Column:
    """Column of free text, empty where nothing is said."""
    return Column(name, Kind.TEXT, about, absent="")


def animal(name: str, about: str, *, required: bool = True) -> Column:
    """Column of the id of an animal."""
    return Column(name, Kind.ID, about, required=required, refers="animals")
