"""`holdback demo`: an invented collection in a database of its own."""

from __future__ import annotations

import argparse
import os
import shutil
from pathlib import Path

from holdback.cli.output import print_wrapped
from holdback.cli.sources import start_django

SIRE, DAM, WANT = "22-05", "22-11", "female Enchi Clown"
"""The pair of the worked answer; the tutorial uses the same."""


def run(arguments: argparse.Namespace) -> int:
    """Load the demo once, print a worked answer, then serve."""
    from holdback.cli.odds import print_pair
    from holdback.cli.serve import serve, way_of

    folder = _use_demo_folder(fresh=arguments.fresh)
    way = way_of(arguments)
    start_django()
    from holdback.bridge import answers as all_answers

    _load_once()
    answers = all_answers()
    print_wrapped("The keeper, the places, the lines and every animal of this demo are invented.")
    print()
    print_pair(answers.odds(SIRE, DAM, want=WANT), answers.catalogue)
    print()
    print(f"The demo's records are in {folder}; your own are not touched.")
    if not arguments.no_serve:
        serve(arguments.port, way, as_json=arguments.json)
    return 0


def _use_demo_folder(*, fresh: bool) -> Path:
    """Point this process at a data folder of the demo's own and return it."""
    base = os.environ.get("HOLDBACK_DEMO_DATA")
    if base:
        folder = Path(base)
    else:
        from holdback.web.data_folder import data_folder

        folder = data_folder().with_name(data_folder().name + "-demo")
    if fresh and folder.exists():
        shutil.rmtree(folder)
    folder.mkdir(parents=True, exist_ok=True)
    os.environ["HOLDBACK_DATA"] = str(folder)
    os.environ["HOLDBACK_KEEPER"] = "Wrackline Barn"
    os.environ["HOLDBACK_DEMO"] = "1"
    os.environ.pop("HOLDBACK_DATABASE_URL", None)
    return folder


def _load_once() -> None:
    """Import the invented collection, and set the day to its last, unless the database already holds animals."""
    from holdback.demo_data import LAST_DAY, folder
    from holdback.web.imports.services import import_files
    from holdback.web.records.models import Animal
    from holdback.web.records.services.day import set_day

    if not Animal.objects.exists():
        import_files([folder() / "collection"])
        set_day(LAST_DAY, who=os.environ["HOLDBACK_KEEPER"])
