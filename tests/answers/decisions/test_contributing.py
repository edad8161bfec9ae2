"""Who of a line should breed, on the demo."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from unittest.mock import patch

import numpy as np
import pytest

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.contributing import LineWish
from holdback.answers.decisions.line_breeding import LineBreeding
from holdback.answers.decisions.line_breeding_words import what_comes, what_it_costs, who_breeds
from holdback.collection.model import Sex
from holdback.decisions.contributions import kinship_limit
from holdback.errors import DecisionError, PedigreeError


def test_contributions__clutches_keep_what_they_must(plans: Decisions) -> None:
    found = plans.contributions("Marrowfen")
    stock = plans.stock
    assert len(found.pairs) == found.clutches == 4  # half of the eight females
    season = found.year - stock.year
    for pair in found.pairs:
        for animal in (pair.sire, pair.dam):
            at = stock.index(animal)
            assert stock.ready[at] <= season
            assert stock.shares["Marrowfen"][at] >= 0.25 - 1e-9
        assert pair.inbreeding <= 0.125 + 1e-9
    assert len({pair.dam for pair in found.pairs}) == 4
    assert found.least_kinship <= found.kinship <= found.limit + 1e-12
    assert found.limit == pytest.approx(kinship_limit(found.least_kinship, 0.01))


def test_contributions__kinship_and_size_are_those_of_the_pairs(plans: Decisions) -> None:
    """By hand: each clutch counts the same, the young have the mean of their parents."""
    found = plans.contributions("Marrowfen")
    stock = plans.stock
    parents = [stock.index(animal) for pair in found.pairs for animal in (pair.sire, pair.dam)]
    kinship = np.mean([stock.kinship[one, other] for one in parents for other in parents])
    assert found.kinship == pytest.approx(kinship)
    assert found.size is not None
    assert found.size.mean == pytest.approx(100 * math.expm1(np.mean([stock.size_mean[one] for one in parents])))
    assert found.share == pytest.approx(np.mean([stock.shares["Marrowfen"][one] for one in parents]))
    assert found.size.low < found.size.mean < found.size.high


def test_contributions__more_inbreeding_buys_more_size(plans: Decisions) -> None:
    sizes = []
    for rate in (0.0, 0.01, 0.05):
        size = plans.contributions("Marrowfen", LineWish(rate=rate)).size
        assert size is not None
        sizes.append(size.mean)
    assert sizes == sorted(sizes)
    assert sizes[0] < sizes[2]
    trades = plans.contributions("Marrowfen").trades
    assert all(after.size > before.size for before, after in itertools.pairwise(trades))


def test_contributions__price_is_the_slope_of_the_best_there_is(plans: Decisions) -> None:
    """By differences: the gain at two limits near each other."""
    first, second = (plans.contributions("Marrowfen", LineWish(rate=rate)) for rate in (0.0100, 0.0101))
    assert first.percent_costs is not None

    def best_gain(found: LineBreeding) -> float:
        return sum(
            one.part * float(plans.stock.size_mean[plans.stock.index(one.animal)]) for one in found.breeders
        )  # fmt: skip

    slope = (best_gain(second) - best_gain(first)) / (second.limit - first.limit)
    assert first.percent_costs == pytest.approx(math.log(1.01) / slope, rel=0.05)


def test_contributions__said_in_words(plans: Decisions) -> None:
    found = plans.contributions("marrowfen")
    names = plans.stock.names
    said = who_breeds(found, names)
    assert said.startswith("For 2027, put ")
    assert all(names[pair.dam] in said for pair in found.pairs)
    assert "akin on average" in what_comes(found)
    assert what_it_costs(found)[0].startswith("At the limit, one more percent of size costs 0.")
    assert "Under treatment" in dict(found.waiting)["19-05"]


def test_contributions__without_sizes_the_least_kinship(plans: Decisions) -> None:
    blank = replace(plans.stock, size_mean=np.zeros(len(plans.stock.animals)))
    bare = plans.with_goals({})
    vars(bare)["stock"] = blank
    found = bare.contributions("Marrowfen")
    assert not found.is_by_size
    assert found.size is None
    assert found.kinship == found.least_kinship
    assert found.kinship <= plans.contributions("Marrowfen").kinship
    assert "nobody is chosen for size" in found.notes[0]
    assert what_it_costs(found) == ()
    assert found.as_json()["by"] == "least kinship"


def test_contributions__pairs_that_are_not_spoken_for_are_not_made(plans: Decisions) -> None:
    pair = plans.contributions("Marrowfen").pairs[0]
    bare = plans.with_goals({})
    refused = (pair.sire, pair.dam)
    with patch("holdback.decisions.barring.Barring.may_pair", lambda _, sire, dam: (sire, dam) != refused):
        found = bare.contributions("Marrowfen")
    assert refused not in {(one.sire, one.dam) for one in found.pairs}


@pytest.mark.parametrize(
    "wish, code",
    [
        (LineWish(share=2.0), "DEC-109"),
        (LineWish(rate=-0.1), "DEC-109"),
        (LineWish(inbreeding_at_most=1.5), "DEC-109"),
        (LineWish(clutches=0), "DEC-109"),
        (LineWish(clutches=9), "DEC-109"),
    ],
)
def test_contributions__numbers_out_of_range(plans: Decisions, wish: LineWish, code: str) -> None:
    for _ in range(2):  # what cannot be is kept too
        with pytest.raises(DecisionError, match=code):
            plans.contributions("Marrowfen", wish)
    assert plans.has_contributions("Marrowfen", wish)


@pytest.mark.parametrize("sex", [Sex.MALE, Sex.FEMALE])
def test_contributions__one_sex_alone(plans: Decisions, sex: Sex) -> None:
    bare = plans.with_goals({})
    gone = [one for one, its in zip(plans.stock.animals, plans.stock.sexes, strict=True) if its is sex]
    vars(bare)["stock"] = plans.stock.without(gone)
    with pytest.raises(DecisionError, match=f"DEC-108.*No {sex} with a share of 25 % of Marrowfen"):
        bare.contributions("Marrowfen")


def test_contributions__no_such_line(plans: Decisions) -> None:
    with pytest.raises(PedigreeError, match="PED-011"):
        plans.contributions("Nowhere")
