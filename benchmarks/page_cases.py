"""P1: the page of a pair, asked of the site in this process, over a SQLite file of its own.

A collection as large as P1b's is worked out by a job, once for all pages until a record changes; its time is a note.
"""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlencode

import measuring
from generator import pairs
from whole_collection import lines

if TYPE_CHECKING:
    from holdback.collection.collection import Collection
    from holdback.heredity.crosses import Odds

SAME = 1e-9
ASKED = 15
"""Different pairs asked for; every answer is worked out anew."""


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """Figures for the demo's animals and, unless short, for 5,000 bred in lines."""
    with tempfile.TemporaryDirectory(prefix="holdback-bench-") as scratch:
        _start(Path(scratch))
        from django.db import connections

        from holdback.collection.collection import Collection
        from holdback.collection.model import Records
        from holdback.demo_data import folder
        from holdback.web.imports.services import import_files
        from holdback.web.records.services.bulk import write_records

        source = folder() / "collection"
        import_files([source])
        collection = Collection.from_folder(source)
        yield _measured("P1a", collection)
        if not short:
            from holdback.bridge.answered import work_out

            records = lines(5_000)
            start = time.perf_counter()
            write_records(records, who="benchmark")
            wrote = time.perf_counter() - start
            start = time.perf_counter()
            work_out(collection.species, conflicts=False, progress=lambda _: None)
            worked = time.perf_counter() - start
            # What is in play at a locus turns on the whole collection, the demo's animals among it.
            tables = {one.name: getattr(collection.records, one.name) for one in fields(records)}
            both = Records(**{name: (*rows, *getattr(records, name)) for name, rows in tables.items()})
            notes = {"written_in_seconds": wrote, "worked_out_in_seconds": worked}
            yield _measured("P1b", Collection.from_records(both), **notes)
        connections.close_all()


def _chances(found: Odds) -> dict[str, float]:
    """Chance of each look, to nine places: the order of the animals moves the last ones."""
    return {outcome.label: round(outcome.probability, 9) for outcome in found.outcomes}


def _start(scratch: Path) -> None:
    """Django over a database that goes with the scratch folder."""
    os.environ |= {
        "HOLDBACK_DATA": str(scratch),
        "HOLDBACK_SECRET": "for benchmarks only, for benchmarks only, for benchmarks only",
        "DJANGO_SETTINGS_MODULE": "holdback.web.settings",
    }
    os.environ.pop("HOLDBACK_DATABASE_URL", None)
    import django
    from django.core.management import call_command

    django.setup()
    call_command("collectstatic", verbosity=0, interactive=False)
    call_command("migrate", verbosity=0, interactive=False)


def _measured(case: str, collection: Collection, **notes: float) -> measuring.Measured:
    """Figures of one herd, after the first pair's answer was held against the collection's own."""
    from django.test import Client
    from django.test.utils import setup_test_environment, teardown_test_environment
    from django.urls import reverse

    from holdback.answers import Answers
    from holdback.collection.model import Sex
    from holdback.species.catalogue import load
    from holdback.web.access.tokens import new_token

    animals = collection.animals.values()
    males = [animal.id for animal in animals if animal.sex is Sex.MALE]
    females = [animal.id for animal in animals if animal.sex is Sex.FEMALE]
    asked = pairs(males, females, ASKED)
    client = Client(SERVER_NAME="localhost")
    client.get(f"/open/{new_token()}/")
    addresses = [f"{reverse('pages:pair')}?{urlencode({'sire': sire, 'dam': dam})}" for sire, dam in asked]
    setup_test_environment()
    try:
        answers = Answers(collection, load())
        for (sire, dam), address in list(zip(asked, addresses, strict=True))[:3]:
            expected = answers.odds(sire, dam).odds
            found = client.get(address).context["found"].odds
            if _chances(found) != _chances(expected) or abs(found.listed - expected.listed) > SAME:
                raise measuring.WrongError(f"{case}: the page's odds of {sire} with {dam} differ from the file's")
    finally:
        teardown_test_environment()
    seconds = []
    for address in addresses:
        start = time.perf_counter()
        response = client.get(address)
        seconds.append(time.perf_counter() - start)
        if response.status_code != 200:
            raise measuring.WrongError(f"{case}: {address} answered {response.status_code}")
    return measuring.alone(case, f"page of a pair, {len(animals):,} animals", seconds, limit=0.1, **notes)
