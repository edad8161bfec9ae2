"""A file as sheets of cells, each with the text as typed and the typed value, and the row numbers of the file.

CSV is read as UTF-8 and, where that fails, as Windows-1252; the delimiter is found from the lines. Workbooks (XLSX,
ODS) are read from their stored values: a formula is never worked out, and one without a stored value is reported.
A pedigree file (PED, FAM) becomes a sheet of ids, parents and sexes.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from holdback.collection import ped
from holdback.collection.cells import number_text, unguarded
from holdback.collection.model import Animal, Sex
from holdback.errors import Fault, IntakeError

CellValue = str | float | bool | dt.date | dt.datetime | None
"""Typed value: None is an empty cell; a whole day is a `datetime.date`."""

MAX_BYTES = 64 * 2**20
"""Largest file taken; a barn list of 20,000 rows is about 2 MB."""

MAX_UNPACKED_BYTES = 512 * 2**20
"""Largest workbook once unpacked, against archives made to fill the memory."""

MAX_ROWS = 200_000
MAX_COLUMNS = 400

SUFFIXES = (".csv", ".tsv", ".txt", ".xlsx", ".ods", *ped.SUFFIXES)
"""Kinds of file that can be brought in."""

_DELIMITERS = ",;\t|"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell.

    Parameters
    ----------
    text : str
        What the keeper typed, blanks at the ends cut; numbers without a needless ``.0``, dates as YYYY-MM-DD.
    value : str, float, bool, date, datetime or None
        Value as stored; in CSV always text or None.
    exact : bool
        Whether the text is an id as a file format gives it: no word in it stands for unknown, or for several animals.
    """

    text: str = ""
    value: CellValue = None
    exact: bool = field(default=False, repr=False)


EMPTY = Cell()


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row with its number in the file, counted from 1."""

    number: int
    cells: tuple[Cell, ...]

    @property
    def filled(self) -> tuple[int, ...]:
        """Indices of the cells that hold something."""
        return tuple(index for index, cell in enumerate(self.cells) if cell.text)


@dataclass(frozen=True)
class Sheet:
    """One sheet of a file.

    Parameters
    ----------
    file : str
        File name without folder.
    name : str
        Name of the sheet; empty for CSV.
    rows : tuple of SheetRow
        All rows, blank ones included, every row as wide as the widest.
    merged : tuple of (int, int, int, int)
        Merged ranges as first row, first column, last row, last column, counted from 0.
    encoding, delimiter : str
        How a CSV was read; empty for workbooks.
    hollow : tuple of (int, int)
        Row number and column index of formula cells without a stored value.
    exact : bool
        Whether a file format says what each row is: one heading, then nothing but animals.
    notes : tuple of str
        What of the file is not in the rows.
    """

    file: str
    name: str
    rows: tuple[SheetRow, ...]
    merged: tuple[tuple[int, int, int, int], ...] = ()
    encoding: str = ""
    delimiter: str = ""
    hollow: tuple[tuple[int, int], ...] = ()
    exact: bool = False
    notes: tuple[str, ...] = ()

    @property
    def n_filled_rows(self) -> int:
        """Number of rows with anything in them."""
        return sum(1 for row in self.rows if row.filled)


def read_sheets(path: Path) -> tuple[Sheet, ...]:
    """Sheets of a file that hold anything, in file order.

    Parameters
    ----------
    path : Path
        A .csv, .tsv, .txt, .xlsx, .ods, .ped or .fam file.

    Returns
    -------
    tuple of Sheet
        At least one.

    Raises
    ------
    IntakeError
        ITK-001 unknown kind, ITK-002 too large, ITK-003 not readable, ITK-004 nothing in it.
    CollectionError
        PED-020 to PED-025, all faults of a pedigree file together.
    """
    suffix = path.suffix.lower()
    if suffix not in SUFFIXES:
        raise _refusal("ITK-001", f"{suffix or 'no ending'!r} is not a kind of sheet read here.", path, _KINDS)
    if path.stat().st_size > MAX_BYTES:
        raise _refusal("ITK-002", f"The file is larger than {MAX_BYTES // 2**20} MB.", path, "Split it.")
    if suffix in ped.SUFFIXES:
        return (_pedigree(path),)
    sheets = _workbook(path) if suffix in (".xlsx", ".ods") else (sheet_from_bytes(path.read_bytes(), path.name),)
    held = tuple(sheet for sheet in sheets if sheet.n_filled_rows)
    if not held:
        raise _refusal("ITK-004", "There is nothing in this file.", path, "Save the sheet again and try once more.")
    return held


_KINDS = "Save it as CSV, XLSX or ODS."


def sheet_from_bytes(data: bytes, file: str) -> Sheet:
    """Sheet of a CSV file given as bytes.

    Parameters
    ----------
    data : bytes
        Whole file.
    file : str
        Name to show.

    Returns
    -------
    Sheet
        Its rows; the encoding and the delimiter are noted.

    Raises
    ------
    IntakeError
        ITK-002 too many rows or columns, ITK-003 not text.
    """
    text, encoding = _decoded(data, file)
    delimiter = _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, skipinitialspace=True)
    rows: list[tuple[int, list[Cell]]] = []
    start = 1
    try:
        for fields in reader:
            # The number is that of the line the row starts on: a cell may hold line breaks.
            rows.append((start, [_text_cell(field) for field in fields]))
            start = reader.line_num + 1
    except csv.Error as error:
        raise _refusal("ITK-003", f"The line cannot be read: {error}.", Path(file), _KINDS) from error
    return Sheet(file=file, name="", rows=_squared(rows, file), encoding=encoding, delimiter=delimiter)


def _decoded(data: bytes, file: str) -> tuple[str, str]:
    """Text and the encoding it was read in."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16"), "utf-16"
    if b"\x00" in data[:4096]:
        raise _refusal("ITK-003", "This is not a text file.", Path(file), _KINDS)
    try:
        return data.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        # Five bytes have no letter in Windows-1252; they become a visible mark instead of stopping the file.
        return data.decode("cp1252", errors="replace"), "cp1252"


