"""The text of one cell and back: dates, numbers, words, candidate sires, and texts that a spreadsheet would run.

Reading undoes writing exactly. Spaces around a cell do not count.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from enum import StrEnum
from functools import lru_cache
from typing import Any

from holdback.collection.housing import path_names, path_text
from holdback.collection.model import NO_SIRE, Candidate, PartialDate
from holdback.collection.table import Column, Kind

_RUNNABLE = re.compile(r"'*[=+\-@\t\r]")
_GUARDED = re.compile(r"'+[=+\-@\t\r]")
LIST_MARK = "|"
"""Parts the entries of a list."""

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


class CellError(ValueError):
    """A cell that cannot be read: code, what is wrong, what to do."""

    def __init__(self, code: str, what: str, hint: str) -> None:
        super().__init__(what)
        self.code, self.what, self.hint = code, what, hint


def guarded(text: str) -> str:
    """Text that a spreadsheet shows and does not run.

    A text that starts with ``=``, ``+``, ``-``, ``@``, a tab or a carriage return gets an apostrophe in front; so does
    one that already starts with apostrophes and such a sign, which makes the way back exact.

    Examples
    --------
    >>> guarded("=2+3"), guarded("Umber"), guarded("'=2+3")
    ("'=2+3", 'Umber', "''=2+3")
    """
    return f"'{text}" if _RUNNABLE.match(text) else text


def unguarded(text: str) -> str:
    """Text as it was before `guarded`.

    Examples
    --------
    >>> unguarded("'=2+3"), unguarded("'tis")
    ('=2+3', "'tis")
    """
    return text[1:] if text[:1] == "'" and _GUARDED.match(text) else text


def number_text(value: float) -> str:
    """Shortest text that reads back as the same number; whole numbers without a point.

    Examples
    --------
    >>> number_text(3010.0), number_text(106.2)
    ('3010', '106.2')
    """
    text = repr(float(value))
    return text[:-2] if text.endswith(".0") else text


def sires_text(sires: tuple[Candidate, ...]) -> str:
    """Candidate sires as one cell.

    Examples
    --------
    >>> sires_text((Candidate("A7", 0.8), Candidate("B2", 0.2)))
    'A7:0.8|B2:0.2'
    """
    return "|".join(
        one.animal if one.weight == 1 and len(sires) == 1 else f"{one.animal}:{number_text(one.weight)}"
        for one in sires
    )


def list_entries(texts: Iterable[str]) -> tuple[str, ...]:
    """Entries of a list without space around them, empty ones left out.

    Examples
    --------
    >>> list_entries(["Enchi ", "", "Banana"])
    ('Enchi', 'Banana')
    """
    return tuple(plain for text in texts if (plain := text.strip()))


def cell_text(column: Column, value: Any) -> str:
    """Value of a record as the text of its cell, without a guard against formulas."""
    if value is None or (value == column.absent and column.name == "outcome"):
        return ""
    if column.kind is Kind.SIRES:
        return sires_text(value)
    if column.kind is Kind.NUMBER:
        return number_text(value)
    if column.kind is Kind.LIST:
        return LIST_MARK.join(value)
    return str(value)


def cell_value(column: Column, text: str) -> Any:
    """Value of a cell, in the type of its column.

    Parameters
    ----------
    column : Column
        What the cell holds.
    text : str
        Text without spaces around it; empty gives `Column.absent`.

    Raises
    ------
    CellError
        If the text cannot be read.
    """
    if not text:
        if column.required:
            raise CellError("COL-010", f"{column.name} is empty.", f"Fill it in: {_lower(column.about)}")
        return column.absent
    if column.kind is Kind.WORD:
        assert column.words is not None, "a column of words lists them"
        return _word(text, column.words)
    reader = _READERS.get(column.kind)
    return reader(text) if reader else text


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


@lru_cache(maxsize=65536)
def _date(text: str) -> PartialDate:
    """Partial date between the years 1900 and 2199."""
    try:
        date = PartialDate.parse(text)
    except ValueError as error:
        raise CellError("COL-011", f"{text!r} is no date.", "Write YYYY-MM-DD, YYYY-MM or YYYY.") from error
    if not 1900 <= date.year <= 2199:
        raise CellError("COL-011", f"{date.year} is no year for a snake.", "Write the year in full, 1900 to 2199.")
    return date


def _number(text: str) -> float:
    """Number with a decimal point."""
    if not _NUMBER.fullmatch(text) or not math.isfinite(float(text)):
        hint = "Write a decimal point, as in 106.2." if "," in text else "Write digits only, as in 106.2."
        raise CellError("COL-012", f"{text!r} is no number.", hint)
    return float(text)


def _count(text: str) -> int:
    """Whole number, not negative."""
    number = _number(text)
    if number != int(number) or number < 0:
        raise CellError("COL-017", f"{text!r} is no count.", "Write a whole number, 0 or more.")
    return int(number)


@lru_cache(maxsize=1024)
def _word(text: str, words: type[StrEnum]) -> StrEnum:
    """Member of a closed choice, capitals free."""
    folded = " ".join(text.casefold().split())
    for word in words:
        if word == folded:
            return word
    near = get_close_matches(folded, [str(word) for word in words], n=1, cutoff=0.6)
    choices = ", ".join(words)
    hint = f"Did you mean {near[0]}? Write one of: {choices}." if near else f"Write one of: {choices}."
    raise CellError("COL-013", f"{text!r} is none of the words for this column.", hint)


def _sires(text: str) -> tuple[Candidate, ...]:
    """Candidate sires: one id, or several joined by ``|``, each with ``:weight`` or none with one (equal shares)."""
    how = "Write A7, or A7:0.8|B2:0.2 with weights that sum to at most 1, or none."
    parts = [part.strip() for part in text.split("|")]
    split = [part.partition(":") for part in parts]
    if any(not animal.strip() for animal, _, _ in split):
        raise CellError("COL-014", f"{text!r} names an empty candidate.", how)
    weighted = [bool(colon) for _, colon, _ in split]
    if any(weighted) and not all(weighted):
        raise CellError("COL-014", f"{text!r} gives some candidates a weight and others none.", how)
    found = []
    for animal, colon, weight in split:
        try:
            share = _number(weight.strip()) if colon else 1 / len(split)
        except CellError as error:
            raise CellError("COL-014", f"{weight!r} in {text!r} is no weight.", how) from error
        name = animal.strip()
        found.append(Candidate(NO_SIRE if name.casefold() == NO_SIRE else name, share))
    return tuple(found)


_READERS: dict[Kind, Callable[[str], Any]] = {
    Kind.DATE: _date,
    Kind.NUMBER: _number,
    Kind.COUNT: _count,
    Kind.SIRES: _sires,
    Kind.PLACE: lambda text: path_text(path_names(text)),
    Kind.LIST: lambda text: list_entries(text.split(LIST_MARK)),
}
