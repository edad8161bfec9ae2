"""True sizes: a growth curve with an adult mass from genes, keeping and chance, and what a scale showed of it."""

from __future__ import annotations

import datetime as dt
import math

from barn import Barn, Snake
from chance import Chance
from plan import ANCHORS

ADULT_G = {"female": 1950.0, "male": 1250.0}
"""Ordinary adult mass that the curve levels out at (common practice, no source: 1,500-3,000 and 900-1,700)."""
GROWTH_PER_YEAR = 0.68
"""Takes an ordinary female to about 550 g in a year and 1,500 g in three (common practice, no source)."""
ENVIRONMENT_SD = 0.07


class Sizes:
    """Masses of all animals on any day."""

    def __init__(self, barn: Barn) -> None:
        self._barn = barn
        self._layings: dict[str, list[dt.date]] = {}
        for nest in barn.nests.values():
            self._layings.setdefault(nest.plan.dam, []).append(nest.plan.laid)
        self._layings.setdefault("17-02", []).append(dt.date(2026, 4, 2))
        self._layings.setdefault("21-03", []).append(dt.date(2026, 4, 30))
        self.environment = {snake.id: self._environment(snake) for snake in barn.snakes.values()}

    def _environment(self, snake: Snake) -> float:
        """What keeping and chance add to the logarithm of adult mass; set by the story for a few animals."""
        drawn = Chance("environment", snake.id).normal(0.0, ENVIRONMENT_SD)
        if snake.id not in ANCHORS:
            return drawn
        day, mass = ANCHORS[snake.id]
        low, high = -2.0, 2.0
        for _ in range(60):
            drawn = (low + high) / 2
            if self._mass(snake, day, drawn) < mass:
                low = drawn
            else:
                high = drawn
        return drawn

    def adult(self, snake: Snake) -> float:
        """Mass in gram that the animal levels out at."""
        return self._adult(snake, self.environment[snake.id])

    @staticmethod
    def _adult(snake: Snake, environment: float) -> float:
        return ADULT_G[snake.genome.sex] * math.exp(snake.genome.size + environment)

    def mass(self, snake: Snake, day: dt.date) -> float:
        """Empty mass in gram on a day."""
        return self._mass(snake, day, self.environment[snake.id])

    def _mass(self, snake: Snake, day: dt.date, environment: float) -> float:
        """Bertalanffy curve in mass, from the hatchling's mass to the adult's, less what laying took."""
        adult = self._adult(snake, environment)
        start = (0.69 * snake.egg_mass / adult) ** (1 / 3)
        years = max((day - snake.hatched).days, 0) / 365.25
        grown: float = adult * (1 - (1 - start) * math.exp(-GROWTH_PER_YEAR * years)) ** 3
        for laid in self._layings.get(snake.id, []):
            since = (day - laid).days
            if 0 <= since < 700:
                grown *= 1 - 0.33 * math.exp(-since / 100)
        return grown

    def is_gravid(self, snake: Snake, day: dt.date) -> bool:
        """Whether eggs were in her on a day."""
        return any(0 < (laid - day).days < 50 for laid in self._layings.get(snake.id, []))

    def length_cm(self, snake: Snake, day: dt.date) -> float:
        """Snout to vent, in cm: as a wild female of 116.2 cm and 1,635 g, scaled by mass."""
        lean = 1 + Chance("build", snake.id).normal(0.0, 0.015)
        length: float = 116.2 * (self.mass(snake, day) / 1635) ** (1 / 3) * lean
        return length
