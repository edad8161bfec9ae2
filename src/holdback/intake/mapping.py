"""What each column is taken for and how its cells are written: proposed by the tool, confirmed by the keeper."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field, replace
from typing import Any

from holdback.collection.model import PartialDate
from holdback.errors import Fault, IntakeError
from holdback.intake.headings import SEVERAL, WEIGHTS, Field
from holdback.intake.numbers import GRAMS, MILLIMETRES
from holdback.intake.sheet_kinds import FIELDS, SheetKind

UNITS = ("g", "kg", "oz", "lb", "mm", "cm", "m", "in")
"""Units a column can be in."""


@dataclass(frozen=True, slots=True)
class ColumnPlan:
    """What one column is taken for.

    Parameters
    ----------
    index : int
        Position in the sheet.
    title : str
        Heading as typed.
    field : Field
        Where its cells go.
    unit : str
        Unit of numbers without one of their own; empty where not known or not needed.
    date : PartialDate or None
        Day of the measurements of this column, where the heading names it.
    dated_by : int
        Index of the column that dates these measurements; -1 for none.
    detail : str
        Name of the line for a share; else empty.
    reason : str
        Why it is taken for this, in words.
    confidence : float
        0 to 1.
    example : str
        A cell of it.
    """

    index: int
    title: str
    field: Field
    unit: str = ""
    date: PartialDate | None = None
    dated_by: int = -1
    detail: str = ""
    reason: str = ""
    confidence: float = 0.0
    example: str = ""


@dataclass(frozen=True, slots=True)
class Writing:
    """How the cells are written; what is empty is not decided and waits for an answer.

    Parameters
    ----------
    orders : mapping of str to str
        Separator of dates in figures to ``dmy`` or ``mdy``.
    decimal : str
        ``.`` or ``,``.
    year_from : int
        First year of the hundred years that two-figure years stand for; 0 is not decided.
    weighed_on : PartialDate or None
        Day of measurements that no column dates.
    """

    orders: MappingABC[str, str] = field(default_factory=dict)
    decimal: str = ""
    year_from: int = 0
    weighed_on: PartialDate | None = None


@dataclass(frozen=True, slots=True)
class Evidence:
    """One thing about how cells are written, what speaks for it, and whether it is still open.

    Parameters
    ----------
    key : str
        ``dates /``, ``decimal``, ``year_from``, ``weighed_on`` or ``unit 7`` (column index).
    question : str
        What is asked, in words.
    choices : tuple of (str, str)
        Value and label; empty where a free text is wanted.
    proposed : str
        Value that the evidence speaks for; empty where nothing decides.
    why : str
        The evidence in words, with counts.
    rows : tuple of int
        Rows that hang on the answer.
    """

    key: str
    question: str
    choices: tuple[tuple[str, str], ...]
    proposed: str
    why: str
    rows: tuple[int, ...] = ()

    @property
    def open(self) -> bool:
        """Whether nothing decides it."""
        return not self.proposed


@dataclass(frozen=True)
class Mapping:
    """Columns and writing of one sheet.

    Parameters
    ----------
    columns : tuple of ColumnPlan
        One for each column of the table.
    writing : Writing
        How its cells are written.
    evidence : tuple of Evidence
        What is asked about the writing, decided or not.
    sheet : SheetKind
        What its rows are.
    sheet_why : str
        Why they are taken for it.
    """

    columns: tuple[ColumnPlan, ...]
    writing: Writing = field(default_factory=Writing)
    evidence: tuple[Evidence, ...] = ()
    sheet: SheetKind = SheetKind.ANIMALS
    sheet_why: str = ""

    def of(self, wanted: Field) -> tuple[ColumnPlan, ...]:
        """Columns that go to a field."""
        return tuple(column for column in self.columns if column.field is wanted)

    @property
    def open(self) -> tuple[Evidence, ...]:
        """Questions about the writing that nothing decides yet."""
        return tuple(item for item in self.evidence if not self.told(item.key))

    def told(self, key: str) -> str:
        """Value in force for a piece of evidence, empty where none is."""
        kind, _, rest = key.partition(" ")
        if kind == "dates":
            return self.writing.orders.get(rest or " ", "")
        if kind == "decimal":
            return self.writing.decimal
        if kind == "year_from":
            return str(self.writing.year_from or "")
        if kind == "weighed_on":
            return str(self.writing.weighed_on or "")
        return next((column.unit for column in self.columns if str(column.index) == rest), "")

    def with_field(self, index: int, wanted: Field) -> Mapping:
        """Copy in which one column goes somewhere else by the keeper's word."""
        return replace(
            self,
            columns=tuple(
                replace(column, field=wanted, reason="you said so", confidence=1.0)
                if column.index == index and column.field is not wanted
                else column
                for column in self.columns
            ),
        )

    def with_told(self, key: str, value: str) -> Mapping:
        """Copy in which one thing about the writing is told.

        Raises
        ------
        IntakeError
            ITK-010 if the value is none that the question allows.
        """
        kind, _, rest = key.partition(" ")
        writing = self.writing
        try:
            if kind == "dates" and value in ("dmy", "mdy", ""):
                return replace(self, writing=replace(writing, orders={**writing.orders, rest or " ": value}))
            if kind == "decimal" and value in (".", ",", ""):
                return replace(self, writing=replace(writing, decimal=value))
            if kind == "year_from":
                return replace(self, writing=replace(writing, year_from=_pivot(value)))
            if kind == "weighed_on":
                day = PartialDate.parse(value) if value else None
                return replace(self, writing=replace(writing, weighed_on=day))
            if kind == "unit" and value in (*UNITS, ""):
                return self._with_unit(int(rest), value)
        except ValueError as error:
            raise IntakeError(_untold(key, value, str(error))) from error
        raise IntakeError(_untold(key, value, "It is none of the choices."))

    def _with_unit(self, index: int, unit: str) -> Mapping:
        """Copy in which a column is in another unit."""
        columns = tuple(replace(c, unit=unit) if c.index == index else c for c in self.columns)
        return replace(self, columns=columns)

    def checked(self) -> Mapping:
        """The mapping itself if it can be used.

        Raises
        ------
        IntakeError
            ITK-011 two columns for one field, ITK-012 no column says what a row is about, ITK-013 unit of another
            kind, ITK-015 a field that such a sheet does not have.
        """
        faults = [
            Fault("ITK-015", f"{c.title} goes to {c.field.value}, which a sheet of {self.sheet.value} does not have.",
                  f"Take one of: {', '.join(FIELDS[self.sheet])}.", field=c.field.value)
            for c in self.columns
            if c.field not in FIELDS[self.sheet]
        ]  # fmt: skip
        for wanted in Field:
            columns = self.of(wanted)
            if len(columns) > 1 and wanted not in SEVERAL:
                titles = ", ".join(column.title for column in columns)
                what = f"{len(columns)} columns go to {wanted.value}: {titles}."
                faults.append(Fault("ITK-011", what, "Choose one; send the others to notes.", field=wanted.value))
        for group, what in _NEEDED[self.sheet]:
            if not any(self.of(each) for each in group):
                hint = f"Say which column goes to {' or '.join(each.value for each in group)}."
                faults.append(Fault("ITK-012", f"No column says {what}.", hint, field=group[0].value))
        faults += [
            Fault("ITK-013", f"{c.title} is {c.field.value}, which is not in {c.unit}.", "Choose another unit.")
            for c in self.columns
            if c.unit and c.unit not in units_of(c.field)
        ]
        if faults:
            raise IntakeError(faults)
        return self

    def as_json(self) -> dict[str, Any]:
        """The mapping as plain values, for a file or a database."""
        return {
            "columns": [
                {
                    "index": c.index, "title": c.title, "field": c.field.value, "unit": c.unit,
                    "date": str(c.date or ""), "dated_by": c.dated_by, "detail": c.detail, "reason": c.reason,
                    "confidence": c.confidence, "example": c.example,
                }
                for c in self.columns
            ],
            "writing": {
                "orders": dict(self.writing.orders), "decimal": self.writing.decimal,
                "year_from": self.writing.year_from, "weighed_on": str(self.writing.weighed_on or ""),
            },
            "evidence": [
                {
                    "key": e.key, "question": e.question, "choices": [list(choice) for choice in e.choices],
                    "proposed": e.proposed, "why": e.why, "rows": list(e.rows),
                }
                for e in self.evidence
            ],
            "sheet": self.sheet.value, "sheet_why": self.sheet_why,
        }  # fmt: skip

    @classmethod
    def from_json(cls, data: MappingABC[str, Any]) -> Mapping:
        """Mapping from what `as_json` gave."""
        columns = tuple(
            ColumnPlan(**{**column, "field": Field(column["field"]), "date": _day(column["date"])})
            for column in data["columns"]
        )
        written = data["writing"]
        writing = Writing(written["orders"], written["decimal"], written["year_from"], _day(written["weighed_on"]))
        evidence = tuple(
            Evidence(**{**item, "choices": tuple((a, b) for a, b in item["choices"]), "rows": tuple(item["rows"])})
            for item in data["evidence"]
        )
        kind = SheetKind(data.get("sheet", SheetKind.ANIMALS))
        return cls(columns, writing, evidence, kind, data.get("sheet_why", ""))


