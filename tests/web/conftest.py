"""Jobs of plans, for all tests of the web: none is begun in a thread, which would not see what the test wrote."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from holdback.web.jobs.models import Job


def begun(name: str, **inputs: object) -> Job:
    """A job that is at work and comes to no end."""
    from holdback.web.jobs.work import enqueue, take
    from holdback.web.jobs.worker import worker_name

    return take(enqueue(name, **inputs), worker_name())


def done(name: str, **inputs: object) -> Job:
    """A job that is done."""
    from holdback.web.jobs.worker import finish

    held = begun(name, **inputs)
    finish(held)
    return held


@pytest.fixture(autouse=True)
def waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plans that take long stay at work, and the page does not wait for them."""
    monkeypatch.setattr("holdback.web.pages.decided.start_here", begun)
    monkeypatch.setattr("holdback.web.pages.decided.PATIENCE", 0.0)


@pytest.fixture
def at_once(waiting: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Plans that a job works out are there before the page goes on."""
    monkeypatch.setattr("holdback.web.pages.decided.start_here", done)
    monkeypatch.setattr("holdback.web.pages.decided.PATIENCE", 5.0)
