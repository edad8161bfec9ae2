"""Answers for a page: at once where that is quick, else from a job that works them out while the page says how far."""

from __future__ import annotations

import threading
import time
import uuid
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from holdback.bridge import ready_answers, records_fingerprint, work_out
from holdback.web.jobs.models import Job, State
from holdback.web.jobs.reporter import Reporter
from holdback.web.jobs.work import cancel, kind
from holdback.web.jobs.worker import start_here
from holdback.web.records.overlay import SPECIES

if TYPE_CHECKING:
    from holdback.answers import Answers

BELIEFS = "beliefs"
PROCESS = uuid.uuid4().hex
"""This process: what a job works out is kept in the memory of the process that did it."""

PATIENCE = 2.0
"""Seconds that a page waits for a job just begun before it shows how far it is."""

_starting = threading.Lock()


@dataclass(frozen=True, slots=True)
class Working:
    """What a page shows while the answers are not there.

    Parameters
    ----------
    job : Job
        The work, running or ended without an answer.
    conflicts : bool
        Whether the records that cannot be true are looked for too.
    sizes : bool
        Whether the sizes of all animals are worked out too.
    """

    job: Job
    conflicts: bool = False
    sizes: bool = False

    @classmethod
    def of(cls, job: Job) -> Working:
        """What a job works out."""
        return cls(job, job.inputs.get("conflicts", False), job.inputs.get("sizes", False))

    @property
    def is_over(self) -> bool:
        """Whether it was stopped or broke."""
        return self.job.is_over

    @property
    def what(self) -> str:
        """What is being worked out, as the head of a sentence."""
        if "what" in self.job.inputs:
            return str(self.job.inputs["what"])
        if self.sizes:
            return "How big every animal is"
        return "What does not fit" if self.conflicts else "What every animal carries"


@kind(BELIEFS)
def work_out_beliefs(report: Reporter, inputs: dict[str, Any]) -> dict[str, Any]:
    """Work out the answers of a species and keep them in this process."""
    done = 0

    def tell(share: float) -> None:
        nonlocal done
        done = int(99 * share)
        report(done, 100)

    report(0, 100, "Reading the records.")
    work_out(
        inputs["species"],
        conflicts=inputs["conflicts"],
        sizes=inputs["sizes"],
        progress=tell,
        beat=lambda: report(done, 100),
    )
    report(100, 100, "All worked out.")
    return {"records": inputs["records"]}


def answers_or_work(species: str = SPECIES, *, conflicts: bool = False, sizes: bool = False) -> Answers | Working:
    """Answers by the records as they are, or the job that works them out; the job is begun if there is none.

    Parameters
    ----------
    species : str
        Key of the species.
    conflicts : bool
        Whether the records that cannot be true are wanted too.
    sizes : bool
        Whether the sizes of all animals are wanted too.

    Raises
    ------
    HoldbackError
        With all faults, if the records do not hold together.
    """
    found = ready_answers(species, conflicts=conflicts, sizes=sizes)
    if found is not None:
        return found
    with _starting:
        last = _last_job(species, conflicts=conflicts, sizes=sizes)
        is_new = last is None or last.state == State.DONE  # done, but no longer kept
        if last is None or is_new:
            last = begin(species, conflicts=conflicts, sizes=sizes)
    return (is_new and _soon(species, conflicts=conflicts, sizes=sizes)) or Working.of(last)


def _soon(species: str, *, conflicts: bool, sizes: bool) -> Answers | None:
    """Answers that a job brings while the page can still wait: most changes touch little and are done in a moment."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        time.sleep(0.05)
        found = ready_answers(species, conflicts=conflicts, sizes=sizes)
        if found is not None:
            return found
    return None


def begin(species: str, *, conflicts: bool = False, sizes: bool = False) -> Job:
    """A job that works out the answers; jobs over older records of the species are told to stop."""
    records = records_fingerprint()
    mine = Job.objects.filter(kind=BELIEFS, state=State.RUNNING, inputs__species=species, inputs__process=PROCESS)
    for old in mine:
        if old.inputs["records"] != records:
            cancel(old)
    return start_here(BELIEFS, species=species, process=PROCESS, records=records, conflicts=conflicts, sizes=sizes)


def _last_job(species: str, *, conflicts: bool, sizes: bool) -> Job | None:
    """The last job of this process over the records as they are."""
    found = Job.objects.filter(kind=BELIEFS, inputs__species=species, inputs__process=PROCESS)
    return found.filter(inputs__records=records_fingerprint(), inputs__conflicts=conflicts, inputs__sizes=sizes).first()
