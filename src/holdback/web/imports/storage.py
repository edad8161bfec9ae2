"""Where brought-in files lie: a folder each in the data folder, the file under a name of ours."""

from __future__ import annotations

import json
import shutil
import zipfile
from pathlib import Path
from typing import Any, Protocol

from django.conf import settings

from holdback.errors import Fault, IntakeError
from holdback.intake.sheets import MAX_BYTES, MAX_UNPACKED_BYTES
from holdback.web.imports.models import ImportBatch

_CHUNK = 1 << 20

STEM = "brought-in"
"""Name of every stored file, before its ending."""


class Readable(Protocol):
    """Anything that gives bytes: an open file, an upload."""

    def read(self, size: int, /) -> bytes:
        """At most so many bytes; none at the end."""


NO_ROWS: dict[str, Any] = {"landings": [], "entries": [], "waiting": [], "left_out": [], "held": []}
"""What is shown before the first reading."""


def folder_of(batch: ImportBatch) -> Path:
    """Folder of a batch; made if it is not there."""
    folder = Path(settings.HOLDBACK_DATA) / "imports" / str(batch.pk)
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def stored(batch: ImportBatch) -> Path:
    """The stored file, or the stored folder of a collection."""
    suffix = "" if batch.source == "collection" else Path(batch.file_name).suffix.lower()
    return folder_of(batch) / f"{STEM}{suffix}"


def keep(batch: ImportBatch, stream: Readable) -> Path:
    """Store what a stream gives.

    Raises
    ------
    IntakeError
        ITK-002 if it is larger than a file may be.
    """
    path = folder_of(batch) / f"{STEM}{Path(batch.file_name).suffix.lower()}"
    size = 0
    with path.open("wb") as out:
        while part := stream.read(_CHUNK):
            size += len(part)
            if size > MAX_BYTES:
                break
            out.write(part)
    if size > MAX_BYTES:
        path.unlink()
        what = f"The file is larger than {MAX_BYTES // 2**20} MB."
        raise IntakeError(Fault("ITK-002", what, "Split it.", file=batch.file_name))
    return path


def unpack(archive_path: Path, target: Path) -> None:
    """Take the CSV files and the descriptor of a zipped collection folder out, by their bare names.

    Raises
    ------
    IntakeError
        ITK-003 if it is no archive, ITK-002 if it would grow too large, ITK-006 if it holds no collection.
    """
    shown = archive_path.name
    try:
        with zipfile.ZipFile(archive_path) as archive:
            wanted = [
                info
                for info in archive.infolist()
                if not info.is_dir() and Path(info.filename).suffix.lower() in (".csv", ".json")
            ]
            if sum(info.file_size for info in wanted) > MAX_UNPACKED_BYTES:
                raise IntakeError(Fault("ITK-002", "Unpacked it is too large.", "Split it.", file=shown))
            names = [Path(info.filename).name for info in wanted]
            if "animals.csv" not in names or len(set(names)) != len(names):
                hint = "Zip the files of a collection folder, animals.csv among them."
                raise IntakeError(Fault("ITK-006", "The archive holds no collection folder.", hint, file=shown))
            target.mkdir(parents=True, exist_ok=True)
            for info, name in zip(wanted, names, strict=True):
                # Only the bare name is used, so that no path in the archive leads out of the folder.
                with archive.open(info) as inside, (target / name).open("wb") as out:
                    shutil.copyfileobj(inside, out)
    except zipfile.BadZipFile as error:
        raise IntakeError(Fault("ITK-003", "This is not a zip archive.", "Zip it again.", file=shown)) from error


def copy_folder(source: Path, target: Path) -> None:
    """Copy the files of a collection folder."""
    target.mkdir(parents=True, exist_ok=True)
    for file in source.iterdir():
        if file.is_file() and file.suffix.lower() in (".csv", ".json"):
            shutil.copyfile(file, target / file.name)


def keep_rows(batch: ImportBatch, rows: dict[str, Any]) -> None:
    """Store what was read of every row, whole or not at all."""
    path = folder_of(batch) / "rows.json"
    part = path.with_suffix(".part")
    part.write_text(json.dumps(rows), encoding="utf-8")
    part.replace(path)


def kept_rows(batch: ImportBatch) -> dict[str, Any]:
    """What was read of every row; empty lists before the first reading."""
    path = folder_of(batch) / "rows.json"
    if not path.is_file():
        return NO_ROWS
    return {**NO_ROWS, **json.loads(path.read_text(encoding="utf-8"))}


def forget(batch: ImportBatch) -> None:
    """Delete the stored file of a batch."""
    shutil.rmtree(folder_of(batch), ignore_errors=True)
