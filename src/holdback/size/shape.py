"""How long an ordinary animal of a mass is: the same build at another size, mass as the cube of length."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from holdback.collection.model import Trait
from holdback.species.catalogue import Catalogue

PART_OF_LENGTH: Mapping[Trait, tuple[float, float]] = MappingProxyType(
    {
        Trait.SNOUT_VENT_LENGTH: (1.0, 0.45),
        Trait.TOTAL_LENGTH: (1.075, 0.45),
        Trait.HEAD_WIDTH: (0.027, 0.7),
        Trait.HEAD_LENGTH: (0.038, 0.7),
        Trait.GIRTH: (0.13, 0.8),
    }
)
"""Each length as a part of the one from snout to vent, and how far off, on the logarithm, it may be before it is asked
about. From memory, but for the tail; wide enough for fat, thin and young animals."""


@dataclass(frozen=True, slots=True)
class Shape:
    """Length and mass of one ordinary grown animal.

    Parameters
    ----------
    length_cm : float
        Snout to vent, in cm.
    mass_g : float
        Mass in gram.
    """

    length_cm: float
    mass_g: float

    @classmethod
    def of(cls, catalogue: Catalogue) -> Shape | None:
        """By the species file; None where it does not say."""
        length, mass = catalogue.size.get("ordinary_length_cm"), catalogue.size.get("ordinary_mass_g")
        return cls(length.value, mass.value) if length and mass else None

    def expected(self, trait: Trait, log_mass: float) -> float:
        """Natural logarithm of a length in cm of an animal of a mass, given as the logarithm of gram."""
        return math.log(PART_OF_LENGTH[trait][0] * self.length_cm) + (log_mass - math.log(self.mass_g)) / 3
