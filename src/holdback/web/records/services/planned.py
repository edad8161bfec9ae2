"""Plan a pairing for a season, lock it, drop it."""

from __future__ import annotations

import uuid
from typing import TypedDict, Unpack

from holdback.collection.projects import PairingState
from holdback.errors import Fault, RecordError
from holdback.web.records.asking import judge
from holdback.web.records.models import Animal, Decision, PlannedPairing, Project
from holdback.web.records.pairing_rules import Found, Planned, planning_faults
from holdback.web.records.services.deed import Deed, deed
from holdback.web.records.services.projects import spoken

SAID_TO_BE_RIGHT = "Said to be right when the pairing was planned."


class How(TypedDict, total=False):
    """What else is said of a pairing."""

    project: Project | None
    locked: bool
    note: str
    words: str


def plan_pairing(
    *,
    who: str,
    year: int,
    dam: Animal,
    sire: Animal,
    sure: bool = False,
    batch: uuid.UUID | None = None,
    **how: Unpack[How],
) -> PlannedPairing:
    """The planned pairing; one of the same two that was dropped is planned again.

    Parameters
    ----------
    who : str
        Who plans it.
    year : int
        Season, by the year of laying.
    dam, sire : Animal
        The two.
    sure : bool
        Whether the keeper has answered the questions.
    batch : UUID, optional
        Batch that the change belongs to.
    **how
        ``project`` (what it is for), ``locked`` (whether plans leave it as it is), ``note``, and ``words``: what the
        keeper says to its cautions of welfare, kept with the project, for which they are accepted then.

    Raises
    ------
    RecordError
        REC-014, REC-017, SEA-040, DEC-121 or DEC-131; as questions DEC-124 to DEC-130 and DEC-133.
    """
    with deed("plan pairing", who=who, batch=batch) as done:
        project, note = how.get("project"), how.get("note", "").strip()
        meant = Planned(year, dam, sire, project, how.get("locked", False))
        found = planning_faults(meant)
        judge(found.faults, sure=sure)
        _speak(done, meant, found, words=how.get("words", ""), who=who)
        state = (PairingState.LOCKED if meant.locked else PairingState.PLANNED).value
        present = PlannedPairing.objects.filter(year=year, dam=dam, sire=sire).first()
        if present is None:
            pairing = PlannedPairing(year=year, dam=dam, sire=sire, project=project, state=state, note=note)
            done.make(pairing)
            return pairing
        done.change(present, project=project, state=state, note=note or present.note)
    return present


def lock_pairing(
    pairing: PlannedPairing,
    *,
    who: str,
    locked: bool = True,
    words: str = "",
    sure: bool = False,
    batch: uuid.UUID | None = None,
) -> PlannedPairing:
    """The planned pairing, locked: every plan of the season keeps it; or unlocked again.

    Raises
    ------
    RecordError
        DEC-132 if it was dropped; what `plan_pairing` raises, its questions too.
    """
    with deed("lock pairing" if locked else "unlock pairing", who=who, batch=batch) as done:
        pairing = _reloaded(pairing)
        if pairing.state == PairingState.DROPPED.value:
            what = f"{pairing.sire.tag} with {pairing.dam.tag} in {pairing.year} was dropped."
            raise RecordError(Fault("DEC-132", what, "Plan it again first.", field="state", animal=pairing.dam.tag))
        if locked and pairing.state != PairingState.LOCKED.value:
            meant = Planned(pairing.year, pairing.dam, pairing.sire, pairing.project, locked=True)
            found = planning_faults(meant)
            judge(found.faults, sure=sure)
            _speak(done, meant, found, words=words, who=who)
        done.change(pairing, state=(PairingState.LOCKED if locked else PairingState.PLANNED).value)
    return pairing


def drop_pairing(pairing: PlannedPairing, *, who: str, why: str = "", batch: uuid.UUID | None = None) -> PlannedPairing:
    """The planned pairing, dropped: it stays on record, and no plan counts on it.

    Parameters
    ----------
    pairing : PlannedPairing
        The pairing.
    who : str
        Who drops it.
    why : str
        Reason, which is added to its note.
    batch : UUID, optional
        Batch that the change belongs to.
    """
    with deed("drop pairing", who=who, batch=batch) as done:
        pairing = _reloaded(pairing)
        note = "\n".join(part for part in (pairing.note, why.strip()) if part)
        done.change(pairing, state=PairingState.DROPPED.value, note=note)
    return pairing


def _speak(done: Deed, meant: Planned, found: Found, *, words: str, who: str) -> None:
    """Keep what was said to the cautions, each once, with the project."""
    if meant.project is None:
        return
    said = set(Decision.objects.filter(project=meant.project).values_list("code", flat=True))
    for code in dict.fromkeys(caution.code for caution in found.cautions):
        if code not in said:
            spoken(done, meant.project, code, words=words.strip() or SAID_TO_BE_RIGHT, by=who)


def _reloaded(pairing: PlannedPairing) -> PlannedPairing:
    """The pairing as it is now, with both animals and its project."""
    return PlannedPairing.objects.select_related("dam", "sire", "project").get(pk=pairing.pk)
