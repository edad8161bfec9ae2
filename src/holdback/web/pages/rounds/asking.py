"""What is asked of a round: where it goes, what is done at each tub, in which unit."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass

from holdback.web.records.rules import MASS_UNITS

DEEDS = {"both": "Weigh and feed", "weigh": "Weigh", "feed": "Feed"}
DUE = "due"
"""Stands in the address of a round in the place of a place: those that are due, wherever they are."""
OVER = {"both": "Weigh and feed", "weigh": "Weigh day", "feed": "Feeding day"}


@dataclass(frozen=True, slots=True)
class Round:
    """A round as asked by an address.

    Parameters
    ----------
    deeds : str
        Key of `DEEDS`.
    place : UUID or None
        Only what is in this place; None goes everywhere.
    animals : tuple of UUID or None
        Only these; None is all.
    is_due : bool
        Only those that are due to be weighed or fed.
    unit : str
        Unit of the weights.
    prey_g : float or None
        Mass of each meal, where it is said.
    """

    deeds: str = "both"
    place: uuid.UUID | None = None
    animals: tuple[uuid.UUID, ...] | None = None
    is_due: bool = False
    unit: str = "g"
    prey_g: float | None = None

    @classmethod
    def of(cls, given: Mapping[str, str]) -> Round:
        """Round of the parameters of an address; what cannot be read is taken as left out."""
        named = [key for key in map(_key, given.get("animals", "").split(",")) if key]
        return cls(
            deeds=given.get("what", "") if given.get("what", "") in DEEDS else "both",
            place=None if given.get("place") == DUE else _key(given.get("place", "")),
            is_due=given.get("place") == DUE,
            animals=tuple(named) if "animals" in given else None,
            unit=given.get("unit", "") if given.get("unit", "") in MASS_UNITS else "g",
            prey_g=_grams(given.get("prey", "")),
        )

    @property
    def is_weighed(self) -> bool:
        """Whether the animals are weighed."""
        return self.deeds != "feed"

    @property
    def is_fed(self) -> bool:
        """Whether the animals are fed."""
        return self.deeds != "weigh"


def _key(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text.strip())
    except ValueError:
        return None


def _grams(text: str) -> float | None:
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return value if 0 < value < 1e5 else None
