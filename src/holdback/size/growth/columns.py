"""The coefficients of the growth model: what each column is, and what is assumed of it before any weight is seen.

All assumptions are from memory, in the absence of a published one; each stands beside its prior standard deviation and
gives way to the records.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Trait
from holdback.size.growth.data import HEADS, GrowthData

FloatArray = npt.NDArray[np.float64]

ADULT_SD = 1.0
LINE_EFFECT_SD = 0.5
ROOM_SD = 0.15
"""Of the effect of a room or of another way of growing up on adult log mass."""
SHOWN, SHOWN_SD = 0.35, 0.25
"""Part of the adult deviation that shows at hatching."""
HELD_SD = 1e-4
"""A coefficient that is sought outside of the equations is held in them by so little."""
CENTRE = float(np.log(1500.0))
"""Log mass at which lengths and heads are compared."""
OWN = ("adult", "hatching", "rate", "born", "sex")
"""What each animal has of its own: adult deviation, hatching deviation, growth rate, day of hatching, unknown sex."""


@dataclass(frozen=True, eq=False)
class Columns:
    """Places of the coefficients: the common ones, then g (the genetic part of the animal) and c (its clutch).

    Parameters
    ----------
    names : tuple of str
        Common coefficients.
    means, sds : float array, shape (n_common,)
        Prior means and standard deviations.
    n_lines, n_rooms : int
        Lines and rooms.
    traits : tuple of Trait
        Traits with a reading, mass first.
    """

    names: tuple[str, ...]
    means: FloatArray
    sds: FloatArray
    n_lines: int
    n_rooms: int
    traits: tuple[Trait, ...]

    @classmethod
    def of(cls, data: GrowthData) -> Columns:
        """Columns for some data."""
        found: list[tuple[str, float, float]] = [
            ("adult female", float(np.log(1600.0)), ADULT_SD),
            ("adult male", float(np.log(1300.0)), ADULT_SD),
            ("hatching", float(np.log(65.0)), 0.5),
            ("rate female", float(np.log(1.2)), 0.8),
            ("rate male", float(np.log(1.2)), 0.8),
            ("shown at hatching", SHOWN, HELD_SD),
            ("shape", 0.2, 0.4),
            ("egg", 0.7, 0.3),
            *((f"line {line}", 0.0, LINE_EFFECT_SD) for line in data.lines),
            *((f"room {room}", 0.0, ROOM_SD) for room in data.rooms),
        ]
        for trait in data.traits[1:]:
            found += [(f"{trait} female", 0.0, 5.0), (f"{trait} male", 0.0, 5.0), (f"{trait} slope", 1 / 3, 0.05)]
            if trait in HEADS:
                found += [(f"{trait} line {line}", 0.0, 0.1) for line in data.lines]
        names, means, sds = zip(*found, strict=True)
        return cls(names, np.array(means), np.array(sds), len(data.lines), len(data.rooms), data.traits)

    @cached_property
    def place(self) -> dict[str, int]:
        """Column of each common coefficient."""
        return {name: number for number, name in enumerate(self.names)}

    @property
    def shown(self) -> float:
        """Part of the adult deviation that shows at hatching, as held; see `shown_step`."""
        return float(self.means[self.place["shown at hatching"]])

    def with_shown(self, part: float) -> Columns:
        """The same with another part that shows at hatching."""
        means = self.means.copy()
        means[self.place["shown at hatching"]] = part
        return replace(self, means=means)

    @property
    def n_common(self) -> int:
        """Common coefficients."""
        return len(self.names)

    @property
    def n_shared(self) -> int:
        """Common coefficients, g and c."""
        return self.n_common + 2

    @property
    def n_own(self) -> int:
        """Coefficients that each animal has of its own."""
        return len(OWN) + len(self.traits) - 1

    @property
    def lines(self) -> slice:
        """Columns of the line effects."""
        return slice(self.place["egg"] + 1, self.place["egg"] + 1 + self.n_lines)

    @property
    def rooms(self) -> slice:
        """Columns of the rooms."""
        return slice(self.lines.stop, self.lines.stop + self.n_rooms)
