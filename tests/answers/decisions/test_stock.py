"""The stock of plans, made from the demo and from small records."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from holdback.answers import Answers
from holdback.answers.decisions.genes import GenesOfBeliefs
from holdback.answers.decisions.readiness import Readiness, latest_pairing, matures, next_open
from holdback.answers.decisions.stock import stock_of
from holdback.answers.season import Season
from holdback.collection.model import Animal, PartialDate, Sex
from holdback.decisions.stock import NEVER, Stock
from holdback.heredity.beliefs import parents_joint
from holdback.species.catalogue import load


@pytest.fixture(scope="module")
def stock(demo: Answers, season: Season) -> Stock:
    return stock_of(demo, season)


def test_latest_pairing__day_then_the_next_season() -> None:
    """The latest of nine in ten laying days (day 196) less the usual 120 days from pairing: day 76."""
    catalogue = load()
    assert latest_pairing(2026, catalogue) == dt.date(2026, 3, 17)
    assert next_open(dt.date(2026, 3, 17), catalogue) == 2026
    assert next_open(dt.date(2026, 3, 18), catalogue) == 2027
    assert next_open(dt.date(2026, 11, 1), catalogue) == 2027


def test_matures__sons_two_and_daughters_four_seasons() -> None:
    """By dates: hatched in June, three years old by March comes after nearly four (common practice, no source)."""
    assert matures(Sex.MALE, load()) == 2
    assert matures(Sex.FEMALE, load()) == 4


@pytest.mark.parametrize(
    "sex, hatched, season",
    [
        (Sex.MALE, PartialDate(2025, 7, 1), 1),  # 20 months in March 2027
        (Sex.MALE, PartialDate(2026, 7, 1), 2),
        (Sex.FEMALE, PartialDate(2023, 7, 1), 1),
        (Sex.FEMALE, PartialDate(2025, 7, 1), 3),
        (Sex.FEMALE, PartialDate(2026, 6), 4),
    ],
)
def test_readiness__grows_by_age_where_no_weight_tells(sex: Sex, hatched: PartialDate, season: int) -> None:
    readiness = Readiness(dt.date(2026, 7, 15), load(), {})
    assert readiness.of(Animal("A", sex=sex, hatched=hatched))[0] == season


def test_stock__is_of_those_that_are_here_and_sexed(demo: Answers, stock: Stock) -> None:
    assert stock.year == 2026
    for animal, sex in zip(stock.animals, stock.sexes, strict=True):
        record = demo.collection.animals[animal]
        assert record.sex is sex is not Sex.UNKNOWN
        assert not record.status.startswith(("sold", "died"))
    assert stock.kinship.shape == (len(stock.animals),) * 2
    np.testing.assert_allclose(stock.kinship, stock.kinship.T)


def test_stock__nobody_breeds_in_a_season_that_is_over(stock: Stock, season: Season) -> None:
    """In May no pair is put together for the same season; every female under way is a cross that is made."""
    assert stock.ready.min() >= 1
    assert {one.dam for one in stock.under_way} == {
        one.cycle.dam for one in season.outlooks if one.young is not None and one.step not in ("rests", "hatched")
    }
    for cross in stock.under_way:
        assert math.isclose(cross.young.chances.sum(), 1.0)
        assert cross.young.mean <= cross.eggs.mean


def test_stock__laws_and_chances_are_sound(stock: Stock) -> None:
    for place, sex in enumerate(stock.sexes):
        if sex is Sex.FEMALE:
            assert 0 < stock.lays[place] < 1
            assert 2 < stock.young[place].mean < stock.eggs[place].mean < 12
        else:
            assert np.isnan(stock.lays[place])
    assert 0.02 < stock.breeding.additive_sd < 0.3
    assert set(stock.why_not) >= {
        animal for animal, ready in zip(stock.animals, stock.ready, strict=True) if ready == NEVER
    }


def test_stock__without_keeps_the_rest_in_step(stock: Stock) -> None:
    fewer = stock.without(stock.animals[:3])
    assert fewer.animals == stock.animals[3:]
    np.testing.assert_array_equal(fewer.kinship, stock.kinship[3:, 3:])
    np.testing.assert_array_equal(fewer.ready, stock.ready[3:])


def test_genes__couples_agree_with_the_pair_page(demo: Answers, stock: Stock) -> None:
    """Opened for all at once, the joint beliefs of a couple are those that the page of the pair works out."""
    genes = GenesOfBeliefs(demo.beliefs, stock.animals)
    for sire, dam in (("22-05", "22-11"), ("22-07", "22-11"), ("20-07", "17-02")):
        alone = parents_joint(demo.beliefs, sire, dam, only=frozenset({"clown", "enchi"}))
        found = genes.couple(sire, dam, ("clown", "enchi"))
        assert len(found) == len(alone)
        for one, other in zip(found, alone, strict=True):
            assert math.isclose(one.weight, other.weight, abs_tol=1e-9)
            for locus in ("clown", "enchi"):
                for both, chance in other.at(locus).items():
                    assert math.isclose(one.at(locus).get(both, 0.0), chance, abs_tol=1e-9)
