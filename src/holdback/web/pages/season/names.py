"""Names and addresses of the animals and clutches that the working year speaks of."""

from __future__ import annotations

import re
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import F
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.collection.collection import Collection
from holdback.collection.model import Sex
from holdback.web.records.queries import present_animals

_WITH_KEY = re.compile(r" \([0-9a-f]{8}\)$")
_PRONOUNS = {Sex.FEMALE: ("she", "her"), Sex.MALE: ("he", "him")}


@dataclass(frozen=True, slots=True)
class Names:
    """Animals by their ids in the engine.

    Parameters
    ----------
    collection : Collection
        Records.
    keys : mapping of str to UUID
        Key of each animal by its id.
    """

    collection: Collection
    keys: Mapping[str, uuid.UUID]

    @classmethod
    def of(cls, collection: Collection, ids: Iterable[str]) -> Names:
        """Names of some animals; one query."""
        tags = {_WITH_KEY.sub("", one) for one in ids}
        found = present_animals().filter(tag__in=tags)
        rows = found.order_by("-living", F("hatched_first").desc(nulls_last=True), "id").values_list("tag", "pk")
        keys: dict[str, uuid.UUID] = {}
        for tag, key in rows:
            keys.setdefault(tag, key)
            keys[f"{tag} ({str(key)[:8]})"] = key
        return cls(collection, keys)

    def label(self, animal: str) -> str:
        """Name and id."""
        one = self.collection.animals.get(animal)
        return f"{one.name} {one.id}".strip() if one else animal

    def short(self, animal: str) -> str:
        """Calling name, the id where there is none."""
        one = self.collection.animals.get(animal)
        return (one.name or one.id) if one else animal

    def url(self, animal: str) -> str:
        """Address of the page of an animal; empty where it has none."""
        key = self.keys.get(animal)
        return reverse("pages:animal", args=[key]) if key else ""

    def link(self, animal: str) -> SafeString:
        """Name and id as a link."""
        url = self.url(animal)
        return (
            format_html('<a href="{}">{}</a>', url, self.label(animal))
            if url
            else format_html("{}", self.label(animal))
        )

    def pronoun(self, animal: str) -> tuple[str, str]:
        """How one speaks of it: "she" and "her"."""
        one = self.collection.animals.get(animal)
        return _PRONOUNS.get(one.sex, ("it", "it")) if one else ("it", "it")


def clutch_url(clutch: str) -> str:
    """Address of the page of a clutch."""
    return reverse("pages:clutch", args=[clutch])


def clutch_link(clutch: str, *, is_first: bool = False) -> SafeString:
    """A clutch by its id, as a link."""
    return format_html('<a href="{}">{} {}</a>', clutch_url(clutch), "Clutch" if is_first else "clutch", clutch)
