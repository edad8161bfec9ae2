"""Cells: what they hold comes back, and nothing a spreadsheet would run goes out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.collection.cells import CellError, cell_value, guarded, number_text, unguarded
from holdback.collection.columns import TABLES
from holdback.collection.model import NO_SIRE, Candidate, EggOutcome, Origin, Sex
from holdback.collection.table import Column

COLUMNS = {(table.name, column.name): column for table in TABLES for column in table.columns}


def column(table: str, name: str) -> Column:
    return COLUMNS[table, name]


@given(st.text() | st.from_regex(r"'*[=+\-@\t\r].*", fullmatch=True))
def test_guarded__comes_back_and_runs_nowhere(text: str) -> None:
    out = guarded(text)
    assert unguarded(out) == text
    assert out[:1] not in tuple("=+-@\t\r")


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_number_text__reads_back_exactly(value: float) -> None:
    assert cell_value(column("events", "value"), number_text(value)) == value


@pytest.mark.parametrize(
    "text,candidates",
    [
        ("A7", (Candidate("A7"),)),
        ("A7:0.8|B2:0.2", (Candidate("A7", 0.8), Candidate("B2", 0.2))),
        (" A7 : 0.8 | B2 : .2 ", (Candidate("A7", 0.8), Candidate("B2", 0.2))),
        ("A7|B2", (Candidate("A7", 0.5), Candidate("B2", 0.5))),
        ("A7:0.6", (Candidate("A7", 0.6),)),
        ("None", (Candidate(NO_SIRE),)),
        ("none:0.3|B2:0.7", (Candidate(NO_SIRE, 0.3), Candidate("B2", 0.7))),
        ("", ()),
    ],
)
def test_cell_value__sires(text: str, candidates: tuple[Candidate, ...]) -> None:
    assert cell_value(column("animals", "sire"), text) == candidates


@pytest.mark.parametrize(
    "table,name,text,value",
    [
        ("animals", "sex", "", Sex.UNKNOWN),
        ("animals", "sex", "Female", Sex.FEMALE),
        ("animals", "origin", "Wild  Caught", Origin.WILD_CAUGHT),
        ("eggs", "outcome", "", EggOutcome.UNKNOWN),
        ("eggs", "mass_g", "", None),
        ("matings", "locks", "", 0),
        ("clutches", "eggs", "8.0", 8),
    ],
)
def test_cell_value__words_and_absence(table: str, name: str, text: str, value: object) -> None:
    assert cell_value(column(table, name), text) == value


@pytest.mark.parametrize(
    "table,name,text,code,message,hint",
    [
        ("animals", "id", "", "COL-010", "id is empty", "permanent id"),
        ("animals", "hatched", "7/18/22", "COL-011", "no date", "YYYY-MM-DD"),
        ("animals", "hatched", "2023-02-29", "COL-011", "no date", "YYYY"),
        ("animals", "hatched", "0022-01-01", "COL-011", "no year", "in full"),
        ("measurements", "value", "106,2", "COL-012", "no number", "decimal point"),
        ("measurements", "value", "about 90", "COL-012", "no number", "digits"),
        ("measurements", "value", "1e999", "COL-012", "no number", "digits"),
        ("measurements", "value", "nan", "COL-012", "no number", "digits"),
        ("animals", "sex", "femal", "COL-013", "none of the words", "Did you mean female"),
        ("animals", "origin", "WC", "COL-013", "none of the words", "captive bred, captive hatched"),
        ("animals", "sire", "A7:0.8|B2", "COL-014", "others none", "A7:0.8"),
        ("animals", "sire", "A7||B2", "COL-014", "empty candidate", "A7:0.8"),
        ("animals", "sire", "A7:x", "COL-014", "no weight", "A7:0.8"),
        ("matings", "locks", "1.5", "COL-017", "no count", "whole number"),
        ("matings", "locks", "-1", "COL-017", "no count", "0 or more"),
    ],
)
def test_cell_value__faults(table: str, name: str, text: str, code: str, message: str, hint: str) -> None:
    with pytest.raises(CellError, match=message) as caught:
        cell_value(column(table, name), text)
    assert caught.value.code == code
    assert hint in caught.value.hint
