"""Checks of each record by itself: ids, texts, numbers, units, shares, weights."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from holdback.collection.agreement import agreement_faults
from holdback.collection.ancestry import ancestry_faults
from holdback.collection.cells import LIST_MARK
from holdback.collection.columns import TABLES
from holdback.collection.model import NO_SIRE, Candidate, GeneStatement, Records, Temperature
from holdback.collection.origins import origin_faults
from holdback.collection.places import Places
from holdback.collection.projects import pairing_faults, project_faults
from holdback.collection.table import Column, Kind, Table
from holdback.collection.units import units_of
from holdback.errors import Fault

_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
_TIME = re.compile(r"([01]\d|2[0-3]):[0-5]\d")
_COLDEST, _WARMEST = -20.0, 60.0
"""Degrees Celsius beyond which a reading is a slip of the pen; in Fahrenheit an incubator reads near 90."""

_CHANCE_SLACK = 1e-6
"""Three chances typed with a few decimals may miss 1 by this much."""
_WEIGHT_SLACK = 1e-9
"""Weights typed as 0.333 three times, or summed in binary, may miss 1 by this much."""


def faults_of(records: Records, places: Places | None = None) -> list[Fault]:
    """Everything wrong with the records, in reading order: first each record by itself, then between records.

    Parameters
    ----------
    records : Records
        As read.
    places : Places or None
        Where they came from; None for records without a file.
    """
    places = places or Places()
    faults = [
        fault
        for table in TABLES
        for index, record in enumerate(getattr(records, table.name))
        for fault in _record_faults(table, index, record, places)
    ]
    return faults + ancestry_faults(records, places) + agreement_faults(records, places)


def _record_faults(table: Table, index: int, record: Any, places: Places) -> Iterator[Fault]:
    """Faults of one record by itself."""
    animal = record.id if table.name == "animals" else getattr(record, "animal", "")
    for column in table.columns:
        value = getattr(record, column.field)
        if _is_plainly_right(column, value):
            continue
        for code, what, hint in _value_faults(column, value):
            shown = value if isinstance(value, str | int | float) else ""
            yield places.fault(
                code, what, hint, row=(table.name, index), field=column.name, value=shown, animal=animal
            )  # fmt: skip
    if table.name == "lines" and not 0 <= record.share_low <= record.share_high <= 1:
        what = f"A share of {record.share_low:g} to {record.share_high:g} cannot be."
        hint = "Write shares from 0 to 1, the lower one first: half is 0.5."
        yield places.fault(
            "COL-019", what, hint, row=("lines", index), field="share_low", value=record.share_low, animal=animal
        )
    if table.name in _ROW_FAULTS:
        for code, what, hint, name in _ROW_FAULTS[table.name](record):
            value = getattr(record, name)
            yield places.fault(code, what, hint, row=(table.name, index), field=name, value=value, animal=animal)
    if table.name == "measurements" and record.unit not in units_of(record.trait):
        known = ", ".join(units_of(record.trait))
        what, hint = f"{record.unit!r} is no unit of {record.trait}.", f"Write one of: {known}."
        yield places.fault(
            "COL-018", what, hint, row=(table.name, index), field="unit", value=record.unit, animal=animal
        )


def _statement_faults(row: GeneStatement) -> Iterator[tuple[str, str, str, str]]:
    """Code, what, hint and column of everything wrong with the numbers of a statement on a gene."""
    chances = {"none": row.none, "one": row.one, "two": row.two}
    for name, chance in chances.items():
        if not 0 <= chance <= 1:
            yield "COL-022", f"A chance of {chance:g} cannot be.", "Write chances from 0 to 1: half is 0.5.", name
    total = sum(chances.values())
    if all(0 <= chance <= 1 for chance in chances.values()) and abs(total - 1) > _CHANCE_SLACK:
        yield "COL-022", f"The three chances sum to {total:g}.", "They must sum to 1.", "none"
    if not 0 <= row.trust <= 1:
        yield "COL-017", f"A trust of {row.trust:g} cannot be.", "Write 0 to 1, or leave it empty for 1.", "trust"


def _temperature_faults(row: Temperature) -> Iterator[tuple[str, str, str, str]]:
    """Code, what, hint and column of everything wrong with a reading of warmth."""
    if not row.date.day:
        yield "COL-026", f"{row.date} is no day.", "Write the day, as in 2026-05-14.", "date"
    if row.time and not _TIME.fullmatch(row.time):
        yield "COL-025", f"{row.time!r} is no time of day.", "Write it as 07:05 or 16:40, or leave it empty.", "time"
    if not _COLDEST < row.celsius < _WARMEST and math.isfinite(row.celsius):
        hint = f"Write degrees Celsius, more than {_COLDEST:g} and less than {_WARMEST:g}."
        yield "COL-017", f"{row.celsius:g} degrees cannot be where snakes or eggs are.", hint, "celsius"


_ROW_FAULTS: dict[str, Callable[[Any], Iterator[tuple[str, str, str, str]]]] = {
    "statements": _statement_faults,
    "origins": origin_faults,
    "temperatures": _temperature_faults,
    "projects": project_faults,
    "planned_pairings": pairing_faults,
}


def _is_plainly_right(column: Column, value: Any) -> bool:
    """Whether a value needs no closer look; most need none, and a large folder has a million of them."""
    if isinstance(value, str):
        if column.kind is Kind.ID:
            return value.isalnum() and value.casefold() != NO_SIRE
        return value.isprintable() and bool(value or not column.required)
    if isinstance(value, float | int):
        return 0 < value < math.inf
    return value is not None and column.kind is Kind.DATE


def _value_faults(column: Column, value: Any) -> Iterator[tuple[str, str, str]]:
    """Code, what and hint of everything wrong with one value."""
    if column.required and value in ("", None):
        yield "COL-010", f"{column.name} is empty.", "Fill it in."
    elif isinstance(value, str):
        yield from _text_faults(column, value)
    elif column.kind is Kind.SIRES:
        yield from _sires_faults(value)
    elif column.kind is Kind.LIST:
        yield from _list_faults(column, value)
    elif column.kind in (Kind.NUMBER, Kind.COUNT) and value is not None:
        yield from _number_faults(column, value)


def _text_faults(column: Column, value: str) -> Iterator[tuple[str, str, str]]:
    """Faults of a text or an id."""
    if found := _UNPRINTABLE.search(value):
        yield "COL-016", f"{column.name} holds the character {ord(found[0]):#04x}.", "Delete it."
    elif column.kind is Kind.ID and (
        not value or value != value.strip() or any(mark in value for mark in "|:\n\r") or value.casefold() == NO_SIRE
    ):
        hint = "An id has no | or :, no line break, no space around it, and is not the word none."
        yield "COL-015", f"{value!r} cannot be an id.", hint


def _sires_faults(sires: Sequence[Candidate]) -> Iterator[tuple[str, str, str]]:
    """Faults of candidate sires among themselves."""
    for one in sires:
        if not 0 < one.weight <= 1:
            yield "COL-020", f"{one.animal} has the weight {one.weight:g}.", "Weights are more than 0 and at most 1."
    total = math.fsum(one.weight for one in sires)
    if total > 1 + _WEIGHT_SLACK and all(0 < one.weight <= 1 for one in sires):
        yield (
            "COL-020",
            f"The weights sum to {total:g}.",
            "Lower them: together they are at most 1, the rest is unknown.",
        )
    names = [one.animal for one in sires]
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        yield (
            "COL-021",
            f"{name} is named {names.count(name)} times.",
            "Name each candidate once, with its whole weight.",
        )


def _list_faults(column: Column, entries: Sequence[str]) -> Iterator[tuple[str, str, str]]:
    """Faults of the entries of a list."""
    for entry in entries:
        if found := _UNPRINTABLE.search(entry):
            yield "COL-016", f"{column.name} holds the character {ord(found[0]):#04x}.", "Delete it."
        elif not entry or LIST_MARK in entry or "\n" in entry or "\r" in entry:
            hint = f"Leave no entry empty, and use no {LIST_MARK} and no line break in one."
            yield "COL-027", f"{entry!r} cannot stand in a list.", hint
    for entry in dict.fromkeys(entry for entry in entries if entries.count(entry) > 1):
        yield "COL-027", f"{entry} stands in {column.name} {entries.count(entry)} times.", "Name it once."


def _number_faults(column: Column, value: float) -> Iterator[tuple[str, str, str]]:
    """Faults of one number."""
    if not math.isfinite(value):
        yield "COL-017", f"{column.name} is {value}.", "Write a number, or leave it empty."
    elif column.kind is Kind.COUNT and value < 0:
        yield "COL-017", f"{value:g} {column.name} cannot be.", "Write 0 or more, or leave it empty."
    elif column.positive and value <= 0:
        yield "COL-017", f"A measure of {value:g} cannot be.", "Write more than 0, or leave the row out."
