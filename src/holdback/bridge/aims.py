"""Rows of what the keeper works towards as values: projects, planned pairings, cautions spoken for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from holdback.bridge.scope import Key, date_of
from holdback.collection.projects import Accepted, PairingState, PlannedPairing, Project, ProjectState, SizeAim
from holdback.web.records import models as rows


def projects(ids: Mapping[Key, str], species: str) -> Iterator[Project]:
    """Every project, in the order of the keeper; animals that are not in the snapshot are left out of it.

    Parameters
    ----------
    ids : mapping of UUID to str
        Id of each animal in the snapshot.
    species : str
        Key of the species.
    """
    found = list(rows.Project.objects.filter(species=species))
    named: dict[tuple[Key, str], list[str]] = defaultdict(list)
    if found:
        columns = ("project_id", "role", "animal_id")
        for project, role, animal in rows.ProjectAnimal.objects.order_by("animal__tag", "id").values_list(*columns):
            if animal in ids:
                named[project, role].append(ids[animal])
    for row in found:
        yield Project(
            row.key,
            row.name,
            want=row.want,
            some_of=tuple(row.some_of),
            some_least=row.some_least,
            none_of=row.none_of,
            line=row.line,
            share_at_least=row.share_at_least,
            size=SizeAim(row.size_aim),
            size_low_g=row.size_low_g,
            size_high_g=row.size_high_g,
            number=row.number,
            by=row.by,
            inbreeding_at_most=row.inbreeding_at_most,
            eggs=row.eggs,
            tubs=row.tubs,
            money=row.money,
            worth_eggs=row.worth_eggs,
            year_worth_eggs=row.year_worth_eggs,
            animals=tuple(named[row.pk, rows.ProjectAnimal.ONLY]),
            held_back=tuple(named[row.pk, rows.ProjectAnimal.HELD_BACK]),
            least_pairings=row.least_pairings,
            since=date_of(row.since),
            state=ProjectState(row.state),
            notes=row.notes,
        )


def planned_pairings(ids: Mapping[Key, str]) -> Iterator[PlannedPairing]:
    """Every planned pairing of two animals of the snapshot, season by season."""
    columns = ("year", "dam_id", "sire_id", "project__key", "state", "note")
    for year, dam, sire, project, state, note in rows.PlannedPairing.objects.values_list(*columns):
        if dam in ids and sire in ids:
            yield PlannedPairing(year, ids[dam], ids[sire], project, PairingState(state), note)


def accepted(species: str) -> Iterator[Accepted]:
    """Every caution spoken for, project by project."""
    columns = ("project__key", "code", "by", "date", "words")
    found = rows.Decision.objects.filter(project__species=species).order_by("project__order", "project__key", "code")
    for project, code, by, date, words in found.values_list(*columns):
        yield Accepted(project, code, by, date_of(date), words)