_WHO = (Field.ID, Field.NAME), "which animal a row is about"
_NEEDED: dict[SheetKind, tuple[tuple[tuple[Field, ...], str], ...]] = {
    SheetKind.ANIMALS: (_WHO,),
    SheetKind.LOG: (_WHO, ((Field.DAY,), "on which day")),
    SheetKind.PAIRINGS: (
        ((Field.DAM, Field.PARENTS), "which female"),
        ((Field.SIRE, Field.PARENTS), "which male"),
    ),
    SheetKind.CLUTCHES: (((Field.CLUTCH,), "which clutch a row is about"),),
}
"""Columns that each kind of sheet must have, one of each group."""


def units_of(wanted: Field) -> tuple[str, ...]:
    """Units that measurements of a field can be in; none for other fields."""
    if wanted in WEIGHTS:
        return tuple(GRAMS)
    if wanted in (Field.SVL, Field.LENGTH, Field.HEAD_WIDTH, Field.HEAD_LENGTH, Field.GIRTH):
        return tuple(MILLIMETRES)
    return ()


def _day(text: str) -> PartialDate | None:
    return PartialDate.parse(text) if text else None


def _pivot(value: str) -> int:
    """First year of two-figure years."""
    year = int(value) if value else 0
    if year and not 1900 <= year <= 2100:
        raise ValueError(f"{year} is not between 1900 and 2100")
    return year


def _untold(key: str, value: str, why: str) -> Fault:
    return Fault("ITK-010", f"{value!r} cannot answer {key!r}: {why}", "Take one of the choices.", value=value)
