"""Parts and units that were worked out exactly, as those of every small family are."""

from __future__ import annotations

from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.unit import Part, Unit


def exact_unit(beliefs: Beliefs, animal: str) -> Unit:
    """Part of the pedigree that an animal belongs to."""
    unit = beliefs.unit_of(animal)
    assert isinstance(unit, Unit)
    return unit


def exact_part(beliefs: Beliefs, animal: str, locus: str) -> Part:
    """Beliefs of that part at one locus."""
    return exact_unit(beliefs, animal).part(locus)
