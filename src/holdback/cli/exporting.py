"""`holdback export`: all records to a collection folder or a workbook, or who descends from whom to a pedigree file."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from holdback.cli.output import print_json, print_wrapped
from holdback.cli.sources import collection_from, start_django
from holdback.collection import ped
from holdback.errors import CollectionError, Fault

if TYPE_CHECKING:
    from holdback.collection.collection import Collection

_FILES = (".xlsx", *ped.SUFFIXES)
"""Endings of targets that are one file."""


def run(arguments: argparse.Namespace) -> int:
    """Write the records; an existing file or a folder with something in it is never overwritten."""
    target = Path(arguments.target)
    _refuse(target)
    if arguments.folder:
        collection = collection_from(arguments.folder)
        collection = collection if arguments.exact_places else collection.with_coarse_places()
    else:
        start_django()
        from holdback.bridge import collection_of_records, collection_with_exact_places

        collection = collection_with_exact_places() if arguments.exact_places else collection_of_records()
    if target.suffix.lower() in ped.SUFFIXES:
        return _write_pedigree(collection, target, as_json=arguments.json)
    if target.suffix.lower() == ".xlsx":
        from holdback.intake.workbook import write_workbook

        write_workbook(collection, target)
    else:
        collection.to_folder(target)
    counts = {"animals": len(collection.records.animals), "clutches": len(collection.records.clutches)}
    if arguments.json:
        print_json({"target": str(target), "counts": counts, "problems": []})
    else:
        print(f"Wrote {counts['animals']} animals and {counts['clutches']} clutches to {target}.")
    return 0


def _refuse(target: Path) -> None:
    """Refuse a target that is there, and a file whose folder is not."""
    is_file = target.suffix.lower() in _FILES
    if target.exists() and (is_file or not target.is_dir() or any(target.iterdir())):
        fault = Fault("CLI-003", f"{str(target)!r} is there already.", "Name a new folder or file.", value=str(target))
        raise CollectionError(fault)
    if is_file and not target.parent.is_dir():
        folder = str(target.parent)
        raise CollectionError(Fault("CLI-001", f"There is no folder {folder!r}.", "Make it first.", value=folder))


def _write_pedigree(collection: Collection, target: Path, *, as_json: bool) -> int:
    """Write a pedigree file and say what it does not hold."""
    found = ped.write_ped(collection)
    part = target.with_name(target.name + ".part")
    part.write_text(found.text, encoding="utf-8", newline="\n")
    part.replace(target)
    n_animals = len(collection.records.animals)
    if as_json:
        counts = {"animals": n_animals, "clutches": 0}
        print_json({"target": str(target), "counts": counts, "problems": [], "notes": list(found.notes)})
    else:
        print(f"Wrote sex and parents of {n_animals} animals to {target}.")
        for note in found.notes:
            print_wrapped(note, indent="  ")
    return 0
