"""The suite finds chances that are wrong, and lets pass those that are right."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from unittest.mock import patch

import numpy as np
import pytest
from numpy.typing import NDArray
from verification.calibration import Said, bias, bins, by_group, statements, surprise
from verification.herds import SEX_ERROR, Herd, herd
from verification.run import drawn, faults

from holdback.collection.model import Sex
from holdback.heredity.beliefs import states
from holdback.heredity.beliefs.states import States
from verification import tables

Chances = NDArray[np.float64]


def _said(wrongly: Callable[[Chances], Chances]) -> list[Said]:
    """Statements by somebody who puts the true chances wrongly."""
    rng = np.random.default_rng(3)
    right = rng.beta(0.5, 0.5, 4000)
    true = rng.random(4000) < right
    return [
        Said("rain", float(chance), bool(is_true), f"day {number}", ("north",))
        for number, (chance, is_true) in enumerate(zip(wrongly(right), true, strict=True))
    ]


def test_faults__right_chances_pass() -> None:
    said = _said(lambda right: right)
    assert faults(said) == []
    assert abs(surprise(said)) < 3.0
    assert abs(bias(said)) < 3.0


def test_faults__bold_and_timid_chances_do_not() -> None:
    bold = _said(lambda right: np.clip(0.5 + 1.25 * (right - 0.5), 1e-6, 1.0 - 1e-6))
    timid = _said(lambda right: 0.5 + 0.8 * (right - 0.5))
    assert surprise(bold) < -4.0
    assert surprise(timid) > 4.0
    assert any("rain, all" in fault for fault in faults(bold))
    assert any("rain, 0% to 10%" in fault for fault in faults(bold))


def test_bias__tells_chances_that_are_too_high() -> None:
    assert bias(_said(lambda right: np.minimum(right + 0.05, 1.0))) < -4.0


def test_bins__count_every_statement_once() -> None:
    said = _said(lambda right: right)
    assert sum(one.count for one in bins(said)) == len(said)
    assert all(one.low <= one.said <= one.high for one in bins(said))


def test_by_group__leaves_out_what_could_go_only_one_way() -> None:
    sure = [Said("rain", 0.999, True, f"day {number}", ("south",)) for number in range(100)]
    assert list(by_group([*sure, *_said(lambda right: right)])) == [("rain", "north")]


def test_bins__errors_of_one_cluster_go_together() -> None:
    """The same hundred statements, told once as independent and once as one: the sum varies ten times as much."""
    rng = np.random.default_rng(5)
    days = [bool(rng.random() < 0.5) for _ in range(400)]
    together = [Said("rain", 0.5, day, f"day {number}") for number, day in enumerate(days) for _ in range(100)]
    apart = [replace(one, cluster=f"{number}") for number, one in enumerate(together)]
    assert bins(together)[0].error == pytest.approx(10.0 * bins(apart)[0].error, rel=1e-9)


def test_faults__an_engine_that_leaks_is_found() -> None:
    """Young that in one case of twenty have any genotype whatever."""

    @cache
    def leaking(young: States, sire: States, dam: States) -> Chances:
        return 0.95 * states.autosomal(young, sire, dam) + 0.05 / young.size

    with patch("holdback.heredity.beliefs.assembly.autosomal", leaking):
        assert faults(list(drawn(6)))


@pytest.fixture(scope="module")
def some() -> list[Herd]:
    return [herd(seed, 120) for seed in np.random.SeedSequence(11).spawn(8)]


def test_herd__is_the_same_for_the_same_seed() -> None:
    first, second = (herd(np.random.SeedSequence(4), 80) for _ in range(2))
    assert first.truth.genotypes == second.truth.genotypes
    assert first.family == second.family
    assert list(statements(first, "")) == list(statements(second, ""))


def test_herd__looks_like_what_the_page_says(some: list[Herd]) -> None:
    broods = [brood for one in some for brood in one.family.broods]
    assert 0.08 < np.mean([brood.is_uncertain for brood in broods]) < 0.2
    assert {brood.each_egg for brood in broods} == {True, False}
    for one in some:
        assert 115 <= len(one.family.sexes) <= 200
        assert len(one.evidence.loci) == 9
        assert sum(locus.linkage is not None for locus in one.evidence.loci.values()) == 1
        assert sum(locus.n_alleles == 3 for locus in one.evidence.loci.values()) == 2
    wrong = [
        sex is not Sex.UNKNOWN and sex is not one.truth.sexes[name]
        for one in some
        for name, sex in one.family.sexes.items()
    ]
    assert 0.0 < np.mean(wrong) < SEX_ERROR


def test_herd__young_have_their_alleles_from_their_parents(some: list[Herd]) -> None:
    for one in some:
        for brood in one.family.broods:
            for young in brood.young:
                for at in one.truth.genotypes.values():
                    sire, dam = at.get(one.truth.sires[young]), at[brood.dam or ""]
                    first, second = at[young]
                    if sire:
                        assert (first in dam and second in sire) or (second in dam and first in sire)
                    else:
                        assert first in dam or second in dam


def test_write__puts_tables_between_their_marks(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("before\n% rain: begin\nold\n% rain: end\nafter\n", "utf-8")
    said = _said(lambda right: right)
    for _ in range(2):
        tables.write(page, {"rain": said})
    text = page.read_text("utf-8")
    assert text.startswith("before\n% rain: begin\n")
    assert text.endswith("% rain: end\nafter\n")
    assert "old" not in text
    assert text.count("| rain | 0-10 % |") == 1
