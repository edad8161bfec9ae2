"""Printed values of relationship, inbreeding and the inverse; sources are in ``descent_published.json``."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from holdback.descent.kinship import inbreeding, relationship
from holdback.descent.pedigree import Pedigree
from holdback.descent.relationship_inverse import inverse_product, mendelian_variances, relationship_inverse
from holdback.descent.walk import inbreeding_by_walk

pytestmark = pytest.mark.outside

PUBLISHED: dict[str, Any] = json.loads(Path(__file__).with_name("descent_published.json").read_text("utf-8"))
MRODE, EIGHT, SYSTEMS = PUBLISHED["mrode"], PUBLISHED["eight"], PUBLISHED["systems"]

EXACT = 1e-12

PRINTED = 5e-5
"""Half of the last of four figures printed, and a rounding."""

Parents = Mapping[str, tuple[str | None, str | None]]


def placed(parents: Parents, animals: str, *, kept: float = 0.5) -> tuple[Pedigree, list[int]]:
    pedigree = Pedigree.from_parents(parents, kept=kept)
    return pedigree, [pedigree.index[one] for one in animals.split()]


def inbreeding_of(parents: Parents, animals: list[str]) -> list[float]:
    """By the table, equal to the walk."""
    pedigree = Pedigree.from_parents(parents, kept=0.5)
    found = inbreeding(pedigree)
    np.testing.assert_allclose(inbreeding_by_walk(pedigree), found, rtol=0, atol=EXACT)
    return [float(found[pedigree.index[one]]) for one in animals]


def test_relationship__mrode() -> None:
    pedigree, order = placed(MRODE["parents"], "1 2 3 4 5 6")
    for animal, row in MRODE["relationship_rows"].items():
        np.testing.assert_allclose(relationship(pedigree)[pedigree.index[animal], order], row, rtol=0, atol=EXACT)
    np.testing.assert_allclose(inbreeding(pedigree)[order], MRODE["inbreeding"], rtol=0, atol=EXACT)


def test_relationship_inverse__mrode() -> None:
    pedigree, order = placed(MRODE["parents"], "1 2 3 4 5 6")
    variances = mendelian_variances(pedigree, inbreeding(pedigree))
    np.testing.assert_allclose(variances[order], MRODE["mendelian_variances"], rtol=0, atol=EXACT)
    places = np.ix_(order, order)
    found = relationship_inverse(pedigree).dense()[places]
    np.testing.assert_allclose(found, MRODE["inverse"], rtol=0, atol=PRINTED)
    np.testing.assert_allclose(inverse_product(pedigree, np.eye(6))[places], MRODE["inverse"], rtol=0, atol=PRINTED)


def test_relationship_inverse__mrode_ignoring_inbreeding() -> None:
    pedigree, order = placed(MRODE["parents"], "1 2 3 4 5 6")
    ignored = dict(MRODE["inverse_ignoring_inbreeding"])
    expected = [[ignored.get(value, value) for value in row] for row in MRODE["inverse"]]
    found = relationship_inverse(pedigree, inbreeding=np.zeros(6)).dense()[np.ix_(order, order)]
    np.testing.assert_allclose(found, expected, rtol=0, atol=PRINTED)


def test_relationship__eight_animals() -> None:
    pedigree, order = placed(EIGHT["parents"], "1 2 3 4 5 6 7 8")
    table, inverse = relationship(pedigree), relationship_inverse(pedigree).dense()
    for one, other, value in EIGHT["relationship"]:
        assert table[pedigree.index[one], pedigree.index[other]] == pytest.approx(value, abs=EXACT)
    for one, other, value in EIGHT["inverse"]:
        assert inverse[pedigree.index[one], pedigree.index[other]] == pytest.approx(value, abs=EXACT)
    np.testing.assert_allclose(inverse.diagonal()[order], EIGHT["inverse_diagonal"], rtol=0, atol=EXACT)


def test_inbreeding__repeated_full_sibs() -> None:
    parents: dict[str, tuple[str | None, str | None]] = {}
    n_generations = len(SYSTEMS["full sibs"])
    for number in range(1, n_generations + 1):
        before = (f"m{number - 1}", f"f{number - 1}")
        parents |= {f"m{number}": before, f"f{number}": before}
    found = inbreeding_of(parents, [f"m{number}" for number in range(1, n_generations + 1)])
    np.testing.assert_allclose(found, SYSTEMS["full sibs"], rtol=0, atol=PRINTED)


def test_inbreeding__repeated_half_sibs() -> None:
    """One male in each generation with females that are all half sisters of each other and of him."""
    expected = SYSTEMS["half sibs"]
    width = len(expected) + 3
    parents: dict[str, tuple[str | None, str | None]] = {f"f1 {place}": ("m0", f"e{place}") for place in range(width)}
    parents["m1"] = ("m0", "e")
    for generation in range(2, len(expected) + 2):
        width -= 1
        before = f"m{generation - 1}"
        parents[f"m{generation}"] = (before, f"f{generation - 1} {width}")
        parents |= {f"f{generation} {place}": (before, f"f{generation - 1} {place}") for place in range(width)}
    found = inbreeding_of(parents, [f"m{generation}" for generation in range(2, len(expected) + 2)])
    np.testing.assert_allclose(found, expected, rtol=0, atol=PRINTED)


def test_inbreeding__repeated_backcross_to_one_parent() -> None:
    parents: dict[str, tuple[str | None, str | None]] = {"b0": ("P", "D")}
    parents |= {f"b{number}": ("P", f"b{number - 1}") for number in range(1, 6)}
    found = inbreeding_of(parents, [f"b{number}" for number in range(1, 6)])
    np.testing.assert_allclose(found, SYSTEMS["backcross"], rtol=0, atol=PRINTED)


def test_inbreeding__repeated_selfing() -> None:
    """Young without a sire that keep two different copies with chance 1/2."""
    parents = {f"s{number}": (f"s{number - 1}", f"s{number - 1}") for number in range(1, 5)}
    assert inbreeding_of(parents, [f"s{number}" for number in range(1, 5)]) == SYSTEMS["selfing"]


def test_inbreeding__roan_gauntlet() -> None:
    case = PUBLISHED["roan_gauntlet"]
    assert inbreeding_of(case["parents"], ["Roan Gauntlet"]) == [case["inbreeding"]]