def _delimiter(text: str) -> str:
    """Delimiter that splits the most lines into the same number of fields, the comma where nothing decides."""
    head = "\n".join(text.splitlines()[:200])
    best, best_score = ",", 0.0
    for delimiter in _DELIMITERS:
        try:
            widths = [len(row) for row in csv.reader(io.StringIO(head), delimiter=delimiter) if any(row)]
        except csv.Error:
            continue
        if not widths or max(widths) < 2:
            continue
        usual = max(set(widths), key=lambda width: (widths.count(width), width))
        score = widths.count(usual) / len(widths) * (usual - 1) if usual > 1 else 0.0
        if score > best_score:
            best, best_score = delimiter, score
    return best


def _text_cell(text: str) -> Cell:
    """Cell of a CSV field; an apostrophe that guards a formula is taken off again."""
    text = unguarded(text.strip().strip("\u00a0\u202f").strip())
    return Cell(text, text) if text else EMPTY


def _squared(rows: Iterable[tuple[int, Sequence[Cell]]], file: str) -> tuple[SheetRow, ...]:
    """Rows of equal width without blank columns and rows at the end."""
    kept = [(number, cells) for number, cells in rows]
    while kept and not any(cell.text for cell in kept[-1][1]):
        kept.pop()
    width = max((max((i + 1 for i, c in enumerate(cells) if c.text), default=0) for _, cells in kept), default=0)
    if len(kept) > MAX_ROWS or width > MAX_COLUMNS:
        what = f"{len(kept):,} rows and {width:,} columns are more than {MAX_ROWS:,} and {MAX_COLUMNS}."
        raise _refusal("ITK-002", what, Path(file), "Split it.")
    return tuple(SheetRow(number, tuple(cells[:width]) + (EMPTY,) * (width - len(cells))) for number, cells in kept)


