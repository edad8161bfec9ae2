"""Keep a plan: its pairings are planned on record, what it does without is dropped, and it is kept as it was told."""

from __future__ import annotations

from dataclasses import replace

from django.db import transaction

from holdback.bridge.projects import planned_of_records
from holdback.collection.projects import PairingState
from holdback.decisions.season_plan import Pairing
from holdback.errors import Fault, RecordError
from holdback.web.pages.questions import How
from holdback.web.pages.season.names import Names
from holdback.web.pages.season_plan.board import Now
from holdback.web.pages.wording import counted
from holdback.web.records import services
from holdback.web.records.models import Animal, PlannedPairing, Project


def dropped_by(now: Now, names: Names) -> list[PlannedPairing]:
    """Pairings planned before that a plan does without; locked ones and those put together already stay."""
    year = now.asked.year
    pairs = {(names.keys.get(one.dam), names.keys.get(one.sire)) for one in now.state.pairings}
    made = {(one.pairing.dam, one.pairing.sire) for one in planned_of_records(year) if one.is_made}
    rows = PlannedPairing.objects.filter(year=year, state=PairingState.PLANNED.value).select_related("dam", "sire")
    found = [one for one in rows if (one.dam_id, one.sire_id) not in pairs]
    ids = {key: animal for animal, key in names.keys.items()}
    return [one for one in found if (ids.get(one.dam_id, ""), ids.get(one.sire_id, "")) not in made]


def keep(now: Now, names: Names, how: How, *, words: str = "") -> str:
    """Write a plan down in one batch, and say what was written.

    Parameters
    ----------
    now : Now
        The plan, as it was moved.
    names : Names
        Of everybody in it.
    how : How
        Batch, and what the keeper has answered.
    words : str
        What the keeper says to cautions of welfare.

    Raises
    ------
    RecordError
        With the faults and questions of all pairings together; nothing is written then.
    """
    year, pairs = now.asked.year, now.state.pairings
    drops = dropped_by(now, names)
    known = {
        (one.dam_id, one.sire_id): one for one in PlannedPairing.objects.filter(year=year).select_related("project")
    }
    faults: list[Fault] = []
    with transaction.atomic():
        for one in drops:
            services.drop_pairing(one, who=how.who, why="Not in the plan that was kept.", batch=how.batch)
        for pair in pairs:
            if _is_kept(pair, known.get((names.keys[pair.dam], names.keys[pair.sire]))):
                continue
            try:
                _plan(pair, year, names, how, words=words)
            except RecordError as error:
                faults += error.faults
        if faults:
            raise RecordError(list(dict.fromkeys(faults)))
        services.keep_plan(_as_told(now), who=how.who, year=year, digest=_digest(now), batch=how.batch)
    dropped = f", {counted(len(drops), 'earlier pairing')} dropped" if drops else ""
    return f"The plan for {year} is kept: {counted(len(pairs), 'pairing')}{dropped}."


def _plan(pair: Pairing, year: int, names: Names, how: How, *, words: str) -> None:
    animals = Animal.objects.in_bulk([names.keys[pair.dam], names.keys[pair.sire]])
    services.plan_pairing(
        who=how.who,
        year=year,
        dam=animals[names.keys[pair.dam]],
        sire=animals[names.keys[pair.sire]],
        sure=how.sure,
        batch=how.batch,
        project=Project.objects.filter(key=pair.project).first() if pair.project else None,
        locked=pair.locked,
        words=words,
    )


def _as_told(now: Now) -> dict[str, object]:
    plan = replace(
        now.found.plan, pairings=now.state.pairings, projects=now.state.projects, worth=now.state.worth, load=()
    )
    moves = [{"dam": one.dam, "sire": one.sire, "project": one.project} for one in now.asked.moves]
    return {**plan.as_json(), "moved_by_hand": moves}


def _digest(now: Now) -> str:
    return now.found.decisions.answers.collection.digest


def _is_kept(pair: Pairing, row: PlannedPairing | None) -> bool:
    """Whether a pairing stands on record already as the plan has it."""
    if row is None or row.state == PairingState.DROPPED.value:
        return False
    key = row.project.key if row.project else ""
    return key == pair.project and (not pair.locked or row.state == PairingState.LOCKED.value)
