"""What is written always makes a Collection: the engine's own checks, run on what a deed touched before it ends."""

from __future__ import annotations

import uuid
from collections.abc import Set as AbstractSet

from django.db.models import Q

from holdback.bridge.around import with_ancestors
from holdback.bridge.scope import Scope
from holdback.bridge.snapshot import records_of
from holdback.collection.checking import faults_of
from holdback.errors import RecordError
from holdback.web.records.models import Animal
from holdback.web.records.overlay import SPECIES

MANY = 200
"""From so many animals on, all are checked: that takes fewer queries than to look for their families."""
SHOWN = 50


def refuse_contradictions(animals: AbstractSet[uuid.UUID], clutches: AbstractSet[uuid.UUID]) -> None:
    """Refuse if the animals and clutches, with their families, do not agree.

    Parameters
    ----------
    animals, clutches : set of UUID
        Keys of what was touched; keys of deleted rows may be among them.

    Raises
    ------
    RecordError
        With the faults that a collection of them would have (COL codes), up to fifty.
    """
    if not animals and not clutches:
        return
    for scope in _families(animals, clutches):
        if faults := faults_of(records_of(scope)):
            raise RecordError(faults[:SHOWN])


def _families(animals: AbstractSet[uuid.UUID], clutches: AbstractSet[uuid.UUID]) -> list[Scope]:
    """One scope for each species touched: the animals, their young, their clutch mates, and the ancestors of all."""
    present = Animal.objects.filter(removed_at__isnull=True)
    if len(animals) + len(clutches) > MANY:
        return [Scope(species) for species in present.order_by().values_list("species", flat=True).distinct()]
    own = dict(present.filter(pk__in=animals).values_list("pk", "species"))
    nests = {*clutches, *present.filter(pk__in=own, clutch__isnull=False).values_list("clutch_id", flat=True)}
    family = present.filter(
        Q(clutch__in=nests)
        | Q(dam__in=own)
        | Q(clutch__dam__in=own)
        | Q(candidate_sires__sire__in=own)
        | Q(clutch__candidate_sires__sire__in=own)
    )
    own.update(family.values_list("pk", "species"))
    own.update(present.filter(clutches__in=nests).values_list("pk", "species"))
    if not own:
        return [Scope(SPECIES, frozenset(), frozenset(), frozenset(nests))]
    scopes = []
    for species in sorted(set(own.values())):
        keys = frozenset(key for key, other in own.items() if other == species)
        scopes.append(Scope(species, with_ancestors(keys), keys, frozenset(nests)))
    return scopes
