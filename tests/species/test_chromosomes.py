"""Pairs of chromosomes of a species: what ships, what a keeper changes, what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from holdback.collection.estimate import Basis
from holdback.descent.genome import GenomeMap
from holdback.errors import SpeciesError
from holdback.species import Catalogue, load
from holdback.species.model import Mark

ROW: dict[str, Any] = {"name": "1", "morgan": 2.0, "dna_mb": 300}
OTHER: dict[str, Any] = {"name": "2", "morgan": 1.0, "dna_mb": 100}
WHOLE: dict[str, Any] = {"map_length_morgan": {"value": 6, "low": 3, "high": 12, "mark": "published"}}
BARE: dict[str, Any] = {
    "format": 1,
    "key": "bare",
    "name": "Exemplum nudum",
    "common_name": "bare snake",
    "sex_system": "XY",
    "allele": {"ash": {"inheritance": "recessive"}},
}


def _with(rows: list[Any], whole: dict[str, Any]) -> Catalogue:
    return Catalogue.from_tables({**BARE, "chromosome": rows, "chromosomes": whole})


@pytest.mark.parametrize("species", ["python_regius", "pantherophis_guttatus"])
def test_chromosome_pairs__eighteen_pairs_marked_as_not_measured(species: str) -> None:
    """2n = 36 (common practice in the literature, from memory); the lengths are a guess and say so."""
    catalogue = load(species)
    assert 2 * len(catalogue.chromosome_pairs) == catalogue.chromosomes["number"].value
    assert {pair.mark for pair in catalogue.chromosome_pairs} == {Mark.MEMORY}
    assert all("guess" in pair.note for pair in catalogue.chromosome_pairs)


def test_from_catalogue__the_python() -> None:
    """Lengths of the guess: 8 large pairs of 0.7 to 2.2 Morgan, 10 small of 0.5; 14.45 in all, from 9 to 25."""
    genome = GenomeMap.from_catalogue(load())
    assert genome.lengths == pytest.approx((2.2, 1.6, 1.4, 1.1, 0.9, 0.8, 0.75, 0.7) + (0.5,) * 10, rel=1e-12)
    assert genome.weights[0] == pytest.approx(305 / 1420)
    assert (genome.scale_low * 14.45, genome.scale_high * 14.45) == pytest.approx((9, 25))
    assert genome.basis is Basis.ASSUMED
    assert "14.45 Morgan" in genome.ground


def test_from_catalogue__rows_are_scaled_to_the_whole_map() -> None:
    genome = GenomeMap.from_catalogue(_with([ROW, OTHER], WHOLE))
    assert genome.lengths == pytest.approx((4.0, 2.0))
    assert genome.weights == pytest.approx((0.75, 0.25))
    assert genome.total_morgan == pytest.approx(6.0)
    assert genome.linked == pytest.approx(0.75**2 + 0.25**2)
    assert genome.scales == ((0.5, 0.25), (1.0, 0.5), (2.0, 0.25))
    assert genome.scaled(0.5).scales == ((1.0, 1.0),)


def test_from_catalogue__published_only_where_everything_is() -> None:
    published = [{**ROW, "mark": "published"}, {**OTHER, "mark": "published"}]
    assert GenomeMap.from_catalogue(_with(published, WHOLE)).basis is Basis.MEASURED
    assert GenomeMap.from_catalogue(_with([*published, {**OTHER, "name": "3"}], WHOLE)).basis is Basis.ASSUMED


def test_from_catalogue__a_species_without_chromosomes() -> None:
    with pytest.raises(SpeciesError, match="Exemplum nudum has no chromosomes on file") as caught:
        GenomeMap.from_catalogue(Catalogue.from_tables(BARE))
    assert caught.value.faults[0].code == "SPE-036"


def test_changed__a_row_is_replaced_by_its_name() -> None:
    changed = load().changed({"chromosome": [{"name": "3", "morgan": 1.9, "dna_mb": 200}]})
    found = {pair.name: pair for pair in changed.chromosome_pairs}
    assert (len(found), found["3"].morgan, found["3"].mark) == (18, 1.9, Mark.OWN)


@pytest.mark.parametrize(
    "rows, whole, code, field",
    [
        ([], WHOLE, "SPE-035", "chromosome"),
        ([ROW], {}, "SPE-035", "chromosome"),
        ([ROW, ROW], WHOLE, "SPE-035", "chromosome.name"),
        ([{**ROW, "morgan": 0}], WHOLE, "SPE-013", "chromosome.1.morgan"),
        ([{**ROW, "dna_mb": -3}], WHOLE, "SPE-013", "chromosome.1.dna_mb"),
        ([{"name": "1", "dna_mb": 3}], WHOLE, "SPE-010", "chromosome.1.morgan"),
        ([{"morgan": 1.0, "dna_mb": 3}], WHOLE, "SPE-010", "chromosome.name"),
        ([{**ROW, "arm": "long"}], WHOLE, "SPE-011", "chromosome.1.arm"),
        ([ROW], {"map_length_morgan": {"value": 6, "low": 0, "high": 9}}, "SPE-013", "chromosomes.map_length_morgan"),
    ],
)
def test_from_tables__what_is_refused(rows: list[Any], whole: dict[str, Any], code: str, field: str) -> None:
    with pytest.raises(SpeciesError) as caught:
        _with(rows, whole)
    assert (code, field) in [(fault.code, fault.field) for fault in caught.value.faults]


@pytest.mark.parametrize(
    "lengths, weights, low, message",
    [
        ((), (), 1.0, "0 lengths and 0 weights make no genome"),
        ((1.0, 0.0), (0.5, 0.5), 1.0, "must be above 0"),
        ((1.0, 1.0), (0.5, 0.4), 1.0, "must sum to 1"),
        ((1.0,), (1.0,), 1.5, "do not hold 1 between them"),
    ],
)
def test_genome_map__what_is_no_genome(
    lengths: tuple[float, ...], weights: tuple[float, ...], low: float, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        GenomeMap(lengths, weights, low, 1.0)
