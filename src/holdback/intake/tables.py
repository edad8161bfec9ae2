"""The table inside a sheet: which row heads it, which rows are animals and which are something else.

Keepers put a title over the list, merge headings over two rows, leave blank rows and add up at the end. Every row is
accounted for: it is part of the table, or it is named with what it was taken for.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from holdback.errors import Fault, IntakeError
from holdback.intake.headings import Field, field_of, heading_unit
from holdback.intake.numbers import unit_of
from holdback.intake.sheet_kinds import names_column
from holdback.intake.sheets import Sheet, SheetRow

_SEARCHED_ROWS = 40
"""A heading further down than this is not looked for."""

_TOTAL = re.compile(
    r"(?:grand |sub)?-?\s*(?:totals?|sum|average|avg|mean|median|count|subtotal)\b\s*[:=]?\s*[\d.,]*\s*(?:\w+)?", re.I
)
_COUNT = re.compile(r"\d+ (?:animals|snakes|rows|males|females)(?: in all)?\.?", re.I)


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the table.

    Parameters
    ----------
    index : int
        Position in the sheet, from 0.
    heading : str
        Heading as typed, the nearer row of two; a made-up ``column C`` where there is none.
    over : str
        What stands over it in a merged heading row; may be empty.
    """

    index: int
    heading: str
    over: str = ""

    @property
    def title(self) -> str:
        """Heading with what stands over it."""
        return f"{self.over}: {self.heading}" if self.over and self.over != self.heading else self.heading


@dataclass(frozen=True, slots=True)
class SetAside:
    """A row that is no animal, with what it was taken for."""

    row: int
    text: str
    reason: str


@dataclass(frozen=True)
class Table:
    """A sheet seen as a table.

    Parameters
    ----------
    sheet : Sheet
        Where it stands.
    columns : tuple of Column
        Columns that hold anything, left to right.
    rows : tuple of SheetRow
        Rows of data in file order.
    aside : tuple of SetAside
        Filled rows under the heading that are no data: totals, repeated headings, remarks.
    above : tuple of SetAside
        Title rows over the heading, and the heading itself.
    """

    sheet: Sheet
    columns: tuple[Column, ...]
    rows: tuple[SheetRow, ...]
    aside: tuple[SetAside, ...] = ()
    above: tuple[SetAside, ...] = ()

    @property
    def n_rows(self) -> int:
        """Filled rows under the heading: those of data and those set aside."""
        return len(self.rows) + len(self.aside)


def find_table(sheet: Sheet) -> Table:
    """Table of a sheet.

    Parameters
    ----------
    sheet : Sheet
        As read from the file.

    Returns
    -------
    Table
        Headings, rows of data and everything set aside.

    Raises
    ------
    IntakeError
        ITK-005 if no row of data is found under a heading.
    """
    filled = [row for row in sheet.rows if row.filled]
    if sheet.exact:
        return Table(sheet, _columns(sheet, None, filled[0], filled[1:]), tuple(filled[1:]))
    first, last = _heading_rows(sheet, filled)
    upper = filled[first] if first < last else None
    columns = _columns(sheet, upper, filled[last], filled[last + 1 :])
    above = tuple(SetAside(row.number, _joined(row), "a title") for row in filled[:first])
    above += tuple(SetAside(row.number, _joined(row), "the heading") for row in filled[first : last + 1])
    rows: list[SheetRow] = []
    aside: list[SetAside] = []
    id_columns = {c.index for c in columns if field_of(c.heading)[0] in (Field.ID, Field.NAME)}
    for row in filled[last + 1 :]:
        reason = _no_data(row, filled[last], columns, id_columns)
        if reason:
            aside.append(SetAside(row.number, _joined(row), reason))
        else:
            rows.append(row)
    if not rows:
        fault = Fault(
            code="ITK-005",
            what="No rows of animals were found under a heading.",
            hint="Put a row of headings over the list, such as id, sex, hatched.",
            file=sheet.file,
        )
        raise IntakeError(fault)
    return Table(sheet, columns, tuple(rows), tuple(aside), above)


def _joined(row: SheetRow) -> str:
    """Text of a row in one line."""
    return " · ".join(row.cells[index].text for index in row.filled)[:200]


def _heading_rows(sheet: Sheet, filled: Sequence[SheetRow]) -> tuple[int, int]:
    """Positions of the first and the last heading row among the filled rows."""
    searched = filled[:_SEARCHED_ROWS]
    scores = [_heading_score(row) for row in searched]
    best = max(range(len(searched)), key=lambda at: (scores[at], -at))
    if scores[best] < 1.5:
        best = _first_wide(searched)
    if best + 1 < len(searched) and _is_lower_heading(searched[best], searched[best + 1]):
        return best, best + 1
    if best > 0 and _is_group_row(sheet, searched[best - 1], searched[best]):
        return best - 1, best
    return best, best


