"""Which animals stand around some: themselves and all their ancestors."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Sequence
from functools import reduce
from operator import or_

from django.db.models import Q

from holdback.web.records.parents import parent_keys
from holdback.web.records.queries import animal_by_tag, present_animals


def keys_named(texts: Sequence[str], *, species: str) -> frozenset[uuid.UUID]:
    """Keys of the animals that texts mean by id or name; a text that means none, such as shorthand, is passed over.

    Parameters
    ----------
    texts : sequence of str
        Ids or calling names. An id is taken before a name; where a name fits several animals all are taken.
    species : str
        Key of the species.
    """
    wanted = {text.strip() for text in texts if text.strip()}
    animals = present_animals().filter(species=species)
    by_tag = list(animals.filter(tag__in=wanted).values_list("id", "tag"))
    keys = {key for key, _ in by_tag}
    left = wanted - {tag for _, tag in by_tag}
    for text in [text for text in left if text.endswith(")")]:
        if found := animal_by_tag(text):
            keys.add(found.pk)
            left.discard(text)
    if left:
        alike = reduce(or_, (Q(name__iexact=text) | Q(tag__iexact=text) for text in sorted(left)))
        keys.update(animals.filter(alike).values_list("id", flat=True))
    return frozenset(keys)


def with_ancestors(keys: Iterable[uuid.UUID]) -> frozenset[uuid.UUID]:
    """The animals and every animal that is, or may be, an ancestor; three queries a generation."""
    seen: set[uuid.UUID] = set()
    level = set(keys)
    while level:
        seen |= level
        level = parent_keys(level) - seen
    return frozenset(seen)
