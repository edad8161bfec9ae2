from __future__ import annotations

import numpy as np
import pytest
from tests.outside.size_sparse.drawn import model, relationships

from holdback.descent.pedigree import Pedigree
from holdback.errors import SizeError
from holdback.size.sparse.model import AnimalModel

NONE = np.zeros(0)


def one_record(pedigree: Pedigree) -> AnimalModel:
    return AnimalModel.of(
        pedigree, animals=np.array([0]), groups=np.array([0]), values=np.array([1.0]), weights=np.array([1.0])
    )


def test_of__refuses_an_animal_without_a_sire() -> None:
    alone = Pedigree.from_parents({"D": (None, None), "K": ("D", "D")})
    with pytest.raises(SizeError, match=r"SIZ-220 field pedigree: .* several possible sires, or without a sire"):
        one_record(alone)


def test_of_parents__refuses_an_animal_on_both_sides() -> None:
    with pytest.raises(SizeError, match="SIZ-220 field parents: An animal stands both as a sire and as a dam"):
        AnimalModel.of_parents(
            np.array([[-1, -1], [-1, -1], [0, 1], [1, 0]], dtype=np.int32),
            np.zeros(4),
            animals=np.array([0]),
            groups=np.array([0]),
            values=np.array([1.0]),
        )


@pytest.mark.parametrize(
    "animals, groups, values, weights, what",
    [
        ([], [], [], [], "differ in number, or are none"),
        ([0], [0, 0], [1.0], [1.0], "differ in number, or are none"),
        ([2], [0], [1.0], [1.0], "an animal that the pedigree does not have"),
        ([-1], [0], [1.0], [1.0], "an animal that the pedigree does not have"),
        ([0, 1], [0, 2], [1.0, 1.0], [1.0, 1.0], "a group number is negative, or has no record"),
        ([0], [-1], [1.0], [1.0], "a group number is negative, or has no record"),
        ([0], [0], [np.nan], [1.0], "a value is no number, or a weight is not above 0"),
        ([0], [0], [1.0], [0.0], "a value is no number, or a weight is not above 0"),
    ],
)
def test_of__refuses_records_that_cannot_be(
    animals: list[int], groups: list[int], values: list[float], weights: list[float], what: str
) -> None:
    with pytest.raises(SizeError, match=f"(?i)SIZ-222 field records: .*{what}"):
        AnimalModel.of(
            Pedigree.from_parents({"S": (None, None), "D": (None, None)}),
            animals=np.array(animals, dtype=np.int64),
            groups=np.array(groups, dtype=np.int64),
            values=np.array(values),
            weights=np.array(weights),
        )


def test_inverse_form__is_that_of_the_dense_inverse() -> None:
    given = model(40, 1)
    first, second = np.random.default_rng(np.random.SeedSequence([22, 1])).standard_normal((2, given.n))
    dense = first @ np.linalg.inv(relationships(given)) @ second
    assert given.inverse_form(first, second) == pytest.approx(dense, rel=1e-10)
    back = given.handed_back(given.mendelian_parts(second) / given.mendelian)
    assert first @ back == pytest.approx(dense, rel=1e-10)
