"""Animals of the engine as links to their pages."""

from __future__ import annotations

import uuid
from collections.abc import Iterable

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.descent.names import named
from holdback.bridge.scope import Scope
from holdback.bridge.snapshot import ids_of
from holdback.collection.collection import Collection
from holdback.web.records.queries import present_animals


class AnimalLinks:
    """Some animals of a collection as links; three queries.

    Parameters
    ----------
    collection : Collection
        For their names.
    animals : iterable of str
        Ids.
    """

    def __init__(self, collection: Collection, animals: Iterable[str]) -> None:
        self._collection = collection
        wanted = set(animals)
        tags = wanted | {one.rpartition(" (")[0] for one in wanted if one.endswith(")")}
        present = present_animals().filter(species=collection.species, tag__in=tags)
        keys = frozenset(present.values_list("pk", flat=True))
        found = ids_of(Scope(collection.species, keys)) if keys else {}
        self._keys: dict[str, uuid.UUID] = {one: key for key, one in found.items() if one in wanted}

    def __call__(self, animal: str) -> SafeString:
        """Name and id as a link; the bare words for an animal without a page."""
        words, key = named(self._collection, animal), self._keys.get(animal)
        if key is None:
            return format_html("{}", words)
        return format_html('<a href="{}">{}</a>', reverse("pages:animal", args=[key]), words)

    def name(self, animal: str) -> str:
        """Name and id."""
        return named(self._collection, animal)
