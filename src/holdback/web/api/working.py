"""Answers for the API: at once where that is quick, else a refusal that says how far the work is."""

from __future__ import annotations

from typing import TypeVar

from holdback.answers import Answers
from holdback.errors import Fault, HoldbackError
from holdback.web.pages.worked_out import Working, answers_or_work

Found = TypeVar("Found")
_SECONDS = 5
"""When to ask again while a job is at work."""

_BEGIN = "Open any page that needs it and begin it again there."


class StillWorking(HoldbackError):
    """The answer is being worked out by a job.

    Parameters
    ----------
    fault : Fault
        What is being worked out, and how far it is.
    seconds : int
        When to ask again.
    """

    def __init__(self, fault: Fault, *, seconds: int) -> None:
        super().__init__(fault)
        self.seconds = seconds


def worked_out(*, conflicts: bool = False) -> Answers:
    """Answers over all records as they are.

    Parameters
    ----------
    conflicts : bool
        Whether the records that cannot be true are wanted too.

    Raises
    ------
    StillWorking
        API-002 where a job is at it; API-003 where the job was stopped or broke.
    HoldbackError
        With all faults, if the records do not hold together.
    """
    return ready(answers_or_work(conflicts=conflicts))


def ready(found: Found | Working) -> Found:
    """What was worked out.

    Raises
    ------
    StillWorking
        API-002 where a job is at it; API-003 where the job was stopped or broke.
    """
    if isinstance(found, Working):
        raise StillWorking(_fault(found), seconds=_SECONDS)
    return found


def _fault(working: Working) -> Fault:
    """What a job is at, as a fault."""
    job = working.job
    if working.is_over:
        return Fault(
            "API-003", f"{working.what} was not worked out: the job {job.state}.", "Begin it on the page Check."
        )
    done = f": {job.percent} % done" if job.percent is not None else ""
    return Fault("API-002", f"{working.what} is being worked out{done}.", "Ask again in a while.")
