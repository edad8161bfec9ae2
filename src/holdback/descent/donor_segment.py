"""How much of a donor's chromosome stays around a gene that is carried along through backcrosses.

On each side of the gene the first crossover in t meioses ends the stretch: an exponential distance of rate t a Morgan,
cut off at the end of the chromosome (Stam & Zeven 1981, Euphytica 30:227). The expected 32 cM in the middle of 100 cM
after six backcrosses is that of Frisch & Melchinger (2001).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

_HALVINGS = 60


@dataclass(frozen=True, slots=True)
class DonorSegment:
    """Unbroken stretch of the donor around a carried gene.

    Parameters
    ----------
    backcrosses : int
        t: meioses in carriers after the first cross, at least 1.
    left, right : float
        Morgans from the gene to both ends of the chromosome, at least 0 and not both 0.

    Examples
    --------
    >>> round(DonorSegment(6, 0.5, 0.5).mean, 4)
    0.3167
    """

    backcrosses: int
    left: float
    right: float

    def __post_init__(self) -> None:
        """Refuse what is no backcross or no chromosome."""
        if self.backcrosses < 1:
            raise ValueError(f"{self.backcrosses} backcrosses leave the whole chromosome; give at least 1")
        if min(self.left, self.right) < 0 or self.left + self.right <= 0:
            raise ValueError(f"a gene {self.left:g} and {self.right:g} Morgan from the ends lies on no chromosome")

    @classmethod
    def at(cls, backcrosses: int, *, morgan: float, position: float) -> DonorSegment:
        """Stretch around a gene at a position on a chromosome, both in Morgan."""
        return cls(backcrosses, position, morgan - position)

    @property
    def morgan(self) -> float:
        """Length of the chromosome."""
        return self.left + self.right

    @property
    def mean(self) -> float:
        """Expected length in Morgan."""
        t = self.backcrosses
        return math.fsum(-math.expm1(-t * side) / t for side in (self.left, self.right))

    @property
    def sd(self) -> float:
        """Standard deviation of the length in Morgan."""
        t = self.backcrosses
        variance = 0.0
        for side in (self.left, self.right):
            second = 2 * (1 - math.exp(-t * side) * (1 + t * side)) / t**2
            variance += second - (-math.expm1(-t * side) / t) ** 2
        return math.sqrt(max(variance, 0.0))

    @property
    def whole(self) -> float:
        """Chance that the chromosome came through unbroken."""
        return math.exp(-self.backcrosses * self.morgan)

    def up_to(self, length: float) -> float:
        """Chance of a stretch of at most that many Morgan."""
        if length < 0:
            return 0.0
        t, slack = self.backcrosses, 1e-12
        upper = min(self.left, length)
        # To the left the stretch has s: up to `free` the right side may reach the end of the chromosome.
        free = min(max(length - self.right, 0.0), upper)
        chance = -math.expm1(-t * free)
        chance += math.exp(-t * free) - math.exp(-t * upper) - t * math.exp(-t * length) * (upper - free)
        if length >= self.left - slack:
            rest = length - self.left
            chance += math.exp(-t * self.left) * (
                1.0 if rest >= self.right - slack else -math.expm1(-t * max(rest, 0.0))
            )
        return min(max(chance, 0.0), 1.0)

    def quantile(self, q: float) -> float:
        """Least length in Morgan with a chance of at least q up to it; q in (0, 1)."""
        low, high = 0.0, self.morgan
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (low, middle) if self.up_to(middle) >= q else (middle, high)
        return high

    @property
    def chromosome_share(self) -> float:
        """Expected part of the carried chromosome that is the donor's, pieces apart from the gene included.

        Notes
        -----
        At distance d it is the donor's with the chance ((1 + exp(-2 d)) / 2)^t, averaged over the chromosome.
        """
        t = self.backcrosses
        total = 0.0
        for k in range(t + 1):
            along = [side if k == 0 else -math.expm1(-2 * k * side) / (2 * k) for side in (self.left, self.right)]
            total += math.comb(t, k) / 2**t * math.fsum(along)
        return total / self.morgan
