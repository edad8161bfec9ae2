"""Plans to carry genes into a line against drawn clutches, and against kinship worked out on a whole pedigree."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.decisions.herd import laws
from tests.decisions.test_backcross_plan import CLOWN, ENCHI, plan, stock, way

from holdback.collection.model import Sex
from holdback.decisions.backcross_result import Handling
from holdback.decisions.planned_young import PlannedYoung
from holdback.descent.kinship import inbreeding
from holdback.descent.pedigree import Pedigree

pytestmark = pytest.mark.outside

DRAWS = 100_000


def drawn_clutches(rng: np.random.Generator, size: tuple[int, ...]) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
    """Living young of paired dams: none where she does not lay, eggs and fates one by one otherwise."""
    eggs = rng.choice(len(laws()[0].chances), p=laws()[0].chances, size=size)
    return np.asarray(rng.binomial(eggs, 0.81) * (rng.random(size) < 0.7), dtype=np.int64)


def within(found: float, drawn: float) -> bool:
    """Whether a chance and its estimate from draws are within four standard errors."""
    return abs(found - drawn) < 4 * math.sqrt(found * (1 - found) / DRAWS)


def test_backcross_plan__five_possible_carriers_each_with_a_test_clutch() -> None:
    """Each of five carries in one of two cases, and a carrier's clutch with a visual shows it in half of the young."""
    tested = way(plan(stock("clown", "vis"), CLOWN), Sex.MALE, Handling.TESTED).generations[1]
    rng = np.random.default_rng(11)
    carries = rng.random((DRAWS, 5)) < 0.5
    visuals = rng.binomial(drawn_clutches(rng, (DRAWS, 5)), 0.5)
    assert within(tested.chance, float((carries & (visuals > 0)).any(axis=1).mean()))


def test_backcross_plan__pair_of_possible_carriers() -> None:
    """Young of a carrier and the line put to each other: two alleles drawn for each parent, then for each young."""
    together = way(plan(stock("clown", "het"), CLOWN), Sex.MALE, Handling.INTERCROSS).generations[1]
    rng = np.random.default_rng(12)
    both = (rng.random((DRAWS, 2)) < 0.5).all(axis=1)
    visual_sons = rng.binomial(drawn_clutches(rng, (DRAWS,)), 0.125)
    assert within(together.chance, float((both & (visual_sons > 0)).mean()))


def test_backcross_plan__mean_wait() -> None:
    """Seasons until a son that carries hatches, for a carrier put to the line season after season."""
    back = way(plan(stock("enchi", "2"), ENCHI), Sex.MALE).generations[:2]
    rng = np.random.default_rng(13)
    waits = np.zeros(20_000)
    for q in (0.5, 0.25):
        hits = rng.binomial(drawn_clutches(rng, (len(waits), 60)), q) > 0
        waits += hits.argmax(axis=1)
    assert back[1].expected_year is not None
    late = back[1].expected_year - back[1].year
    assert late == pytest.approx(waits.mean(), abs=4 * waits.std() / math.sqrt(len(waits)))


def test_planned_young__inbreeding_as_on_the_whole_pedigree() -> None:
    """Forty planned young at random from seven unrelated animals; recursion on the pedigree by `descent.kinship`."""
    made = stock("enchi", "2")
    planned = PlannedYoung(made, "Northwold")
    rng = np.random.default_rng(14)
    sires, dams = [0, 1, 2], [3, 4, 5, 6]
    parents: dict[str, tuple[str | None, str | None]] = {}
    for _ in range(40):
        sire, dam = int(rng.choice(sires)), int(rng.choice(dams))
        young = planned.add(sire, dam)
        parents[str(young)] = (str(sire), str(dam))
        (sires if rng.random() < 0.5 else dams).append(young)
    pedigree = Pedigree.from_parents(parents)
    expected = inbreeding(pedigree)
    for name in parents:
        assert planned.inbreeding(int(name)) == pytest.approx(expected[pedigree.index[name]], abs=1e-12)
