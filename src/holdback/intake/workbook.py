"""A collection as one workbook, a sheet for each file of the collection folder, and back.

Every cell is text or a number as in the CSV files: ids stay text, dates stay as precise as they are known, and a text
that a spreadsheet would run gets the same apostrophe as in the folder.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from holdback.collection.cells import cell_text, guarded
from holdback.collection.collection import Collection
from holdback.collection.columns import TABLES
from holdback.collection.model import Records
from holdback.collection.table import Column, Kind, Table
from holdback.intake.sheets import Sheet

_WIDTHS = {Kind.TEXT: 28, Kind.ID: 12, Kind.SIRES: 18, Kind.DATE: 12, Kind.WORD: 16, Kind.LIST: 20}


def write_workbook(collection: Collection, path: Path) -> None:
    """Write a collection to an XLSX file.

    Parameters
    ----------
    collection : Collection
        What to write.
    path : Path
        File to make; an existing one is replaced.

    Notes
    -----
    The file is written beside its place and moved there when it is whole, so that a stop leaves no half file.
    """
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    for table in TABLES:
        _write_sheet(book.create_sheet(table.name), table, collection.records)
    part = path.with_name(path.name + ".part")
    book.save(part)
    part.replace(path)


def _write_sheet(sheet, table: Table, records: Records) -> None:  # type: ignore[no-untyped-def]  # write-only sheet has no public type
    """One sheet with a heading that stays in view."""
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    sheet.freeze_panes = "A2"
    for at, column in enumerate(table.columns, start=1):
        sheet.column_dimensions[get_column_letter(at)].width = _WIDTHS.get(column.kind, 10)
    heading = []
    for column in table.columns:
        cell = WriteOnlyCell(sheet, column.name)
        cell.font = Font(bold=True)
        heading.append(cell)
    sheet.append(heading)
    for record in getattr(records, table.name):
        sheet.append([_cell(sheet, column, getattr(record, column.field)) for column in table.columns])


def _cell(sheet, column: Column, value: object):  # type: ignore[no-untyped-def]  # as above
    """Number where the column holds numbers that fit, else text that stays text.

    A workbook keeps fifteen figures for certain; a number with more is written as text, which loses none.
    """
    from openpyxl.cell import WriteOnlyCell

    text = cell_text(column, value)
    if not text:
        return None
    if column.kind in (Kind.NUMBER, Kind.COUNT) and float(f"{value:.15g}") == value:
        return value
    cell = WriteOnlyCell(sheet, guarded(text))
    # Set by hand: openpyxl takes a text that begins with = for a formula.
    cell.data_type = "s"
    cell.number_format = "@"
    return cell


def is_collection(sheets: Sequence[Sheet]) -> bool:
    """Whether sheets are a workbook that `write_workbook` made, or one like it.

    Parameters
    ----------
    sheets : sequence of Sheet
        All sheets of a file.

    Returns
    -------
    bool
        True where a sheet called animals is headed as the collection folder heads it.
    """
    columns = {table.name: {column.name for column in table.columns} for table in TABLES}
    known = [sheet for sheet in sheets if sheet.name in columns]
    animals = any(sheet.name == "animals" for sheet in known)
    return animals and all(
        {cell.text for cell in sheet.rows[0].cells if cell.text} <= columns[sheet.name] for sheet in known
    )


def read_collection(sheets: Sequence[Sheet], *, species: str = "python_regius") -> Collection:
    """Collection of the sheets of a workbook.

    Parameters
    ----------
    sheets : sequence of Sheet
        For which `is_collection` is true.
    species : str
        Key of the species.

    Returns
    -------
    Collection
        Checked.

    Raises
    ------
    CollectionError
        With all faults, if the sheets do not hold together.
    """
    frames = {}
    for sheet in sheets:
        if sheet.name not in {table.name for table in TABLES}:
            continue
        names = [cell.text for cell in sheet.rows[0].cells]
        rows = [
            {name: cell.text for name, cell in zip(names, row.cells, strict=True) if name}
            for row in sheet.rows[1:]
            if row.filled
        ]
        # A list without rows has no columns either, and would be missing them.
        if rows or sheet.name == "animals":
            frames[sheet.name] = rows
    return Collection.from_frames(frames, species=species)
