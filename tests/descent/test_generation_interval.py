"""Generation intervals by hand."""

from __future__ import annotations

import pytest

from holdback.collection.model import Sex
from holdback.descent.generation_interval import generation_interval
from holdback.descent.pedigree import Draft, Pedigree, assembled

BORN = {"S": 2010.0, "D": 2012.0, "son": 2015.0, "daughter": 2016.0, "K": 2020.0, "L": 2021.0}
PARENTS = {"son": ("S", "D"), "daughter": ("S", "D"), "K": ("son", "daughter"), "L": ("son", "daughter")}


def test_generation_interval__four_paths() -> None:
    found = generation_interval(Pedigree.from_parents(PARENTS, born=BORN))
    assert {path: one.mean for path, one in found.paths.items()} == {
        "sire to son": 5,
        "sire to daughter": 6,
        "dam to son": 3,
        "dam to daughter": 4,
    }
    assert (found.mean, found.pooled.n, found.pooled.mean) == (4.5, 4, 4.5)
    assert found.pooled.sd == pytest.approx((5 / 3) ** 0.5)


def test_generation_interval__all_young_of_unknown_sex_are_pooled() -> None:
    found = generation_interval(Pedigree.from_parents(PARENTS, born=BORN), only_parents=False)
    assert (found.pooled.n, found.pooled.mean) == (8, 4.75)
    assert [one.n for one in found.paths.values()] == [1, 1, 1, 1]
    assert found.paths["sire to son"].sd is None


def test_generation_interval__what_cannot_be_said_is_counted() -> None:
    draft = Draft(dict.fromkeys(("A", "B", "D", "?which"), (None, None)), {"L": Sex.FEMALE}, {"?which"})
    draft.candidates["?which"] = (("A", 0.5), ("B", 0.5))
    draft.parents |= {"K": ("?which", "D"), "L": ("D", "D"), "M": ("A", None)}
    found = generation_interval(assembled(draft, {"D": 2015.0, "L": 2019.5}, 0.3), only_parents=False)
    assert (found.undated, found.doubtful, found.mean) == (2, 1, None)
    assert (found.pooled.n, found.paths["dam to daughter"].mean) == (1, 4.5)
