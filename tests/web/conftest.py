"""Jobs that are done at once, for all tests of the web."""

from __future__ import annotations

import pytest


@pytest.fixture
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plans that a job works out are there before the page goes on."""
    from holdback.web.jobs.models import Job
    from holdback.web.jobs.work import enqueue, take
    from holdback.web.jobs.worker import finish, worker_name

    def start(name: str, **inputs: object) -> Job:
        held = take(enqueue(name, **inputs), worker_name())
        finish(held)
        return held

    monkeypatch.setattr("holdback.web.pages.decided.start_here", start)
