"""The keeper's sheet as XLSX and as CSV of another dialect, and what is expected of each row as TOML."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import zipfile
from pathlib import Path

from barn import Barn
from messy_rows import CellValue, MessyRow, messy_rows
from openpyxl import Workbook
from sizes import Sizes

TITLE = "Wrackline Barn - who is in the racks (invented)"
GROUPS = ("Rack", "Who", "", "", "Where from", "", "What", "Scale", "", "")
HEADINGS = ("Where", "#", "Snake", "M/F", "Born", "Parents", "Genetics", "Weight 10 May 2026", "", "Notes")
ABOVE: tuple[tuple[CellValue, ...], ...] = ((TITLE,), (), GROUPS, HEADINGS)
MERGED = ("A1:J1", "B3:D3", "E3:F3")
FIRST_ROW = len(ABOVE) + 1
STAMP = dt.datetime(2026, 5, 14, 18, 0)  # noqa: DTZ001  a workbook's stamps have no zone


def write_messy(barn: Barn, sizes: Sizes, folder: Path) -> None:
    """Write ``messy.xlsx``, ``messy.csv`` and ``messy-expected.toml``."""
    rows = messy_rows(barn, sizes)
    (folder / "messy.xlsx").write_bytes(_workbook(rows))
    (folder / "messy.csv").write_bytes(_csv(rows))
    (folder / "messy-expected.toml").write_text(_expected(rows), encoding="utf-8", newline="\n")


def _workbook(rows: list[MessyRow]) -> bytes:
    """Workbook with merged headings; stored uncompressed and with fixed stamps, so that it is always the same."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None, "a new workbook has a sheet"
    sheet.title = "racks"
    for number, cells in enumerate([*ABOVE, *(row.cells for row in rows)], start=1):
        for column, value in enumerate(cells, start=1):
            if value != "":
                sheet.cell(number, column, value)
    for place in MERGED:
        sheet.merge_cells(place)
    book.properties.creator, book.properties.created = "Wrackline Barn", STAMP
    plain = io.BytesIO()
    book.save(plain)
    fixed = io.BytesIO()
    with zipfile.ZipFile(plain) as source, zipfile.ZipFile(fixed, "w", zipfile.ZIP_STORED) as target:
        for name in sorted(source.namelist()):
            content = source.read(name)
            if name == "docProps/core.xml":
                content = _stamped(content)
            target.writestr(zipfile.ZipInfo(name, STAMP.timetuple()[:6]), content)
    return fixed.getvalue()


def _stamped(content: bytes) -> bytes:
    """Core properties with the day of the last change set to ours."""
    head, tag, rest = content.partition(b"<dcterms:modified")
    start, close = rest.index(b">") + 1, rest.index(b"</dcterms:modified>")
    return head + tag + rest[:start] + STAMP.strftime("%Y-%m-%dT%H:%M:%SZ").encode() + rest[close:]


def _csv(rows: list[MessyRow]) -> bytes:
    """The same rows with semicolons, decimal commas and the western Windows code page."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=";", lineterminator="\r\n")
    for cells in [*ABOVE, *(row.cells for row in rows)]:
        texts = [_with_comma(column, value) for column, value in enumerate(cells)]
        writer.writerow(texts + [""] * (len(HEADINGS) - len(texts)))
    return out.getvalue().encode("cp1252")


def _with_comma(column: int, value: CellValue) -> str:
    """Text of a cell; weights with a decimal comma."""
    if isinstance(value, dt.date):
        return value.isoformat()
    return str(value).replace(".", ",") if HEADINGS[column].startswith("Weight") else str(value)


def _expected(rows: list[MessyRow]) -> str:
    """Expectation of each row, with its number in the sheet."""
    lines = [
        "# What a right import of messy.xlsx and messy.csv ends with, row by row. Written by demo/make_demo.py.",
        "# id, name, sex, hatched, sire, dam, genes, mass and unit as recorded (mass_g where the unit is compound);",
        "# asks: must not land as it stands without a question, or is listed with this reason; left_out: no animal.",
        "heading_rows = [3, 4]",
        f"first_row = {FIRST_ROW}",
        "weighed = 2026-05-10",
    ]
    for number, row in enumerate(rows, start=FIRST_ROW):
        lines += ["", "[[row]]", f"row = {number}"]
        lines += [f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in row.expected.items()]
    return "\n".join(lines) + "\n"
