"""A live site with the invented demo collection, and a browser that the door let in.

Models are imported where they are used: this file may be read before Django is set up.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator

import pytest
from playwright.sync_api import ConsoleMessage, Page
from pytest_django.live_server_helper import LiveServer

from holdback.collection.collection import Collection
from holdback.demo_data import folder

_written: list[sqlite3.Connection] = []
"""The database with the demo in it, as this process first wrote it; a copy takes a hundredth of the time."""


@pytest.fixture(autouse=True)
def no_job_outlives_its_test(request: pytest.FixtureRequest) -> Iterator[None]:
    """Stop and await jobs that pages began, while the database is still there."""
    if "transactional_db" in request.fixturenames:
        request.getfixturevalue("transactional_db")
    yield
    at_work = [thread for thread in threading.enumerate() if thread.name.startswith("holdback-")]
    if at_work:
        from holdback.web.jobs.models import Job, State

        Job.objects.filter(state=State.RUNNING).update(cancel_asked=True)
    for thread in at_work:
        thread.join(timeout=60)


@pytest.fixture
def site(transactional_db: None, live_server: LiveServer) -> str:
    """Address of a live site that holds the demo collection."""
    _write_demo()
    return str(live_server.url)


def _write_demo() -> None:
    """Write the demo, or copy it from the first time."""
    from django.db import connection

    if _written:
        connection.ensure_connection()
        _written[0].backup(connection.connection)
        return
    from holdback.web.records.services.bulk import write_records

    write_records(Collection.from_folder(folder() / "collection").records, who="Wrackline Barn")
    if connection.vendor == "sqlite":
        kept = sqlite3.connect(":memory:", check_same_thread=False)
        connection.connection.backup(kept)
        _written.append(kept)


@pytest.fixture
def addresses(site: str) -> dict[str, str]:
    """Address of one page of each kind."""
    from holdback.web.records.models import Animal

    teasel, quill, young = (Animal.objects.get(tag=tag) for tag in ("20-09", "17-02", "22-03-1"))
    return {
        "desk": f"{site}/",
        "collection": f"{site}/animals/",
        "add an animal": f"{site}/animals/new/",
        "an animal": f"{site}/animals/{teasel.pk}/",
        "an animal, all at once": f"{site}/animals/{quill.pk}/?all=1",
        "a young of doubtful sire": f"{site}/animals/{young.pk}/",
        "an odd look": f"{site}/animals/{quill.pk}/odd/?shown=22-05&ask=1",
        "its parents": f"{site}/animals/{teasel.pk}/parents/",
        "its history": f"{site}/animals/{teasel.pk}/history/",
        "a weight": f"{site}/animals/{teasel.pk}/weight/",
        "a look": f"{site}/animals/{teasel.pk}/look/",
        "no pair yet": f"{site}/pair/",
        "a pair": f"{site}/pair/?sire=18-05&dam=18-11&want=Banana&eggs=7",
        "a pair that cannot be": f"{site}/pair/?sire=zzz&dam=18-11",
        "no ideas yet": f"{site}/ideas/",
        "ideas": f"{site}/ideas/?animal=20-23&offers=1.0+GHI",
        "ideas for print": f"{site}/ideas/print/?animal=spider",
        "almanac": f"{site}/almanac/",
        "a gene": f"{site}/almanac/spider/",
        "change a gene": f"{site}/almanac/clown/change/",
        "find": f"{site}/find/?text=clown",
    }


@pytest.fixture
def opened(page: Page, site: str) -> Iterator[Page]:
    """Page of an open browser; anything on its console fails the test at the end."""
    from holdback.web.access.tokens import new_token

    said: list[str] = []

    def keep(message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            said.append(message.text)

    page.on("console", keep)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(f"{site}/open/{new_token()}/")
    yield page
    assert said == []
