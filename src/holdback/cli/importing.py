"""`holdback import`: sheets, pedigree files and collection folders into the database."""

from __future__ import annotations

import argparse
from pathlib import Path

from holdback.cli.output import print_json, print_wrapped
from holdback.cli.sources import start_django
from holdback.errors import Fault, IntakeError


def run(arguments: argparse.Namespace) -> int:
    """Import files; status 0 when every row landed, 1 when some are held back with a question."""
    missing = [name for name in arguments.files if not Path(name).exists()]
    if missing:
        raise IntakeError(
            [
                Fault("CLI-002", f"There is no file {name!r}.", "Name a sheet, a pedigree or a folder.", value=name)
                for name in missing
            ]
        )
    start_django()
    from holdback.web.imports.services import import_files

    report = import_files(
        [Path(name) for name in arguments.files],
        answers=Path(arguments.answers) if arguments.answers else None,
        dry_run=arguments.dry_run,
    )
    if arguments.json:
        print_json(report.as_json())
    else:
        for line in report.lines():
            print_wrapped(line)
    return 0 if report.complete else 1
