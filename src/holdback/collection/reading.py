"""Tables of text to records: every row lands, or a fault says why it cannot."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any, cast

from holdback.collection.cells import CellError, cell_value, number_text, unguarded
from holdback.collection.columns import TABLES
from holdback.collection.model import Records
from holdback.collection.places import Places
from holdback.collection.table import Table
from holdback.errors import Fault

PACKAGE_FILE = "datapackage.json"
DEFAULT_SPECIES = "python_regius"

Row = tuple[int, Sequence[str]]
"""Line in the file and the cells."""


@dataclass(slots=True)
class Found:
    """What reading gave: records, their places, faults so far and the species key."""

    records: Records
    places: Places
    faults: list[Fault]
    species: str = DEFAULT_SPECIES


@dataclass(slots=True)
class _Reading:
    """What the tables read so far have given."""

    rows: dict[str, list[Any]] = field(default_factory=dict)
    files: dict[str, str] = field(default_factory=dict)
    lines: dict[str, list[int]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def found(self, species: str = DEFAULT_SPECIES) -> Found:
        """Records of all tables with their places."""
        records = Records(**{table.name: tuple(self.rows.get(table.name, ())) for table in TABLES})
        return Found(records, Places(self.files, self.lines), self.faults, species)


def read_folder(path: str | Path) -> Found:
    """Records of a collection folder, unchecked against each other.

    Parameters
    ----------
    path : str or Path
        Folder with ``animals.csv`` and, if there are any, the other files.
    """
    folder, reading = Path(path), _Reading()
    if not (folder / "animals.csv").is_file():
        what = "The folder has no animals.csv." if folder.is_dir() else f"There is no folder {folder.name!r}."
        reading.faults.append(Fault("COL-001", what, "Name a folder that holds animals.csv.", file="animals.csv"))
        if not folder.is_dir():
            return reading.found()
    reading.faults.extend(_strange_files(folder))
    for table in TABLES:
        file = folder / table.file
        if file.is_file():
            _read_file(table, file.read_bytes(), reading)
    return reading.found(_species(folder, reading.faults))


def read_frames(frames: Mapping[str, Any]) -> Found:
    """Records of frames, unchecked against each other.

    Parameters
    ----------
    frames : mapping of str to frame
        Table name ("animals") to a list of rows (mappings of column to value) or a mapping of column to list. Values
        may be text, numbers, dates, enum members, None or NaN.
    """
    reading = _Reading()
    known = {table.name: table for table in TABLES}
    for name in frames:
        if name not in known:
            reading.faults.append(
                Fault("COL-008", f"There is no table {name!r}.", _nearest(name, list(known)), file=str(name))
            )
    for table in TABLES:
        if table.name in frames:
            header, rows = _frame_rows(frames[table.name])
            reading.files[table.name] = table.name
            _read_rows(table, header, [(line, row) for line, row in enumerate(rows, start=2)], reading)
    return reading.found()


def _strange_files(folder: Path) -> list[Fault]:
    """Faults of files that look like ours by name and are not."""
    known = [table.file for table in TABLES]
    faults = []
    for file in sorted(folder.iterdir()):
        if file.suffix.casefold() != ".csv" or file.name in known:
            continue
        near = get_close_matches(file.name.casefold(), known, n=1, cutoff=0.75)
        if near and not (folder / near[0]).is_file():
            what = f"{file.name} is not a file of a collection, and would not be read."
            faults.append(Fault("COL-008", what, f"Call it {near[0]}, or give it another name.", file=file.name))
    return faults


def _species(folder: Path, faults: list[Fault]) -> str:
    """Species key from the descriptor; the default where there is none."""
    file = folder / PACKAGE_FILE
    if not file.is_file():
        return DEFAULT_SPECIES
    try:
        species = json.loads(file.read_bytes().decode("utf-8-sig"))["holdback:species"]
    except KeyError:
        return DEFAULT_SPECIES
    except (ValueError, TypeError):
        species = None
    if isinstance(species, str) and species:
        return species
    faults.append(
        Fault(
            "COL-009", "datapackage.json cannot be read.", "Mend it or delete it: it may be left out.", file=file.name
        )
    )
    return DEFAULT_SPECIES


def _read_file(table: Table, content: bytes, reading: _Reading) -> None:
    """Read one CSV file."""
    reading.files[table.name] = table.file
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        hint = 'Save it as "CSV UTF-8".'
        reading.faults.append(Fault("COL-002", "The file is not UTF-8 text.", hint, file=table.file, line=line))
        return
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[Row] = []
    line = 1
    try:
        for cells in reader:
            cells = [unguarded(cell.strip()).strip() for cell in cells]
            if any(cells):
                rows.append((line, cells))
            line = reader.line_num + 1
    except csv.Error as error:
        what, hint = f"The file breaks off: {error}.", "Look for a quotation mark that does not close."
        reading.faults.append(Fault("COL-003", what, hint, file=table.file, line=line))
    if not rows:
        reading.faults.append(_missing_column(table, table.columns[0].name))
        return
    _read_rows(table, rows[0][1], rows[1:], reading)


def _read_rows(table: Table, header: Sequence[str], rows: Sequence[Row], reading: _Reading) -> None:
    """Read the rows of one table under their header."""
    positions, faults = _columns(table, header, rows)
    reading.faults.extend(replace(fault, file=reading.files[table.name]) for fault in faults)
    if any(column.required and column.name not in positions for column in table.columns):
        return
    columns = [(column, column.field, positions.get(column.name, -1)) for column in table.columns]
    records, lines = reading.rows.setdefault(table.name, []), reading.lines.setdefault(table.name, [])
    for line, cells in rows:
        values: dict[str, Any] = {}
        whole = True
        for column, target, position in columns:
            text = cells[position] if 0 <= position < len(cells) else ""
            try:
                values[target] = cell_value(column, text)
            except CellError as error:
                values[target] = column.absent
                whole = whole and not column.required
                where = _animal_of(table, cells, positions)
                reading.faults.append(
                    Fault(
                        error.code, error.what, error.hint, file=reading.files[table.name], line=line,
                        field=column.name, value=text, animal=where,
                    )
                )  # fmt: skip
        if len(cells) > len(header) and any(cells[len(header) :]):
            extra = ", ".join(cell for cell in cells[len(header) :] if cell)
            what, hint = f"More cells than columns: {extra!r}.", "Put a text that holds a comma in quotation marks."
            file = reading.files[table.name]
            reading.faults.append(Fault("COL-007", what, hint, file=file, line=line, value=extra))
        if whole:
            records.append(table.record(**values))
            lines.append(line)


def _animal_of(table: Table, cells: Sequence[str], positions: Mapping[str, int]) -> str:
    """Animal that a row is about, for a fault."""
    position = positions.get("id" if table.name == "animals" else "animal", -1)
    return cells[position] if 0 <= position < len(cells) else ""


def _columns(table: Table, header: Sequence[str], rows: Sequence[Row]) -> tuple[dict[str, int], list[Fault]]:
    """Position of each known column, and the faults of the header."""
    known = [column.name for column in table.columns]
    positions: dict[str, int] = {}
    faults: list[Fault] = []
    if len(header) == 1 and header[0] not in known and any(mark in header[0] for mark in ";\t|"):
        what, hint = "The columns are not parted by commas.", "Save it as CSV with commas, or bring it in as a sheet."
        return {}, [Fault("COL-003", what, hint, file=table.file, line=1, value=header[0])]
    for position, name in enumerate(header):
        folded = name.casefold()
        if not name and not any(position < len(cells) and cells[position] for _, cells in rows):
            continue
        if folded not in known:
            what = f"There is no column {name!r} in {table.file}."
            hint = _nearest(folded, known)
            faults.append(Fault("COL-004", what, hint, file=table.file, line=1, field=name, value=name))
        elif folded in positions:
            what, hint = f"The column {folded} stands twice.", "Leave one of them out."
            faults.append(Fault("COL-006", what, hint, file=table.file, line=1, field=folded, value=name))
        else:
            positions[folded] = position
    faults.extend(
        _missing_column(table, column.name)
        for column in table.columns
        if column.required and column.name not in positions
    )
    return positions, faults


def _missing_column(table: Table, name: str) -> Fault:
    """Fault of a column that must be there."""
    columns = ", ".join(column.name for column in table.columns)
    what, hint = f"The column {name} is missing.", f"The first line names the columns: {columns}."
    return Fault("COL-005", what, hint, file=table.file, line=1, field=name)


def _nearest(name: str, known: Sequence[str]) -> str:
    """Hint that names the nearest known word, or all of them."""
    near = get_close_matches(name.casefold(), known, n=1, cutoff=0.6)
    return f"Did you mean {near[0]}?" if near else f"Known are: {', '.join(known)}."


def _frame_rows(frame: Any) -> tuple[list[str], list[list[str]]]:
    """Header and rows of text of a list of rows or a mapping of columns."""
    if isinstance(frame, Mapping):
        header = [str(name) for name in frame]
        columns = [[_text(value) for value in column] for column in frame.values()]
        length = max(map(len, columns), default=0)
        return header, [[column[i] if i < len(column) else "" for column in columns] for i in range(length)]
    rows = cast("Sequence[Mapping[str, Any]]", frame)
    names = dict.fromkeys(name for row in rows for name in row)
    return [str(name) for name in names], [[_text(row.get(name)) for name in names] for row in rows]


def _text(value: Any) -> str:
    """Value of a frame as the text of a cell."""
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return ""
    for kind, written in _WRITTEN:
        if isinstance(value, kind):
            return written(value)
    return str(value).strip()


_WRITTEN: tuple[tuple[type, Callable[[Any], str]], ...] = (
    (bool, str),
    (float, number_text),
    (dt.datetime, lambda value: str(value.date())),
    (dt.date, str),
)
