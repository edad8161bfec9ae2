"""Which record each animal of the engine is."""

from __future__ import annotations

import re
import uuid
from collections.abc import Sequence

from django.db.models import F

from holdback.web.records.queries import present_animals

_WITH_KEY = re.compile(r"(.+) \([0-9a-f]{8}\)")


def keys_by_id(ids: Sequence[str]) -> dict[str, uuid.UUID]:
    """Key of each animal by its id in the engine; two queries at most.

    Parameters
    ----------
    ids : sequence of str
        Tags, and tags with the beginning of the key where several animals had one.
    """
    tags = set(ids) | {parts[1] for name in ids if (parts := _WITH_KEY.fullmatch(name))}
    found = present_animals().filter(tag__in=tags)
    ordered = found.order_by("tag", "-living", F("hatched_first").desc(nulls_last=True), "id")
    keys: dict[str, uuid.UUID] = {}
    for key, tag in ordered.values_list("id", "tag"):
        keys.setdefault(tag, key)
        keys[f"{tag} ({str(key)[:8]})"] = key
    return {name: keys[name] for name in ids if name in keys}