def _heading_score(row: SheetRow) -> float:
    """How much a row looks like headings: sure words, less what looks like data."""
    score = 0.0
    for index in row.filled:
        cell = row.cells[index]
        if isinstance(cell.value, str) and len(cell.text) <= 40:
            score += names_column(cell.text)
            if re.search(r"\d", cell.text):
                score -= 0.3
        else:
            score -= 0.6
    return score


def _first_wide(rows: Sequence[SheetRow]) -> int:
    """First row about as wide as the list, for headings in words that are not known."""
    widest = max(len(row.filled) for row in rows)
    return next(at for at, row in enumerate(rows) if len(row.filled) * 10 >= widest * 6)


def _is_lower_heading(upper: SheetRow, lower: SheetRow) -> bool:
    """Whether the row below the best one only refines it ("Weight" over "date" and "g")."""
    texts = [(index, lower.cells[index]) for index in lower.filled]
    if not texts or any(not isinstance(cell.value, str) or re.search(r"\d{2}", cell.text) for _, cell in texts):
        return False
    named = sum(1 for _, cell in texts if field_of(cell.text)[0] or heading_unit(cell.text))
    # A row of data names sexes and genes, which are no headings; it also fills the first column.
    return named * 2 > len(texts) and any(not upper.cells[index].text for index, _ in texts)


def _is_group_row(sheet: Sheet, upper: SheetRow, lower: SheetRow) -> bool:
    """Whether the row above the best one holds headings merged over several columns."""
    if upper.number + 1 != lower.number or any(len(upper.cells[index].text) > 40 for index in upper.filled):
        return False
    spans = [span for span in sheet.merged if span[0] <= upper.number - 1 <= span[2]]
    if any(span[3] - span[1] + 1 >= len(upper.cells) for span in spans):
        return False
    return len(upper.filled) > 1 or (bool(upper.filled) and upper.filled[0] > 0)


def _columns(sheet: Sheet, upper: SheetRow | None, lower: SheetRow, below: Sequence[SheetRow]) -> tuple[Column, ...]:
    """Columns with their headings; one without heading and without cells is none."""
    over = _spread(sheet, upper, lower) if upper else [""] * len(lower.cells)
    used = {index for row in below for index in row.filled}
    columns = []
    for index, cell in enumerate(lower.cells):
        heading = cell.text or over[index]
        if not heading and index not in used:
            continue
        group = over[index] if cell.text and not _speaks_for_itself(cell.text, lower) else ""
        columns.append(Column(index, heading or f"column {column_letters(index)}", group))
    return tuple(columns)


def _speaks_for_itself(heading: str, row: SheetRow) -> bool:
    """Whether a heading says what its column is without the one over it: known, no bare unit, and there once."""
    field, sure = field_of(heading)
    known = field is not None and field is not Field.MEASURED and sure >= 0.7 and not unit_of(heading)
    return known and sum(cell.text == heading for cell in row.cells) == 1


def _spread(sheet: Sheet, upper: SheetRow, lower: SheetRow) -> list[str]:
    """Upper heading of every column, spread over its merged range."""
    texts = [cell.text for cell in upper.cells]
    spans = [span for span in sheet.merged if span[0] <= upper.number - 1 <= span[2]]
    if sheet.merged:
        for _, first, _, last in spans:
            for index in range(first, min(last, len(texts) - 1) + 1):
                texts[index] = upper.cells[first].text
        return texts
    # CSV knows no merged cells: a blank after a group belongs to it while the row below has a heading of its own.
    for index in range(1, len(texts)):
        if not texts[index] and lower.cells[index].text and texts[index - 1] and lower.cells[index - 1].text:
            texts[index] = texts[index - 1]
    return texts


def column_letters(index: int) -> str:
    """Letters a spreadsheet gives the column with this index.

    Examples
    --------
    >>> column_letters(0), column_letters(27)
    ('A', 'AB')
    """
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _no_data(row: SheetRow, heading: SheetRow, columns: Sequence[Column], id_columns: set[int]) -> str:
    """What a row is if it is no data, empty if it is."""
    texts = [row.cells[index].text for index in row.filled]
    if [cell.text for cell in row.cells] == [cell.text for cell in heading.cells]:
        return "the heading again"
    if _TOTAL.fullmatch(texts[0]) or (len(texts) <= 2 and _COUNT.fullmatch(texts[0])):
        return "a total, not an animal"
    if len(texts) == 1 and len(columns) >= 3:
        only = row.filled[0]
        if only in id_columns and (re.search(r"\d", texts[0]) or only not in _first_columns(columns)):
            return ""
        if only in id_columns and len(texts[0]) <= 20 and not texts[0].endswith(":") and texts[0].lower() not in _PARTS:
            return ""
        return "a remark or a heading between the rows"
    return ""


_PARTS = frozenset({"males", "females", "hatchlings", "breeders", "holdbacks", "adults", "babies", "sold", "juveniles"})


def _first_columns(columns: Sequence[Column]) -> set[int]:
    """Index of the leftmost column, where headings between the rows stand."""
    return {columns[0].index} if columns else set()
