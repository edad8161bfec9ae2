"""Formula cells of a workbook that carry no stored value.

A program that writes a workbook without working it out leaves its formulas hollow: they read as empty cells. They are
found in the file's own XML, so that an empty cell is not mistaken for one the keeper left empty.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from xml.etree import ElementTree

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"

Cells = tuple[tuple[int, int], ...]


def hollow_formulas(path: Path) -> Mapping[str, Cells]:
    """Formula cells without a stored value, by sheet name.

    Parameters
    ----------
    path : Path
        An XLSX or ODS file that can be opened.

    Returns
    -------
    mapping of str to tuple of (int, int)
        Row number counted from 1 and column index counted from 0.

    Notes
    -----
    A sheet without any formula is not parsed, so the usual sheet costs one search through its bytes.
    """
    with zipfile.ZipFile(path) as archive:
        if path.suffix.lower() == ".ods":
            return _of_ods(archive)
        return {name: _of_part(archive, part) for name, part in _parts(archive)}


def _parts(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Sheet name and the archive member that holds it."""
    names = set(archive.namelist())
    if not {"xl/workbook.xml", "xl/_rels/workbook.xml.rels"} <= names:
        return
    targets = {
        relation.get("Id", ""): relation.get("Target", "")
        for relation in ElementTree.fromstring(archive.read("xl/_rels/workbook.xml.rels"))
    }
    for sheet in ElementTree.fromstring(archive.read("xl/workbook.xml")).iter(f"{_MAIN}sheet"):
        target = targets.get(sheet.get(_RELATION, ""), "")
        part = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        if part in names:
            yield sheet.get("name", ""), part


def _of_part(archive: zipfile.ZipFile, part: str) -> Cells:
    """Hollow formulas of one XLSX sheet."""
    if b"<f" not in archive.read(part):
        return ()
    found = []
    with archive.open(part) as stream:
        for _, cell in ElementTree.iterparse(stream):
            if cell.tag != f"{_MAIN}c":
                continue
            value = cell.findtext(f"{_MAIN}v")
            if cell.find(f"{_MAIN}f") is not None and not value and cell.find(f"{_MAIN}is") is None:
                found.append(_place(cell.get("r", "A1")))
            cell.clear()
    return tuple(found)


def _place(reference: str) -> tuple[int, int]:
    """Row number and column index of a reference such as ``AB12``."""
    match = re.fullmatch(r"([A-Z]+)(\d+)", reference)
    assert match, f"{reference!r} is no cell reference"
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(match[2]), column - 1


def _of_ods(archive: zipfile.ZipFile) -> Mapping[str, Cells]:
    """Hollow formulas of all sheets of an ODS file."""
    if "content.xml" not in archive.namelist() or b"table:formula" not in archive.read("content.xml"):
        return {}
    found: dict[str, list[tuple[int, int]]] = {}
    with archive.open("content.xml") as stream:
        root = ElementTree.parse(stream).getroot()
    for table in root.iter(f"{_TABLE}table"):
        cells = found.setdefault(table.get(f"{_TABLE}name", ""), [])
        number = 1
        for row in table.iter(f"{_TABLE}table-row"):
            column = 0
            for cell in row:
                hollow = cell.get(f"{_TABLE}formula") and not cell.get(f"{_OFFICE}value-type")
                if hollow and not "".join(cell.itertext()).strip():
                    cells.append((number, column))
                column += int(cell.get(f"{_TABLE}number-columns-repeated", "1"))
            number += int(row.get(f"{_TABLE}number-rows-repeated", "1"))
    return {name: tuple(cells) for name, cells in found.items()}
