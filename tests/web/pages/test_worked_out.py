"""A collection too large for a request: a job works the answers out, the page says how far and shows them after."""

from __future__ import annotations

import time
from collections.abc import Callable
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from holdback.web.access.tokens import new_token
from holdback.web.jobs.models import Job, State
from holdback.web.pages import worked_out
from holdback.web.pages.worked_out import BELIEFS, Working, answers_or_work
from holdback.web.records.models import Animal
from holdback.web.records.services import add_animal, change_animal


@pytest.fixture
def large(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make every collection count as large."""
    monkeypatch.setattr("holdback.bridge.answered.IN_REQUEST", 0)
    monkeypatch.setattr("holdback.bridge.answered.CONFLICTS_IN_REQUEST", 0)
    monkeypatch.setattr(worked_out, "PATIENCE", 0.0)


@pytest.fixture
def unbegun(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let jobs be noted as running without a thread that does them."""

    def noted(name: str, **inputs: object) -> Job:
        now = timezone.now()
        return Job.objects.create(kind=name, inputs=inputs, state=State.RUNNING, worker="w", made_at=now, heartbeat=now)

    monkeypatch.setattr(worked_out, "start_here", noted)


def test_animal__shows_what_is_written_while_the_rest_is_worked_out(
    read: Callable[..., str], opened: Client, barn: dict[str, Animal], large: None, unbegun: None
) -> None:
    text = read(f"/animals/{barn['Umber'].pk}/")
    assert "A female, written as Enchi." in text
    assert "What every animal carries is being worked out" in text
    assert "Look again" in text, "without a script one asks for the page again"
    job = Job.objects.get(kind=BELIEFS)
    Job.objects.update(progress=34, total=100)
    assert "34 %" in read(f"/animals/{barn['Umber'].pk}/")
    assert Job.objects.count() == 1, "one job for all pages"
    assert "34 %" in read(f"/working/{job.pk}/")
    assert "not worked out yet" in read("/pair/", sire="22-05", dam="22-11")
    assert "What does not fit is being worked out" in read("/")


def test_pair__of_typed_genes_waits_for_nothing(
    read: Callable[..., str], barn: dict[str, Animal], large: None, unbegun: None
) -> None:
    assert "3 in 4 eggs" in read("/pair/", sire="het Clown", dam="het Clown")
    assert not Job.objects.exists()


def test_working__can_be_stopped_and_begun_again(
    read: Callable[..., str], opened: Client, barn: dict[str, Animal], large: None, unbegun: None
) -> None:
    address = f"/animals/{barn['Umber'].pk}/"
    read(address)
    job = Job.objects.get()
    opened.post(f"/working/{job.pk}/stop/")
    assert "It stops at the next step." in read(address)
    Job.objects.update(state=State.CANCELLED, message="Cancelled. Nothing of it was kept.")
    assert "is not worked out. Cancelled." in read(address)
    assert Job.objects.count() == 1, "what was stopped is not begun again unasked"
    assert opened.get(f"/working/{job.pk}/")["HX-Refresh"] == "true"
    opened.post(f"/working/{job.pk}/again/", headers={"referer": f"http://testserver{address}"})
    assert Job.objects.count() == 2
    assert opened.get(f"/working/{uuid4()}/").status_code == 404


def test_answers_or_work__stops_what_is_out_of_date(barn: dict[str, Animal], large: None, unbegun: None) -> None:
    first = answers_or_work()
    assert isinstance(first, Working)
    change_animal(barn["Umber"], who="test", genes="Enchi Pied")
    second = answers_or_work()
    assert isinstance(second, Working)
    assert second.job != first.job
    first.job.refresh_from_db()
    assert first.job.cancel_asked
    assert not second.job.cancel_asked


@pytest.mark.django_db(transaction=True)
def test_job__fills_the_shelf_of_this_process_and_the_page_shows_it(client: Client, large: None) -> None:
    animal = add_animal(who="test", tag="A1", sex="female", genes="het Clown")
    client.get(f"/open/{new_token()}/")
    assert "being worked out" in client.get(f"/animals/{animal.pk}/").content.decode()
    assert done(BELIEFS).state == State.DONE
    assert "as claimed" in client.get(f"/animals/{animal.pk}/").content.decode()
    assert Job.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_job__that_is_quick_is_waited_for(client: Client, large: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(worked_out, "PATIENCE", 30.0)
    animal = add_animal(who="test", tag="A1", sex="female", genes="het Clown")
    client.get(f"/open/{new_token()}/")
    assert "as claimed" in client.get(f"/animals/{animal.pk}/").content.decode()
    assert done(BELIEFS).state == State.DONE


def done(kind: str) -> Job:
    """The only job, waited for."""
    for _ in range(600):
        job = Job.objects.get(kind=kind)
        if job.is_over:
            return job
        time.sleep(0.05)
    raise AssertionError("the job did not end within half a minute")
