"""Records to a folder, and to the canonical text that the digest is taken of."""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Iterator
from pathlib import Path

from holdback.collection.cells import cell_text, guarded
from holdback.collection.columns import TABLES
from holdback.collection.model import Records
from holdback.collection.package import descriptor
from holdback.collection.reading import PACKAGE_FILE
from holdback.collection.table import Kind, Table


def write_folder(records: Records, path: str | Path, *, species: str) -> None:
    """Write records as a collection folder: a CSV file for each table and their descriptor.

    Parameters
    ----------
    records : Records
        Checked records, written in their order.
    path : str or Path
        Folder, made if it is not there; files of the same names are replaced one by one, each as a whole.
    species : str
        Key of the species file, kept in the descriptor.
    """
    folder = Path(path)
    folder.mkdir(parents=True, exist_ok=True)
    for table in TABLES:
        _replace(folder / table.file, _csv(table, records))
    _replace(folder / PACKAGE_FILE, json.dumps(descriptor(species), indent=2, ensure_ascii=False) + "\n")


def digest_of(records: Records, *, species: str) -> str:
    """SHA-256 over all records, in hexadecimal; the order of rows, candidate sires and lists does not change it."""
    total = hashlib.sha256(species.encode())
    for table in TABLES:
        if table.is_late and not getattr(records, table.name):
            continue
        rows = sorted("\x1f".join(_canonical(table, record)) for record in getattr(records, table.name))
        total.update(f"\x1d{table.name}\x1e".encode())
        total.update("\x1e".join(rows).encode())
    return total.hexdigest()


def _replace(file: Path, text: str) -> None:
    """Write a file beside its place and put it there in one step."""
    beside = file.with_name(f".{file.name}.new")
    beside.write_bytes(text.encode())
    beside.replace(file)


def _csv(table: Table, records: Records) -> str:
    """One table as CSV with texts guarded against formulas."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([column.name for column in table.columns])
    guards = [column.kind not in (Kind.NUMBER, Kind.COUNT) for column in table.columns]
    for record in getattr(records, table.name):
        texts = (cell_text(column, getattr(record, column.field)) for column in table.columns)
        writer.writerow([guarded(text) if guard else text for text, guard in zip(texts, guards, strict=True)])
    return out.getvalue()


def _canonical(table: Table, record: object) -> Iterator[str]:
    """Cells of a record with candidates and lists sorted; control characters part them, since no text may hold one."""
    for column in table.columns:
        value = getattr(record, column.field)
        if column.kind is Kind.SIRES and len(value) > 1:
            value = tuple(sorted(value, key=lambda one: (one.animal, one.weight)))
        elif column.kind is Kind.LIST:
            value = tuple(sorted(value))
        text = cell_text(column, value)
        if not column.is_late:
            yield text
        elif text:
            yield f"{column.name}={text}"
