"""Jobs are claimed once, can be stopped, and are not lost with their worker."""

from __future__ import annotations

import datetime as dt
import threading
import uuid
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.utils import timezone

from holdback.errors import Fault, RecordError
from holdback.web.jobs import work as jobs
from holdback.web.jobs import worker
from holdback.web.jobs.models import Job, State
from holdback.web.jobs.reporter import Cancelled, Lost, Reporter
from holdback.web.jobs.worker import run_one, run_worker, start_worker_thread


@pytest.fixture(autouse=True)
def kinds(monkeypatch: pytest.MonkeyPatch) -> None:
    """Kinds of work for these tests only."""
    monkeypatch.setattr(jobs, "_kinds", {})

    @jobs.kind("sum")
    def add_up(report: Reporter, inputs: dict[str, Any]) -> int:
        numbers = inputs["numbers"]
        for index, _ in enumerate(numbers):
            report(index, len(numbers), f"number {index}")
        report(len(numbers), len(numbers), "all added up")
        return sum(numbers)

    @jobs.kind("refuse")
    def refuse(report: Reporter, inputs: dict[str, Any]) -> None:
        raise RecordError(Fault("REC-010", "the id '' is empty.", "Give it one."))

    @jobs.kind("break")
    def break_down(report: Reporter, inputs: dict[str, Any]) -> None:
        raise ZeroDivisionError

    @jobs.kind("stop me")
    def stopped(report: Reporter, inputs: dict[str, Any]) -> None:
        report(1, 10, "first")
        jobs.cancel(Job.objects.get(pk=report.job.pk))
        report(2, 10, "second")
        raise AssertionError("the report must have stopped it")


@pytest.mark.django_db
def test_run_one__does_the_job_and_keeps_the_result() -> None:
    job = jobs.enqueue("sum", numbers=[1, 2, 3])
    assert (job.state, job.percent) == (State.QUEUED, None)
    done = run_one("w")
    assert done is not None
    assert (done.pk, done.state, done.result, done.percent) == (job.pk, State.DONE, 6, 100)
    assert (done.message, done.attempt) == ("all added up", 1)
    assert done.is_over
    assert run_one("w") is None


@pytest.mark.django_db
def test_run_one__tells_why_it_failed(caplog: pytest.LogCaptureFixture) -> None:
    jobs.enqueue("refuse")
    jobs.enqueue("break")
    first, second = run_one("w"), run_one("w")
    assert first is not None
    assert second is not None
    assert (first.state, first.message) == (State.FAILED, "REC-010: the id '' is empty. Give it one.")
    assert second.message == "It broke: ZeroDivisionError. The log of the server tells more."
    assert "ZeroDivisionError" in caplog.text


@pytest.mark.django_db
def test_run_one__unknown_kind() -> None:
    Job.objects.create(kind="of another version", made_at=timezone.now())
    job = run_one("w")
    assert job is not None
    assert "knows no work called 'of another version'" in job.message


@pytest.mark.django_db
def test_claim__the_one_that_waits_longest_and_each_once() -> None:
    first, second = jobs.enqueue("sum", numbers=[1]), jobs.enqueue("sum", numbers=[2])
    assert jobs.claim("a") == first
    assert jobs.claim("b") == second
    assert jobs.claim("c") is None
    first.refresh_from_db()
    assert (first.state, first.worker, first.attempt) == (State.RUNNING, "a", 1)


