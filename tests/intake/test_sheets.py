from __future__ import annotations

import datetime as dt
import zipfile
from pathlib import Path

import pytest

from holdback.errors import IntakeError
from holdback.intake.sheets import read_sheets, sheet_from_bytes


def texts(data: bytes) -> list[list[str]]:
    return [[cell.text for cell in row.cells] for row in sheet_from_bytes(data, "list.csv").rows]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_sheet_from_bytes__delimiter_is_found(delimiter: str) -> None:
    lines = [["id", "genes", "mass"], ["22-11", "Enchi, het Clown", "106,2"], ["22-12", "Pastel", "81"]]
    data = "\n".join(delimiter.join(f'"{cell}"' if delimiter in cell else cell for cell in row) for row in lines)
    assert texts(data.encode()) == lines


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_sheet_from_bytes__encoding_is_found(encoding: str) -> None:
    sheet = sheet_from_bytes("id,name\n1,Götz’s Blé\n".encode(encoding), "list.csv")
    assert sheet.rows[1].cells[1].text == "Götz’s Blé"


def test_sheet_from_bytes__row_numbers_are_those_of_the_file() -> None:
    sheet = sheet_from_bytes(b'id,notes\n\n1,"two\nlines"\n2,x\n', "list.csv")
    assert [row.number for row in sheet.rows if row.filled] == [1, 3, 5]


def test_sheet_from_bytes__guarded_formula_is_text_again() -> None:
    assert texts(b"id,notes\n1,'=2+3\n2,'tis\n")[1:] == [["1", "=2+3"], ["2", "'tis"]]


def test_sheet_from_bytes__not_text_is_refused() -> None:
    with pytest.raises(IntakeError, match="ITK-003"):
        sheet_from_bytes(b"\x00\x01\x02", "list.csv")


def test_read_sheets__xlsx_keeps_types_merges_and_names(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    barn = book.create_sheet("Barn")
    barn.append(["Barn list", None, None])
    barn.merge_cells("A1:C1")
    barn.append(["id", "hatched", "g"])
    barn.append(["22-11", dt.date(2022, 7, 18), 3010])
    book.create_sheet("Weights").append(["id", "g"])
    book.create_sheet("Empty")
    hidden = book.create_sheet("Hidden")
    hidden.append(["x"])
    hidden.sheet_state = "hidden"
    book.save(tmp_path / "list.xlsx")
    sheets = read_sheets(tmp_path / "list.xlsx")
    assert [sheet.name for sheet in sheets] == ["Barn", "Weights"]
    assert sheets[0].merged == ((0, 0, 0, 2),)
    assert [cell.value for cell in sheets[0].rows[2].cells] == ["22-11", dt.date(2022, 7, 18), 3010.0]
    assert [cell.text for cell in sheets[0].rows[2].cells] == ["22-11", "2022-07-18", "3010"]


def test_read_sheets__formula_is_not_worked_out_and_reported(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.worksheets[0]
    sheet.append(["id", "sum"])
    sheet.append(["22-11", "=1+2"])
    book.save(tmp_path / "list.xlsx")
    (read,) = read_sheets(tmp_path / "list.xlsx")
    assert read.rows[1].cells[1].text == ""
    assert read.hollow == ((2, 1),)


def test_read_sheets__ods(tmp_path: Path) -> None:
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    book = OpenDocumentSpreadsheet()
    table = Table(name="Barn")
    rows: list[list[dict[str, object]]] = [
        [{"text": "id"}, {"text": "hatched"}, {"text": "g"}, {"text": "sum"}],
        [
            {"text": "22-11"},
            {"text": "18/07/22", "valuetype": "date", "datevalue": "2022-07-18"},
            {"text": "3010", "valuetype": "float", "value": "3010"},
            {"formula": "of:=1+2"},
        ],
    ]
    for cells in rows:
        row = TableRow()
        for cell in cells:
            text = cell.pop("text", None)
            made = TableCell(**({"valuetype": "string"} if text and "valuetype" not in cell else {}), **cell)
            if text:
                made.addElement(P(text=text))
            row.addElement(made)
        table.addElement(row)
    book.spreadsheet.addElement(table)
    book.save(str(tmp_path / "list.ods"))
    (read,) = read_sheets(tmp_path / "list.ods")
    assert [cell.text for cell in read.rows[1].cells][:3] == ["22-11", "2022-07-18", "3010"]
    assert read.hollow == ((2, 3),)


def test_read_sheets__wrong_kinds_are_refused(tmp_path: Path) -> None:
    (tmp_path / "list.doc").write_bytes(b"x")
    (tmp_path / "list.xlsx").write_bytes(b"not a zip")
    (tmp_path / "empty.csv").write_bytes(b"\n,,\n")
    with zipfile.ZipFile(tmp_path / "other.xlsx", "w") as archive:
        archive.writestr("a.txt", "a")
    for name, code in (
        ("list.doc", "ITK-001"),
        ("list.xlsx", "ITK-003"),
        ("empty.csv", "ITK-004"),
        ("other.xlsx", "ITK-003"),
    ):
        with pytest.raises(IntakeError, match=code):
            read_sheets(tmp_path / name)
