"""Kinship, inbreeding and the inverse against sgkit, version and call in ``descent_sgkit.json``.

sgkit pins older versions of what this project uses, so its numbers were made apart and are kept here; the pedigrees are
random. Young without a sire are compared at h = 1/2, which is selfing. It knows no doubtful sires: there it gave one
table for each assignment of sires to broods, and ours is their mean.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from holdback.descent.kinship import inbreeding, kinship
from holdback.descent.pedigree import Draft, Pedigree, assembled
from holdback.descent.relationship_inverse import relationship_inverse
from holdback.descent.walk import inbreeding_by_walk

pytestmark = pytest.mark.outside

SGKIT: dict[str, Any] = json.loads(Path(__file__).with_name("descent_sgkit.json").read_text("utf-8"))

EXACT = 1e-12
"""Its kinships are sums of powers of two and kept in full."""

ROUNDED = 1e-9
"""Its inverse is kept to twelve decimals, with entries up to some hundreds."""


def name(animal: int) -> str | None:
    return None if animal < 0 else f"a{animal}"


def pedigree_of(case: dict[str, Any]) -> tuple[Pedigree, list[int]]:
    """Pedigree, and where the animals of the case stand in it."""
    parents = {f"a{number}": (name(sire), name(dam)) for number, (sire, dam) in enumerate(case["parents"])}
    pedigree = assembled(Draft(parents, {}), {}, 0.5)
    return pedigree, [pedigree.index[one] for one in parents]


def whole(triangle: list[list[float]]) -> npt.NDArray[np.float64]:
    """The symmetric matrix of its lower triangle."""
    n = len(triangle)
    found = np.zeros((n, n))
    for row, values in enumerate(triangle):
        found[row, : row + 1] = found[: row + 1, row] = values
    return found


@pytest.mark.parametrize("case", SGKIT["cases"], ids=lambda case: case["name"])
def test_kinship__equals_that_of_sgkit(case: dict[str, Any]) -> None:
    pedigree, places = pedigree_of(case)
    np.testing.assert_allclose(kinship(pedigree, places), whole(case["kinship"]), rtol=0, atol=EXACT)


@pytest.mark.parametrize("case", SGKIT["cases"], ids=lambda case: case["name"])
def test_inbreeding__equals_that_of_sgkit(case: dict[str, Any]) -> None:
    pedigree, places = pedigree_of(case)
    np.testing.assert_allclose(inbreeding(pedigree)[places], case["inbreeding"], rtol=0, atol=EXACT)
    np.testing.assert_allclose(inbreeding_by_walk(pedigree)[places], case["inbreeding"], rtol=0, atol=EXACT)


@pytest.mark.parametrize("case", SGKIT["cases"], ids=lambda case: case["name"])
def test_relationship_inverse__is_half_the_inverse_kinship_of_sgkit(case: dict[str, Any]) -> None:
    pedigree, places = pedigree_of(case)
    found = relationship_inverse(pedigree).dense()[np.ix_(places, places)]
    np.testing.assert_allclose(2.0 * found, whole(case["inverse_kinship"]), rtol=0, atol=ROUNDED)


def doubtful() -> tuple[Pedigree, list[int], npt.NDArray[np.float64]]:
    """The pedigree with doubtful sires, where its animals stand, and the chance of each assignment."""
    case = SGKIT["doubtful"]
    draft = Draft({f"a{animal}": (None, None) for animal in range(case["animals"])}, {})
    for animal, (sire, dam) in case["certain"].items():
        draft.parents[f"a{animal}"] = (name(sire), name(dam))
    chance = {}
    for number, brood in enumerate(case["broods"]):
        node = f"?which {number}"
        draft.parents[node] = (None, None)
        draft.candidates[node] = tuple((f"a{sire}", weight) for sire, weight in brood["sires"])
        for young in brood["young"]:
            draft.parents[f"a{young}"] = (node, name(brood["dam"]))
        chance.update({(number, sire): weight for sire, weight in brood["sires"]})
    pedigree = assembled(draft, {}, 0.5)
    weights = [
        float(np.prod([chance[number, sire] for number, sire in enumerate(assignment["sires"])]))
        for assignment in case["assignments"]
    ]
    return pedigree, [pedigree.index[f"a{animal}"] for animal in range(case["animals"])], np.array(weights)


def test_kinship__with_doubtful_sires_is_the_mean_of_sgkits_assignments() -> None:
    pedigree, places, weights = doubtful()
    assert weights.sum() == pytest.approx(1.0, abs=EXACT)
    tables = [whole(one["kinship"]) for one in SGKIT["doubtful"]["assignments"]]
    expected = np.tensordot(weights, np.array(tables), 1)
    np.testing.assert_allclose(kinship(pedigree, places), expected, rtol=0, atol=EXACT)


def test_inbreeding__with_doubtful_sires_is_the_mean_of_sgkits_assignments() -> None:
    pedigree, places, weights = doubtful()
    expected = weights @ np.array([one["inbreeding"] for one in SGKIT["doubtful"]["assignments"]])
    np.testing.assert_allclose(inbreeding(pedigree)[places], expected, rtol=0, atol=EXACT)
    np.testing.assert_allclose(inbreeding_by_walk(pedigree)[places], expected, rtol=0, atol=EXACT)