@pytest.mark.django_db(transaction=True)
def test_claim__no_job_twice_among_several_workers() -> None:
    for number in range(30):
        jobs.enqueue("sum", numbers=[number])
    claimed: list[Job] = []
    broken: list[BaseException] = []

    def take(name: str) -> None:
        try:
            while job := jobs.claim(name):
                claimed.append(job)
        except BaseException as fault:  # noqa: BLE001 - whatever it is, the test tells it
            broken.append(fault)
        finally:
            connection.close()

    threads = [threading.Thread(target=take, args=(f"w{number}",)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert broken == []
    assert len(claimed) == 30 == len({job.pk for job in claimed})


@pytest.mark.django_db
def test_cancel__waiting_at_once() -> None:
    job = jobs.cancel(jobs.enqueue("sum", numbers=[1]))
    assert (job.state, job.message) == (State.CANCELLED, "Cancelled before it began.")
    assert run_one("w") is None


@pytest.mark.django_db
def test_cancel__running_at_its_next_report() -> None:
    jobs.enqueue("stop me")
    job = run_one("w")
    assert job is not None
    assert (job.state, job.progress, job.message) == (State.CANCELLED, 2, "Cancelled. Nothing of it was kept.")


@pytest.mark.django_db
def test_cancel__what_is_over_stays() -> None:
    jobs.enqueue("sum", numbers=[])
    done = run_one("w")
    assert done is not None
    assert jobs.cancel(done).state == State.DONE


@pytest.mark.django_db
def test_recover__puts_back_what_a_killed_worker_held() -> None:
    jobs.enqueue("sum", numbers=[1])
    held = jobs.claim("killed")
    assert held is not None
    assert jobs.recover() == 0, "the lease still runs"
    late = timezone.now() + jobs.LEASE + dt.timedelta(seconds=1)
    assert jobs.recover(now=late) == 1
    held.refresh_from_db()
    assert (held.state, held.worker) == (State.QUEUED, "")
    with pytest.raises(Lost):
        Reporter(Job(pk=held.pk, worker="killed"))(1, 2, "still alive after all")
    done = run_one("next")
    assert done is not None
    assert (done.state, done.attempt) == (State.DONE, 2)


@pytest.mark.django_db
def test_recover__gives_up_after_the_last_attempt() -> None:
    jobs.enqueue("sum", numbers=[1])
    late = timezone.now() + jobs.LEASE + dt.timedelta(seconds=1)
    for _ in range(jobs.ATTEMPTS):
        job = jobs.claim("killed")
        assert job is not None
        jobs.recover(now=late)
    job.refresh_from_db()
    assert job.state == State.FAILED
    assert "begun 2 times" in job.message


@pytest.mark.django_db
def test_recover__does_not_begin_again_what_was_to_stop() -> None:
    jobs.enqueue("sum", numbers=[1])
    job = jobs.claim("killed")
    assert job is not None
    jobs.cancel(job)
    jobs.recover(now=timezone.now() + jobs.LEASE + dt.timedelta(seconds=1))
    job.refresh_from_db()
    assert job.state == State.CANCELLED


@pytest.mark.django_db
def test_reporter__writes_no_more_often_than_anybody_can_read() -> None:
    jobs.enqueue("sum", numbers=[])
    job = jobs.claim("w")
    assert job is not None
    report = Reporter(job)
    report(1, 1000)
    report(2, 1000)
    job.refresh_from_db()
    assert (job.progress, job.total, job.percent) == (1, 1000, 0)
    report(1000, 1000)
    job.refresh_from_db()
    assert job.percent == 100
    jobs.cancel(job)
    with pytest.raises(Cancelled):
        report(1000, 1000)


@pytest.mark.django_db
def test_run_worker__as_a_command() -> None:
    jobs.enqueue("sum", numbers=[4])
    assert run_worker(threading.Event(), once=True) == 1
    jobs.enqueue("sum", numbers=[5])
    call_command("run_worker", once=True)
    assert sorted(Job.objects.values_list("result", flat=True)) == [4, 5]


@pytest.mark.django_db(transaction=True)
def test_start_worker_thread__works_beside_the_server() -> None:
    over = threading.Event()

    @jobs.kind("signal")
    def signal(report: Reporter, inputs: dict[str, Any]) -> str:
        over.set()
        return "signalled"

    job = jobs.enqueue("signal")
    thread = start_worker_thread()
    assert over.wait(20)
    thread.finish(20)
    assert not thread.is_alive()
    job.refresh_from_db()
    assert job.result == "signalled"


@pytest.mark.django_db(transaction=True)
def test_start_here__a_job_whose_row_is_gone_ends_quietly() -> None:
    worker._do_here(uuid.uuid4())
