"""Rows as the values that the engine takes; the only place where one becomes the other."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from holdback.bridge import aims
from holdback.bridge.happenings import Housing, Nest, eggs, events, looks
from holdback.bridge.scope import Key, Scope, date_of, given_date, within
from holdback.collection import model as known
from holdback.collection.origins import PlaceOfOrigin, Precision
from holdback.web.records import models as rows

NEVER = dt.date.min


def ids_of(scope: Scope) -> dict[Key, str]:
    """Id of each animal for the engine: its tag; where several had one, a part of the key is added to all but one.

    The plain tag stays with the living animal, else with the one hatched last, as `queries.animal_by_tag` finds it.
    """
    present = rows.Animal.objects.filter(removed_at__isnull=True, species=scope.species)
    columns = ("id", "tag", "living", "hatched_first")
    found = list(within(present, "id", scope.animals, *columns))
    wanted = {key for key, *_ in found}
    if scope.animals is not None:
        tags = {tag for _, tag, *_ in found}
        found = list(present.filter(tag__in=tags).values_list(*columns))
    found.sort(key=lambda row: (row[1], not row[2], -(row[3] or NEVER).toordinal(), row[0]))
    ids: dict[Key, str] = {}
    last = None
    for key, tag, *_ in found:
        if key in wanted:
            ids[key] = tag if tag != last else f"{tag} ({str(key)[:8]})"
        last = tag
    return ids


@dataclass
class Sires:
    """Candidate sires by animal and by clutch."""

    of_animal: Mapping[Key, tuple[known.Candidate, ...]]
    of_clutch: Mapping[Key, tuple[known.Candidate, ...]]


def sires_of(scope: Scope, ids: Mapping[Key, str], clutches: frozenset[Key] | None) -> Sires:
    """All candidate sires of the animals and clutches."""
    by_animal: dict[Key, list[known.Candidate]] = defaultdict(list)
    by_clutch: dict[Key, list[known.Candidate]] = defaultdict(list)
    found = rows.Parentage.objects.all()
    columns = ("animal_id", "clutch_id", "sire_id", "weight")
    if scope.animals is None:
        parts = within(found, "id", None, *columns)
    else:
        own = within(found, "animal", scope.animals, *columns)
        parts = iter([*own, *within(found, "clutch", clutches, *columns)])
    for animal, clutch, sire, weight in parts:
        name = known.NO_SIRE if sire is None else ids.get(sire)
        if name is not None:
            (by_animal[animal] if animal else by_clutch[clutch]).append(known.Candidate(name, weight))
    return Sires(
        {key: _ordered(found) for key, found in by_animal.items()},
        {key: _ordered(found) for key, found in by_clutch.items()},
    )


def _ordered(found: list[known.Candidate]) -> tuple[known.Candidate, ...]:
    """Likeliest first, so that the same records give the same snapshot."""
    return tuple(sorted(found, key=lambda one: (-one.weight, one.animal)))


def records_of(scope: Scope) -> known.Records:
    """The records of a scope, animals and clutches in the order of their ids."""
    ids = ids_of(scope)
    animal_rows = list(
        within(
            rows.Animal.objects.filter(removed_at__isnull=True, species=scope.species),
            "id",
            scope.animals,
            *("id", "name", "sex", "hatched", "origin", "status", "genes_text", "notes", "dam_id", "clutch_id"),
        )
    )
    nests = scope.clutches | {row[-1] for row in animal_rows if row[-1]}
    clutch_rows = _clutch_rows(scope, nests, ids)
    clutch_tags = {key: tag for key, tag, *_ in clutch_rows}
    sires = sires_of(scope, ids, None if scope.animals is None else frozenset(clutch_tags))
    dams = {key: ids.get(dam) for key, _, dam, *_ in clutch_rows}
    housing, is_whole = Housing(), scope.animals is None
    nest = Nest(clutch_tags, is_whole=is_whole)
    animals = []
    for key, name, sex, hatched, origin, status, genes, notes, dam, clutch in animal_rows:
        animals.append(
            known.Animal(
                ids[key],
                name,
                known.Sex(sex),
                date_of(hatched),
                known.Origin(origin),
                sires.of_animal.get(key) or sires.of_clutch.get(clutch, ()),
                ids.get(dam) or dams.get(clutch),
                clutch_tags.get(clutch),
                genes,
                status,
                notes,
            )
        )
    projects = tuple(aims.projects(ids, scope.species)) if is_whole else ()
    return known.Records(
        animals=tuple(sorted(animals, key=lambda animal: animal.id)),
        lines=tuple(_lines(scope, ids)),
        measurements=tuple(_measurements(scope, ids)),
        matings=tuple(_matings(scope, ids)),
        clutches=tuple(
            known.Clutch(
                tag, ids.get(dam), sires.of_clutch.get(key, ()), date_of(laid), n_eggs, slugs, date_of(hatched), aside
            )
            for key, tag, dam, laid, n_eggs, slugs, hatched, aside in clutch_rows
        ),
        eggs=tuple(eggs(nest, ids, housing)),
        events=tuple(events(scope, ids, housing)),
        statements=tuple(_statements(scope, ids)),
        origins=tuple(_origins(scope, ids)),
        egg_looks=tuple(looks(nest)),
        temperatures=tuple(housing.temperatures()) if is_whole else (),
        places=tuple(housing.places()) if is_whole else (),
        projects=projects,
        planned_pairings=tuple(aims.planned_pairings(ids)) if is_whole else (),
        accepted=tuple(aims.accepted(scope.species)) if projects else (),
    )


def _clutch_rows(scope: Scope, nests: frozenset[Key], ids: Mapping[Key, str]) -> list[tuple[Any, ...]]:
    """Clutches: all of the species, or those that the animals hatched from."""
    columns = ("id", "tag", "dam_id", "laid", "eggs", "slugs", "hatched", "set_aside")
    present = rows.Clutch.objects.filter(removed_at__isnull=True)
    found = list(within(present, "id", None if scope.animals is None else nests, *columns))
    # A clutch belongs to the species of its dam or hatchlings; one with neither goes with the first species asked.
    fits = [row for row in found if row[2] is None or row[2] in ids]
    return sorted(fits, key=lambda row: row[1])


def _lines(scope: Scope, ids: Mapping[Key, str]) -> Iterator[known.LineClaim]:
    """Line claims of the animals."""
    columns = ("animal_id", "line", "share_low", "share_high", "ground")
    found = rows.LineClaim.objects.order_by("animal__tag", "line")
    for animal, line, low, high, ground in within(found, "animal", scope.animals, *columns):
        if animal in ids:
            yield known.LineClaim(ids[animal], line, low, high, ground)


_COPIES = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
"""Chances of no, one and two copies where the number seen is certain."""


def _statements(scope: Scope, ids: Mapping[Key, str]) -> Iterator[known.GeneStatement]:
    """Looks and claims that were added by hand; those that follow from the genes as typed are read from the text."""
    seen, claimed = known.StatementKind.SEEN, known.StatementKind.CLAIMED
    looks = rows.Look.objects.filter(derived=False).order_by("animal__tag", "date", "allele", "id")
    columns = ("animal_id", "allele", "copies", "seen_by", "note", "date", "sure")
    for animal, allele, copies, by, note, date, sure in within(looks, "animal", scope.animals, *columns):
        if animal in ids:
            chances = _COPIES[copies]
            yield known.GeneStatement(ids[animal], allele, seen, *chances, by, note, date_of(date), sure)
    claims = rows.Claim.objects.filter(derived=False).order_by("animal__tag", "date", "allele", "id")
    said = ("animal_id", "allele", "none", "one", "two", "said_by", "ground", "date", "trust")
    for animal, allele, none, one, two, by, ground, date, trust in within(claims, "animal", scope.animals, *said):
        if animal in ids:
            yield known.GeneStatement(
                ids[animal], allele, claimed, none, one, two, by, ground, date_of(date), trust
            )  # fmt: skip


def _origins(scope: Scope, ids: Mapping[Key, str]) -> Iterator[PlaceOfOrigin]:
    """Where the animals are said to come from."""
    columns = ("animal_id", "place", "country", "latitude", "longitude", "precision", "ground")
    found = rows.PlaceOfOrigin.objects.order_by("animal__tag", "id")
    for animal, place, country, north, east, precision, ground in within(found, "animal", scope.animals, *columns):
        if animal in ids:
            one = PlaceOfOrigin(ids[animal], place, country, north, east, Precision(precision), ground)
            yield one if scope.has_exact_places else one.coarse


def _measurements(scope: Scope, ids: Mapping[Key, str]) -> Iterator[known.Measurement]:
    """Measurements of the animals asked for, in the order of their dates."""
    columns = ("animal_id", "date", "trait", "value", "unit", "condition")
    found = rows.Measurement.objects.order_by("animal__tag", "date", "id")
    for animal, date, trait, value, unit, condition in within(found, "animal", scope.asked, *columns):
        if animal in ids:
            yield known.Measurement(ids[animal], given_date(date), known.Trait(trait), value, unit, condition)


def _matings(scope: Scope, ids: Mapping[Key, str]) -> Iterator[known.Mating]:
    """Matings of the animals asked for, where both are in the scope."""
    columns = ("dam_id", "sire_id", "together", "apart", "locks")
    found = rows.Mating.objects.order_by("together", "id")
    for dam, sire, together, apart, locks in within(found, "dam", scope.asked, *columns):
        if dam in ids and sire in ids:
            yield known.Mating(ids[dam], ids[sire], date_of(together), date_of(apart), locks)
