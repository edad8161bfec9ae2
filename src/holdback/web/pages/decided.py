"""Plans for a page: those that are worked out at once, else a job that works them out while the page says how far.

A part is something of `Decisions` that takes long: all routes and rehearsals, another rehearsal, the price of limits.
What its work brings stays in `Decisions`, in the memory of the process that did it.
"""

from __future__ import annotations

import datetime as dt
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from holdback.bridge.decisions import decisions_fingerprint, decisions_of_records
from holdback.web.jobs.models import Job, State
from holdback.web.jobs.reporter import Reporter
from holdback.web.jobs.work import cancel, kind
from holdback.web.jobs.worker import start_here
from holdback.web.pages.worked_out import PATIENCE, PROCESS, Working
from holdback.web.records import clock
from holdback.web.records.overlay import SPECIES

if TYPE_CHECKING:
    from holdback.answers.decisions import Decisions

PLANS = "plans"
"""Kind of the jobs."""

Tell = Callable[[float], None]
"""Told the share that is done; what it raises ends the work."""


@dataclass(frozen=True, slots=True)
class Part:
    """Something of the plans that takes long.

    Parameters
    ----------
    what : str
        Head of the sentence that says what is being worked out: "Every route".
    is_there : callable
        Whether it has been worked out, from the plans and what was asked.
    work : callable
        Works it out, from the plans, what was asked, and a callable that is told the share done.
    is_quick : callable
        Whether a page may work it out before it answers.
    """

    what: str
    is_there: Callable[[Decisions, dict[str, Any]], bool]
    work: Callable[[Decisions, dict[str, Any], Tell], None]
    is_quick: Callable[[Decisions], bool] = lambda _: False


_parts: dict[str, Part] = {}
_starting = threading.Lock()


def register(name: str, part: Part) -> None:
    """Let a part be asked for by its name."""
    _parts[name] = part


def plans_now(species: str = SPECIES) -> Decisions:
    """Plans as they stand today; what takes long is not worked out yet."""
    return decisions_of_records(clock.today(), species=species)


def part_or_work(name: str, species: str = SPECIES, **asked: Any) -> Decisions | Working:
    """Plans in which a part is worked out, or the job that works it out; the job is begun if there is none.

    Parameters
    ----------
    name : str
        Name of a registered part.
    species : str
        Key of the species.
    **asked
        What the part wants to know, as JSON knows it.

    Raises
    ------
    HoldbackError
        With all faults, if the records do not hold together.
    """
    found = plans_now(species)
    part = _parts[name]
    if not part.is_there(found, asked) and part.is_quick(found):
        part.work(found, asked, lambda _: None)
    if part.is_there(found, asked):
        return found
    with _starting:
        job = _last_job(name, species, asked)
        is_new = job is None or job.state == State.DONE
        if job is None or is_new:
            job = _begin(name, species, asked)
    end = time.monotonic() + PATIENCE * is_new
    while time.monotonic() < end:
        time.sleep(0.05)
        if _parts[name].is_there(found, asked):
            return found
    return Working.of(job)


def begin_again(job: Job) -> Job:
    """The work of a job that was stopped or broke, begun anew."""
    return _begin(job.inputs["part"], job.inputs["species"], job.inputs["asked"])


def _begin(name: str, species: str, asked: dict[str, Any]) -> Job:
    """A job for a part; jobs over older records are told to stop."""
    records = decisions_fingerprint()
    for old in Job.objects.filter(kind=PLANS, state=State.RUNNING, inputs__process=PROCESS):
        if old.inputs["records"] != records:
            cancel(old)
    return start_here(
        PLANS,
        part=name,
        what=_parts[name].what,
        asked=asked,
        species=species,
        on=clock.today().isoformat(),
        process=PROCESS,
        records=records,
    )


def _last_job(name: str, species: str, asked: dict[str, Any]) -> Job | None:
    """The last job of this process for a part, over the records as they are."""
    found = Job.objects.filter(kind=PLANS, inputs__species=species, inputs__process=PROCESS, inputs__part=name)
    same = found.filter(inputs__records=decisions_fingerprint(), inputs__on=clock.today().isoformat())
    return next((job for job in same if job.inputs["asked"] == asked), None)


@kind(PLANS)
def work_out_part(report: Reporter, inputs: dict[str, Any]) -> dict[str, Any]:
    """Work a part out and keep it in this process."""

    def tell(share: float) -> None:
        report(int(99 * min(share, 1.0)), 100)

    report(0, 100, "Reading the records.")
    plans = decisions_of_records(dt.date.fromisoformat(inputs["on"]), species=inputs["species"])
    _parts[inputs["part"]].work(plans, inputs["asked"], tell)
    report(100, 100, "All worked out.")
    return {"records": inputs["records"]}


def _all_there(plans: Decisions, _: dict[str, Any]) -> bool:
    return plans.is_worked_out


def _all(plans: Decisions, _: dict[str, Any], tell: Tell) -> None:
    plans.work_out(progress=tell)


def _few(plans: Decisions) -> bool:
    """Whether there is so little to plan with that it takes no time."""
    return not plans.goals or len(plans.stock.animals) <= IN_REQUEST


ALL = "all"
"""Every route, its rehearsal, and the season plan."""
IN_REQUEST = 16
"""Animals at hand up to which a page plans before it answers."""
register(ALL, Part("The way to every goal", _all_there, _all, _few))
