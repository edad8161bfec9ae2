from __future__ import annotations

import pytest

from holdback.errors import IntakeError
from holdback.intake import find_table, sheet_from_bytes
from holdback.intake.sheets import Cell, Sheet, SheetRow
from holdback.intake.tables import Table


def table(text: str) -> Table:
    return find_table(sheet_from_bytes(text.encode(), "list.csv"))


def titles(found: Table) -> list[str]:
    return [column.title for column in found.columns]


def test_find_table__under_a_title_and_blank_rows() -> None:
    found = table("Wrackline Barn,,\n,,\nSnake,Sex,DOB\nUmber,f,2022\n\nMortar,m,2016\n")
    assert titles(found) == ["Snake", "Sex", "DOB"]
    assert [row.number for row in found.rows] == [4, 6]
    assert [(aside.row, aside.reason) for aside in found.above] == [(1, "a title"), (3, "the heading")]


def test_find_table__headings_merged_over_two_rows() -> None:
    found = table("ID,Name,Parents,,Weight,\n,,Sire,Dam,date,g\n22-11,Umber,16-01,19-01,2026-05-01,3010\n")
    assert titles(found) == ["ID", "Name", "Sire", "Dam", "Weight: date", "Weight: g"]
    assert len(found.rows) == 1


def test_find_table__group_row_over_the_headings() -> None:
    found = table(",,Parents,,\nID,Name,he,she,Notes\n22-11,Umber,16-01,19-01,x\n")
    assert titles(found)[:4] == ["ID", "Name", "Parents: he", "Parents: she"]


def test_find_table__merged_range_of_a_workbook_is_exact() -> None:
    def row(number: int, *texts: str) -> SheetRow:
        return SheetRow(number, tuple(Cell(text, text or None) for text in texts))

    sheet = Sheet(
        "list.xlsx",
        "Barn",
        (
            row(1, "", "", "Parents", "", ""),
            row(2, "ID", "Name", "he", "she", "Notes"),
            row(3, "22-11", "Umber", "16-01", "19-01", "x"),
        ),
        merged=((0, 2, 0, 3),),
    )
    assert titles(find_table(sheet)) == ["ID", "Name", "Parents: he", "Parents: she", "Notes"]


def test_find_table__rows_that_are_no_animals_are_named() -> None:
    found = table(
        "id,name,sex\n1,Umber,f\nMALES:,,\n2,Mortar,m\nid,name,sex\n3,Ash,m\nTotal,3,\n4 animals,,\n",
    )
    assert [row.cells[1].text for row in found.rows] == ["Umber", "Mortar", "Ash"]
    assert [(aside.row, aside.reason) for aside in found.aside] == [
        (3, "a remark or a heading between the rows"),
        (5, "the heading again"),
        (7, "a total, not an animal"),
        (8, "a total, not an animal"),
    ]
    assert found.n_rows == 7


def test_find_table__an_animal_named_total_something_is_one() -> None:
    assert len(table("name,sex\nTotal Eclipse of the Barn,f\n").rows) == 1


def test_find_table__unknown_headings_are_taken_by_width() -> None:
    found = table("Liste\nBezeichnung,Art,Jahr\nUmber,f,2022\nMortar,m,2016\n")
    assert titles(found) == ["Bezeichnung", "Art", "Jahr"]
    assert len(found.rows) == 2


def test_find_table__without_rows_is_refused() -> None:
    with pytest.raises(IntakeError, match="ITK-005"):
        table("id,name,sex\n")
