"""`holdback export`: all records to a collection folder or a workbook."""

from __future__ import annotations

import argparse
from pathlib import Path

from holdback.cli.output import print_json
from holdback.cli.sources import collection_from, start_django
from holdback.errors import CollectionError, Fault


def run(arguments: argparse.Namespace) -> int:
    """Write the records; an existing file or a folder with something in it is never overwritten."""
    target = Path(arguments.target)
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise CollectionError(
            Fault(
                "CLI-003",
                f"{arguments.target!r} is there already.",
                "Name a new folder or file.",
                value=arguments.target,
            )
        )
    if arguments.folder:
        collection = collection_from(arguments.folder)
        collection = collection if arguments.exact_places else collection.with_coarse_places()
    else:
        start_django()
        from holdback.bridge import collection_of_records, collection_with_exact_places

        collection = collection_with_exact_places() if arguments.exact_places else collection_of_records()
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