def _pedigree(path: Path) -> Sheet:
    """Sheet of a pedigree file, its animals numbered by their lines.

    A parent without a line of its own gets no row: there is none to show. Its young name it.
    """
    found = ped.read_ped(path)
    # Only such parents stand on the line of another, and they come last.
    n_rows = len(set(found.lines))
    heading = [Cell(name, name) for name in ("id", "sire", "dam", "sex")]
    animals = zip(found.lines[:n_rows], found.records.animals[:n_rows], strict=True)
    rows = [(line, _pedigree_cells(animal)) for line, animal in animals]
    return Sheet(path.name, "", _squared([(0, heading), *rows], path.name), exact=True, notes=found.notes)


def _pedigree_cells(animal: Animal) -> list[Cell]:
    """Id, sire, dam and sex; empty where not known."""
    ids = [Cell(text, text, exact=True) if text else EMPTY for text in (animal.id, animal.sire, animal.dam)]
    known = animal.sex is not Sex.UNKNOWN
    return [*ids, Cell(animal.sex.value, animal.sex.value) if known else EMPTY]


def _workbook(path: Path) -> tuple[Sheet, ...]:
    """Visible sheets of an XLSX or ODS file."""
    from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

    from holdback.intake.formulas import hollow_formulas

    _check_archive(path)
    try:
        book = CalamineWorkbook.from_path(str(path))
        sheets = []
        for meta in book.sheets_metadata:
            if meta.typ is not SheetTypeEnum.WorkSheet or meta.visible is not SheetVisibleEnum.Visible:
                continue
            raw = book.get_sheet_by_name(meta.name)
            grid = raw.to_python(skip_empty_area=False)
            merged = tuple((a, b, c, d) for (a, b), (c, d) in raw.merged_cell_ranges or ())
            numbered = [(at + 1, [_typed_cell(value) for value in values]) for at, values in enumerate(grid)]
            rows = _squared(numbered, path.name)
            sheets.append(Sheet(file=path.name, name=meta.name, rows=rows, merged=merged))
    except (CalamineError, zipfile.BadZipFile, ValueError) as error:
        raise _refusal("ITK-003", f"The workbook cannot be read: {error}.", path, _KINDS) from error
    hollow = hollow_formulas(path)
    return tuple(
        Sheet(sheet.file, sheet.name, sheet.rows, sheet.merged, hollow=_empty_ones(sheet, hollow.get(sheet.name, ())))
        for sheet in sheets
    )


def _empty_ones(sheet: Sheet, cells: Sequence[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Those formula cells that came out empty and lie inside the sheet."""
    inside = []
    for number, column in cells:
        row = sheet.rows[number - 1] if number <= len(sheet.rows) else None
        if row is not None and column < len(row.cells) and not row.cells[column].text:
            inside.append((number, column))
    return tuple(inside)


def _check_archive(path: Path) -> None:
    """Refuse a workbook that is no archive or would unpack to more than the limit."""
    try:
        with zipfile.ZipFile(path) as archive:
            size = sum(info.file_size for info in archive.infolist())
    except zipfile.BadZipFile as error:
        raise _refusal("ITK-003", "This is not a workbook, whatever its name says.", path, _KINDS) from error
    if size > MAX_UNPACKED_BYTES:
        raise _refusal("ITK-002", f"Unpacked it is larger than {MAX_UNPACKED_BYTES // 2**20} MB.", path, "Split it.")


def _typed_cell(value: object) -> Cell:
    """Cell of a workbook value."""
    if value is None or value == "":
        return EMPTY
    if isinstance(value, str):
        return _text_cell(value)
    if isinstance(value, bool):
        return Cell("yes" if value else "no", value)
    if isinstance(value, int | float):
        return Cell(number_text(float(value)), float(value))
    if isinstance(value, dt.datetime):
        day = value.date()
        return Cell(day.isoformat(), day) if value.time() == dt.time() else Cell(value.isoformat(" "), value)
    if isinstance(value, dt.date):
        return Cell(value.isoformat(), value)
    return Cell(str(value), str(value))


def _refusal(code: str, what: str, path: Path, hint: str) -> IntakeError:
    """Error about a whole file."""
    return IntakeError(Fault(code=code, what=what, hint=hint, file=path.name))
