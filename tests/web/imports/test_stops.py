"""Whoever stops an import at any moment finds all of it or nothing."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from holdback.web.imports import services
from holdback.web.imports.models import ImportBatch, State
from holdback.web.imports.work import LAND, READ, start
from holdback.web.jobs.models import Job
from holdback.web.jobs.models import State as JobState
from holdback.web.jobs.worker import run_one
from holdback.web.records.models import Animal, Change

ROWS = 300


def sheet(rows: int = ROWS) -> bytes:
    lines = ["id,sex,hatched,genes,weight (g),weighed"]
    lines += [f"A{n:05},{'mf'[n % 2]},2020-01-01,Enchi,1500,2026-05-01" for n in range(rows)]
    return "\n".join(lines).encode()


def staged() -> ImportBatch:
    return services.stage(io.BytesIO(sheet()), who="Wren", file_name="list.csv")


class Stop(Exception):
    pass


@pytest.mark.django_db
@pytest.mark.parametrize("after", [0, 1, 2, 3, 4])
def test_commit__stopped_at_a_report_lands_nothing(after: int) -> None:
    reports = 0

    def report(done: int, total: int) -> None:
        nonlocal reports
        assert 0 <= done <= total
        if reports == after:
            raise Stop
        reports += 1

    batch = services.preview(staged())
    try:
        services.commit(batch, who="Wren", progress=report)
    except Stop:
        batch.refresh_from_db()
        landed = batch.state == State.COMMITTED
    else:
        landed = True
    # The last report comes after all is written; it cannot take anything back.
    assert Animal.objects.count() == (ROWS if landed else 0)
    assert Change.objects.exists() == landed


@pytest.mark.django_db(transaction=True)
def test_job__reads_lands_and_is_watched() -> None:
    batch = staged()
    start(READ, batch)
    assert run_one("worker") is not None
    batch.refresh_from_db()
    assert (batch.state, batch.summary["n_landing"]) == (State.PREVIEWED, ROWS)
    job = start(LAND, batch, who="Wren", expected=batch.summary["mark"])
    run_one("worker")
    job.refresh_from_db()
    assert (job.state, job.progress, job.total) == (JobState.DONE, 1, 1)
    assert Animal.objects.count() == ROWS


@pytest.mark.django_db(transaction=True)
def test_job__cancelled_before_the_writing_lands_nothing() -> None:
    batch = services.preview(staged())
    job = start(LAND, batch, who="Wren", expected=batch.summary["mark"])
    Job.objects.filter(pk=job.pk).update(cancel_asked=True)
    run_one("worker")
    job.refresh_from_db()
    batch.refresh_from_db()
    assert (job.state, batch.state, Animal.objects.count()) == (JobState.CANCELLED, State.PREVIEWED, 0)


@pytest.mark.django_db(transaction=True)
def test_job__begun_anew_after_it_landed_does_no_harm() -> None:
    batch = services.preview(staged())
    services.commit(batch, who="Wren")
    job = start(LAND, batch, who="Wren", expected=batch.summary["mark"])
    run_one("worker")
    job.refresh_from_db()
    assert (job.state, Animal.objects.count()) == (JobState.DONE, ROWS)


LANDING = """
import sys, pathlib
import django
django.setup()
from django.core.management import call_command
from holdback.web.imports import services
from holdback.web.imports.services import committing
if sys.argv[1] == "prepare":
    call_command("migrate", verbosity=0)
    print(services.preview(services.stage(pathlib.Path(sys.argv[2]), who="Wren")).pk)
elif sys.argv[1] == "land":
    from holdback.web.imports.models import ImportBatch
    house = committing._house
    def slow(done, landings):
        house(done, landings)
        print("written, not yet committed", flush=True)
        import time
        time.sleep(60)
    if len(sys.argv) > 3:
        committing._house = slow
    services.commit(ImportBatch.objects.get(pk=sys.argv[2]), who="Wren")
else:
    from holdback.web.imports.models import ImportBatch
    from holdback.web.records.models import Animal, Change
    print(Animal.objects.count(), Change.objects.count() > 0, ImportBatch.objects.get().state)
"""


def run(folder: Path, *arguments: str) -> subprocess.Popen[str]:
    env = {key: value for key, value in os.environ.items() if not key.startswith("HOLDBACK_")}
    env |= {"HOLDBACK_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "holdback.web.settings"}
    return subprocess.Popen(
        [sys.executable, "-c", LANDING, *arguments], env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


@pytest.mark.slow
def test_commit__killed_in_the_middle_leaves_nothing_and_lands_later(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_bytes(sheet())
    folder = tmp_path / "records"
    key, errors = run(folder, "prepare", str(tmp_path / "list.csv")).communicate()
    assert key.strip(), errors
    landing = run(folder, "land", key.strip(), "slow")
    assert landing.stdout is not None
    assert landing.stdout.readline().strip() == "written, not yet committed"
    landing.send_signal(signal.SIGKILL)
    landing.communicate()
    assert run(folder, "count").communicate()[0].split() == ["0", "False", "previewed"]
    assert run(folder, "land", key.strip()).communicate()[0] == ""
    assert run(folder, "count").communicate()[0].split() == [str(ROWS), "True", "committed"]


@pytest.mark.slow
def test_commit__killed_at_any_moment_leaves_all_or_nothing(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_bytes(sheet())
    folder = tmp_path / "records"
    key = run(folder, "prepare", str(tmp_path / "list.csv")).communicate()[0].strip()
    for seconds in (0.6, 1.2, 1.8):
        landing = run(folder, "land", key)
        time.sleep(seconds)
        landing.kill()
        landing.communicate()
        found = run(folder, "count").communicate()[0].split()
        assert found in (["0", "False", "previewed"], [str(ROWS), "True", "committed"])
