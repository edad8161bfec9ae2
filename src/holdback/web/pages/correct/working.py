"""Work out what would follow where too many animals are connected to do it while a page waits."""

from __future__ import annotations

import uuid
from typing import Any, cast

from holdback.bridge.foreseen import foreseen
from holdback.web.jobs.models import Job
from holdback.web.jobs.reporter import Reporter
from holdback.web.jobs.work import kind
from holdback.web.jobs.worker import start_here
from holdback.web.pages.correct.kinds import CORRECTIONS
from holdback.web.pages.correct.words import Told, told
from holdback.web.pages.questions import How
from holdback.web.records.models import Animal

FORESEEN = "foreseen"
ALL = 10**9
IN_PAGE = 100
"""Connected animals up to which a page waits: everything is worked out twice, with what cannot be true."""


@kind(FORESEEN)
def work_out_foreseen(report: Reporter, inputs: dict[str, Any]) -> dict[str, Any]:
    """Work out what would follow from a correction, over however many animals."""
    report(0, 1, "Reading the records.")
    found = look(uuid.UUID(inputs["animal"]), inputs["what"], inputs["said"], most=ALL)
    assert found is not None, "no bound was given"
    report(1, 1, "All worked out.")
    return {"told": found}


def look(animal: uuid.UUID, what: str, said: dict[str, str], *, most: int = IN_PAGE) -> Told | None:
    """What would follow in words; None where more than `most` animals are connected.

    Raises
    ------
    RecordError
        What the correction itself is refused with.
    """
    species = Animal.objects.values_list("species", flat=True).get(pk=animal)
    found = foreseen(lambda: CORRECTIONS[what].write(animal, said, How(uuid.uuid4())), species=species, most=most)
    return None if found is None else told(found)


def begin(animal: uuid.UUID, what: str, said: dict[str, str], *, records: str) -> Job:
    """A job that works it out."""
    return start_here(FORESEEN, animal=str(animal), what=what, said=said, records=records)


def told_by(job: Job) -> Told:
    """What a job that is done found."""
    return cast(Told, (job.result or {})["told"])
