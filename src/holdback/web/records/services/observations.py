"""Change and remove what was written down of an animal, with what hangs on it."""

from __future__ import annotations

import uuid
from typing import Unpack

from holdback.collection.event_kinds import LOCK, kind_of
from holdback.collection.model import PartialDate
from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.happening_rules import happening_faults
from holdback.web.records.lifetimes import WHEREABOUTS
from holdback.web.records.models import Mating, Observation, Stay
from holdback.web.records.services.animals import write_fields
from holdback.web.records.services.deed import Deed, deed
from holdback.web.records.services.happenings import status_before
from holdback.web.records.services.readings import Seen
from holdback.web.records.together import outside_faults


def change_observation(
    seen: Observation, *, who: str, sure: bool = False, batch: uuid.UUID | None = None, **fields: Unpack[Seen]
) -> Observation:
    """The observation with some fields changed; the fields are those of `add_observation`.

    Parameters
    ----------
    seen : Observation
        What is changed.
    who : str
        Who changes it.
    sure : bool
        Whether the keeper has answered the questions.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``date``, ``kind``, ``value``, ``unit``, ``note``, ``until``.

    Raises
    ------
    RecordError
        As of `log_event`; SEA-041 where a lock would lie outside its mating, SEA-056 where a lock, or what says where
        the animal is, would become something else.

    Notes
    -----
    Where the day of a death, a sale or a loan moves, the stay and the matings that ended on it move along.
    """
    with deed("change observation", who=who, batch=batch) as done:
        seen = _reloaded(seen)
        old = seen.date
        if "kind" in fields:
            fields["kind"] = kind_of(fields["kind"])
        wanted = Observation(
            pk=seen.pk,
            animal=seen.animal,
            mating=seen.mating,
            **{**{name: getattr(seen, name) for name in Seen.__annotations__}, **fields},
        )
        faults = _kind_faults(seen, wanted)
        wanted.kind = kind_of(wanted.kind)
        judge([*faults, *happening_faults(wanted)], sure=sure)
        if seen.mating and wanted.date != old:
            judge(outside_faults(seen.mating, wanted.date), sure=sure)
        done.change(seen, **fields)
        if wanted.kind in WHEREABOUTS and wanted.date != old:
            _move_ends(done, seen, old)
    return seen


def remove_observation(seen: Observation, *, who: str, batch: uuid.UUID | None = None) -> None:
    """Take an observation out; undo brings it back.

    Notes
    -----
    A lock is no longer counted in its mating. A status that a death, a sale or a return had set is set back; a tub that
    was left stays left: where nothing was written since, undoing the deed itself brings that back too.
    """
    with deed("remove observation", who=who, batch=batch) as done:
        seen = _reloaded(seen)
        kind, animal = kind_of(seen.kind), seen.animal
        if seen.mating:
            mating = Mating.objects.select_for_update().get(pk=seen.mating.pk)
            done.change(mating, locks=max(mating.locks - 1, 0))
        before = status_before(seen)
        if before is not None and animal.status == kind:
            write_fields(done, animal, {"status": before})
        done.delete(seen)


def _reloaded(seen: Observation) -> Observation:
    """The observation as it is now."""
    return Observation.objects.select_related("animal", "mating__dam", "mating__sire").get(pk=seen.pk)


def _kind_faults(seen: Observation, wanted: Observation) -> list[Fault]:
    """SEA-056 where the kind changes and other records hang on it."""
    kinds = {kind_of(seen.kind), kind_of(wanted.kind)}
    if len(kinds) == 1 or not kinds & {LOCK, *WHEREABOUTS}:
        return []
    what = f"{seen.kind} of {seen.animal.tag} cannot become {wanted.kind}: other records hang on it."
    hint = "Remove it, and write down the other."
    return [Fault("SEA-056", what, hint, field="kind", value=wanted.kind, animal=seen.animal.tag)]


def _move_ends(done: Deed, seen: Observation, old: str) -> None:
    """Move the end of a stay and of matings from the old day of an event to its new one."""
    then, now = PartialDate.parse(old).latest, PartialDate.parse(seen.date).latest
    for stay in Stay.objects.filter(animal=seen.animal_id, until=then):
        done.change(stay, until=max(now, stay.since))
    animal = seen.animal
    for mating in [*animal.matings_as_dam.filter(apart=str(then)), *animal.matings_as_sire.filter(apart=str(then))]:
        if PartialDate.parse(mating.together).earliest <= now:
            done.change(mating, apart=now.isoformat())
