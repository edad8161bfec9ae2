"""Chromosomes as the descent of a line sees them: map lengths, parts of the DNA, how unsure the map is."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from holdback.collection.estimate import Basis
from holdback.errors import Fault, SpeciesError
from holdback.species.model import Mark

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

SCALE_WEIGHTS = (0.25, 0.5, 0.25)
"""Weights of the short, the stated and the long map wherever a spread is averaged over the doubt about the map."""


@dataclass(frozen=True, slots=True)
class GenomeMap:
    """Pairs of chromosomes without interference between crossovers (Haldane 1919).

    Parameters
    ----------
    lengths : tuple of float
        Map length of each pair in Morgan, above 0.
    weights : tuple of float
        Part of the DNA on each pair, summing to 1.
    scale_low, scale_high : float
        Factors of all lengths at the short and the long end of what the map may be; ``scale_low <= 1 <= scale_high``.
    basis : Basis
        How the map is known.
    ground : str
        One sentence on that.

    Examples
    --------
    >>> GenomeMap.equal(18, 1.0).scaled(0.5).lengths[:2]
    (0.5, 0.5)
    """

    lengths: tuple[float, ...]
    weights: tuple[float, ...]
    scale_low: float = 1.0
    scale_high: float = 1.0
    basis: Basis = Basis.ASSUMED
    ground: str = ""

    def __post_init__(self) -> None:
        """Refuse lengths and weights that are no genome."""
        if not self.lengths or len(self.lengths) != len(self.weights):
            raise ValueError(f"{len(self.lengths)} lengths and {len(self.weights)} weights make no genome")
        if min(self.lengths) <= 0 or min(self.weights) <= 0 or abs(math.fsum(self.weights) - 1.0) > 1e-9:
            raise ValueError("lengths and weights of chromosomes must be above 0, and the weights must sum to 1")
        if not 0 < self.scale_low <= 1.0 <= self.scale_high:
            raise ValueError(f"scales {self.scale_low:g} and {self.scale_high:g} do not hold 1 between them")

    @classmethod
    def from_catalogue(cls, catalogue: Catalogue) -> GenomeMap:
        """Genome that a species file states.

        Parameters
        ----------
        catalogue : Catalogue
            The species.

        Raises
        ------
        SpeciesError
            SPE-036 if the file gives no chromosomes.
        """
        pairs = catalogue.chromosome_pairs
        if not pairs:
            hint = "Add map_length_morgan under [chromosomes] and a [[chromosome]] row for each pair."
            raise SpeciesError(Fault("SPE-036", f"{catalogue.name} has no chromosomes on file.", hint))
        whole = catalogue.chromosomes["map_length_morgan"]
        stretch = whole.value / math.fsum(pair.morgan for pair in pairs)
        dna = math.fsum(pair.dna_mb for pair in pairs)
        is_published = whole.mark is Mark.PUBLISHED and all(pair.mark is Mark.PUBLISHED for pair in pairs)
        return cls(
            tuple(pair.morgan * stretch for pair in pairs),
            tuple(pair.dna_mb / dna for pair in pairs),
            whole.low / whole.value,
            whole.high / whole.value,
            Basis.MEASURED if is_published else Basis.ASSUMED,
            f"{len(pairs)} pairs of chromosomes with {whole.value:g} Morgan in all, "
            f"from {whole.low:g} to {whole.high:g} ({whole.mark}).",
        )

    @classmethod
    def equal(cls, pairs: int, morgan: float) -> GenomeMap:
        """Genome of equal chromosomes of a known length in Morgan."""
        return cls(
            (float(morgan),) * pairs, (1.0 / pairs,) * pairs, ground=f"{pairs} equal pairs of {morgan:g} Morgan."
        )

    def scaled(self, factor: float) -> GenomeMap:
        """The same chromosomes with all map lengths times a factor, and no doubt about them left."""
        return replace(self, lengths=tuple(one * factor for one in self.lengths), scale_low=1.0, scale_high=1.0)

    @property
    def scales(self) -> tuple[tuple[float, float], ...]:
        """Factors of the map with their weights; one where the map is certain."""
        if self.scale_low == self.scale_high == 1.0:
            return ((1.0, 1.0),)
        return tuple(zip((self.scale_low, 1.0, self.scale_high), SCALE_WEIGHTS, strict=True))

    @property
    def total_morgan(self) -> float:
        """Length of the whole map in Morgan."""
        return math.fsum(self.lengths)

    @property
    def linked(self) -> float:
        """Chance that two random places of the DNA share a chromosome."""
        return math.fsum(one * one for one in self.weights)
