"""Parts and units that were worked out exactly, and recombination fractions that are known."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from unittest.mock import patch

from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.recombination_grid import AUTOSOMAL, Grid
from holdback.heredity.beliefs.unit import Part, Unit
from holdback.species.model import SexLinkage


def exact_unit(beliefs: Beliefs, animal: str) -> Unit:
    """Part of the pedigree that an animal belongs to."""
    unit = beliefs.unit_of(animal)
    assert isinstance(unit, Unit)
    return unit


def exact_part(beliefs: Beliefs, animal: str, locus: str) -> Part:
    """Beliefs of that part at one locus."""
    return exact_unit(beliefs, animal).part(locus)


@contextmanager
def recombination(grid: Grid) -> Iterator[None]:
    """Sex-linked loci with these recombination fractions, whatever is on file."""

    def of(linkage: SexLinkage | None) -> Grid:
        return grid if linkage else AUTOSOMAL

    with patch("holdback.heredity.beliefs.inference.grid_of", of):
        yield
