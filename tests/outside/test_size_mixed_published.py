"""Worked examples of a textbook; sources are in ``size_mixed_published.json``."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from holdback.descent.pedigree import Pedigree
from holdback.descent.unknown_parent_groups import group_contributions
from holdback.size.mixed_model import (
    Lines,
    MaternalVariances,
    Records,
    TraitRecords,
    UnknownParentGroups,
    Variances,
    animal_model,
    maternal_model,
    several_traits,
    sires_of,
)

pytestmark = pytest.mark.outside

PUBLISHED: dict[str, Any] = json.loads(Path(__file__).with_name("size_mixed_published.json").read_text("utf-8"))
WEANING, GROUPS, FAT, TRAITS = (PUBLISHED[one] for one in ("weaning", "groups", "fat_yield", "two_traits"))

THREE, FOUR = 6e-4, 6e-5
"""Half of the last figure printed, and a rounding."""

FloatArray = npt.NDArray[np.float64]


def nodes(pedigree: Pedigree, animals: Sequence[str]) -> npt.NDArray[np.int64]:
    return np.array([pedigree.index[one] for one in animals])


def numbered(pedigree: Pedigree, n: int) -> npt.NDArray[np.int64]:
    return nodes(pedigree, [str(one) for one in range(1, n + 1)])


def dummies(levels: Sequence[int]) -> FloatArray:
    """One column for each level, the lowest first."""
    return np.array([[1.0 if one == level else 0.0 for level in sorted(set(levels))] for one in levels])


def sexes(male: Sequence[int]) -> FloatArray:
    return np.column_stack([male, 1 - np.array(male)]).astype(np.float64)


@pytest.fixture
def weaning() -> tuple[Pedigree, Records]:
    pedigree = Pedigree.from_parents(WEANING["parents"])
    values = np.array(WEANING["values"])
    return pedigree, Records(values, nodes(pedigree, WEANING["animals"]), sexes(WEANING["male"]))


def close(found: npt.ArrayLike, printed: npt.ArrayLike, tolerance: float) -> None:
    np.testing.assert_allclose(np.asarray(found, dtype=np.float64), np.asarray(printed), rtol=0, atol=tolerance)


def test_animal_model__weaning(weaning: tuple[Pedigree, Records]) -> None:
    pedigree, records = weaning
    found = animal_model(records, pedigree, Variances(WEANING["additive"], WEANING["residual"]))
    order = numbered(pedigree, 8)
    close(found.effects.of("fixed"), WEANING["sexes"], FOUR)
    close(found.breeding_values[order], WEANING["breeding_values"], FOUR)
    close(found.pev[order] / WEANING["residual"], WEANING["inverse_diagonal"], THREE)
    close(found.reliability[order], WEANING["reliability"], THREE)
    # the book squares rounded entries on the way
    close(np.sqrt(found.pev[order]), WEANING["standard_error"], 3e-3)


def test_animal_model__unequal_residuals(weaning: tuple[Pedigree, Records]) -> None:
    pedigree, records = weaning
    residual = np.array([40.0, 40.0, 40.0, 40.0, WEANING["residual_of_8"]])
    found = animal_model(records, pedigree, Variances(WEANING["additive"], residual))
    close(found.effects.of("fixed"), WEANING["sexes_unequal"], FOUR)
    close(found.breeding_values[numbered(pedigree, 8)], WEANING["breeding_values_unequal"], FOUR)


def test_animal_model__sires(weaning: tuple[Pedigree, Records]) -> None:
    pedigree, records = weaning
    book = WEANING["sire_model"]
    through = Records(records.values, sires_of(pedigree, records.animals), records.fixed)
    found = animal_model(through, pedigree, Variances(book["sire"], book["residual"]))
    close(found.effects.of("fixed"), book["sexes"], THREE)
    close(found.breeding_values[nodes(pedigree, book["sires"])], book["values"], THREE)


def unknown_parents(pedigree: Pedigree, prior_sd: float | None) -> UnknownParentGroups:
    """Sires unknown are of the first group, dams of the second."""
    unknown = pedigree.parents < 0
    return UnknownParentGroups(np.where(unknown[:, 0], 0, -1), np.where(unknown[:, 1], 1, -1), 2, prior_sd)


def test_animal_model__groups(weaning: tuple[Pedigree, Records]) -> None:
    pedigree, records = weaning
    groups = unknown_parents(pedigree, None)
    found = animal_model(records, pedigree, Variances(20.0, 40.0), groups=groups)
    order = numbered(pedigree, 8)
    close(found.effects.of("fixed"), GROUPS["sexes"], THREE)
    close(found.total_values[order], GROUPS["total_values"], THREE)
    close(found.breeding_values[order], GROUPS["within_groups"], THREE)
    close(found.effects.of("additive")[8:], [0.0, GROUPS["group_2"]], THREE)
    assert found.effects.is_set.sum() == 1


def test_animal_model__contributions_of_groups_as_covariates(weaning: tuple[Pedigree, Records]) -> None:
    pedigree, records = weaning
    groups = unknown_parents(pedigree, None)
    shares = group_contributions(pedigree, groups.sire_group, groups.dam_group, 2)
    found = animal_model(records, pedigree, Variances(20.0, 40.0), lines=Lines(shares))
    order = numbered(pedigree, 8)
    close(found.total_values[order], GROUPS["total_values"], THREE)
    close(found.breeding_values[order], GROUPS["within_groups"], THREE)
    close(found.effects.of("lines"), [0.0, GROUPS["group_2"]], THREE)


def test_animal_model__random_groups(weaning: tuple[Pedigree, Records]) -> None:
    pedigree, records = weaning
    book = GROUPS["random"]
    groups = unknown_parents(pedigree, np.sqrt(40.0 / book["residual_to_groups"]))
    found = animal_model(records, pedigree, Variances(20.0, 40.0), groups=groups)
    close(found.effects.of("fixed"), book["sexes"], THREE)
    close(found.total_values[numbered(pedigree, 8)], book["total_values"], THREE)
    close(found.effects.of("additive")[8:], book["groups"], THREE)


def test_animal_model__repeated_records() -> None:
    pedigree = Pedigree.from_parents(FAT["parents"])
    animals, parity, hys, values = zip(*FAT["records"], strict=True)
    fixed = np.hstack([dummies(hys), dummies(parity)])
    records = Records(np.array(values, dtype=np.float64), nodes(pedigree, animals), fixed)
    found = animal_model(records, pedigree, Variances(FAT["additive"], FAT["residual"], FAT["permanent"]))
    order = numbered(pedigree, 8)
    close(found.effects.of("fixed"), [*FAT["hys"], *FAT["parity"]], THREE)
    close(found.breeding_values[order], FAT["breeding_values"], THREE)
    close(found.permanent[order[3:]], FAT["permanent_4_to_8"], THREE)
    close(found.permanent[order[:3]], 0.0, 0.0)


def test_several_traits__weaning_and_post_weaning(weaning: tuple[Pedigree, Records]) -> None:
    pedigree, records = weaning
    values = np.column_stack([records.values, TRAITS["post_weaning"]])
    both = TraitRecords(values, records.animals, [records.fixed, records.fixed])
    found = several_traits(both, pedigree, **covariances(TRAITS))
    close(found.effects.of("fixed"), TRAITS["fixed"], THREE)
    close(found.breeding_values[numbered(pedigree, 8)], TRAITS["breeding_values"], THREE)


def test_several_traits__not_all_measured(weaning: tuple[Pedigree, Records]) -> None:
    book = TRAITS["missing"]
    pedigree = Pedigree.from_parents({**WEANING["parents"], "9": (book["animal_9"]["sire"], None)})
    late: list[float] = [np.nan, *TRAITS["post_weaning"][1:], np.nan]
    values = np.column_stack([[*WEANING["values"], book["animal_9"]["weaning"]], late])
    fixed = sexes([*WEANING["male"], 0])
    records = TraitRecords(values, nodes(pedigree, [*WEANING["animals"], "9"]), [fixed, fixed])
    found = several_traits(records, pedigree, **covariances(TRAITS))
    close(found.effects.of("fixed"), book["fixed"], THREE)
    close(found.breeding_values[numbered(pedigree, 9)], book["breeding_values"], THREE)


def covariances(book: Mapping[str, Any]) -> dict[str, FloatArray]:
    return {one: np.array(book[one], dtype=np.float64) for one in ("genetic", "residual")}


def test_maternal_model__calves() -> None:
    book = PUBLISHED["maternal"]
    calves, sires, dams, herds, pens, values = zip(*book["records"], strict=True)
    pedigree = Pedigree.from_parents(dict(zip(calves, zip(sires, dams, strict=True), strict=True)))
    records = Records(
        np.array(values, dtype=np.float64), nodes(pedigree, calves), np.hstack([dummies(herds), dummies(pens)])
    )
    variances = MaternalVariances(np.array(book["genetic"], dtype=np.float64), book["residual"], book["permanent_dam"])
    found = maternal_model(records, pedigree, variances)
    fixed = found.effects.of("fixed")
    close(fixed[:3] + fixed[3], book["herd_and_pen_1"], THREE)
    close(fixed[4] - fixed[3], book["pen_2_less_1"], THREE)
    order = numbered(pedigree, 14)
    close(found.breeding_values[order, 0], book["direct"], THREE)
    close(found.breeding_values[order, 1], book["maternal"], THREE)
    close(found.permanent_dam[nodes(pedigree, list(book["permanent"]))], list(book["permanent"].values()), THREE)


def test_animal_model__share_as_covariate() -> None:
    book = PUBLISHED["share"]
    pedigree = Pedigree.from_parents(book["parents"])
    order = numbered(pedigree, 10)
    unknown = pedigree.is_founder
    line = np.where(unknown & (np.arange(len(pedigree)) == pedigree.index["1"]), 0, -1)
    shares = group_contributions(pedigree, line, line, 1)
    records = Records(np.array(book["values"], dtype=np.float64), order, np.ones((10, 1)))
    variances = Variances(book["heritability"] * book["variance"], (1.0 - book["heritability"]) * book["variance"])
    found = animal_model(records, pedigree, variances, lines=Lines(shares))
    close(found.effects.of("fixed"), book["mean"], THREE)
    close(found.effects.of("lines"), book["line"], THREE)
    close(np.sqrt(found.effects.covariance_of("lines")), book["line_error"], 6e-3)
    close(found.total_values[order], book["total_values"], 6e-3)
