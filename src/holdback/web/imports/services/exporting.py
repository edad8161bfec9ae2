"""The whole collection as a folder, a zip of it, or a workbook."""

from __future__ import annotations

import tempfile
import zipfile
from pathlib import Path

from holdback.bridge import collection_of_records
from holdback.collection.collection import Collection
from holdback.intake.workbook import write_workbook


def export_folder(path: Path) -> Collection:
    """The collection, after writing it to a folder as a Data Package.

    Raises
    ------
    CollectionError
        If the records do not hold together; then nothing is written.
    """
    collection = collection_of_records()
    collection.to_folder(path)
    return collection


def export_xlsx(path: Path) -> Collection:
    """The collection, after writing it to a workbook with a sheet for each file of the folder.

    Raises
    ------
    CollectionError
        If the records do not hold together; then nothing is written.
    """
    collection = collection_of_records()
    write_workbook(collection, path)
    return collection


def export_zip(path: Path) -> Collection:
    """The collection, after writing the zipped folder.

    Raises
    ------
    CollectionError
        If the records do not hold together; then nothing is written.
    """
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "holdback"
        collection = export_folder(folder)
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
            for file in sorted(folder.iterdir()):
                archive.write(file, f"holdback/{file.name}")
    return collection
