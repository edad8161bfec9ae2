"""What a person marks on a photograph of an animal."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from holdback.collection.model import Trait

Point = tuple[float, float]

POINTING_SD_PX = 1.5
"""Assumed stray of one mark along each axis, in pixels of the photo at full size. From memory, no source."""


class Part(StrEnum):
    """What is marked: the scale, or a part of the animal."""

    SCALE = "scale"
    HEAD_WIDTH = "head width"
    HEAD_LENGTH = "head length"
    BODY = "body line"


TRAITS = {
    Part.HEAD_WIDTH: Trait.HEAD_WIDTH,
    Part.HEAD_LENGTH: Trait.HEAD_LENGTH,
    Part.BODY: Trait.SNOUT_VENT_LENGTH,
}
"""What a part of the animal is a measurement of."""


@dataclass(frozen=True, slots=True)
class Trace:
    """One marking of one part.

    Parameters
    ----------
    points : tuple of (float, float)
        Marks in pixels of the photo, in order.
    step : float
        Pixels of the photo that one step of the pointer moved: marks cannot be finer than this. 1 or less where the
        photo was shown at full size.
    """

    points: tuple[Point, ...]
    step: float = 1.0

    @property
    def pointing_sd(self) -> float:
        """Stray of a mark along each axis, in pixels."""
        return math.hypot(POINTING_SD_PX, max(0.0, self.step - 1.0))
