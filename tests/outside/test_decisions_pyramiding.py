"""Gene pyramids, eggs for recessives and usefulness against figures worked out apart from this code, and drawn gametes.

Figures follow the definitions of Servin, Martin, Mezard & Hospital (2004, Genetics 168:513), whose tables were not at
hand, and of Schnell & Utz (1975).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from holdback.decisions.pyramiding import cascade, compared, fixing, gamete_chance, pyramid, recessive_eggs, tree
from holdback.decisions.usefulness import usefulness
from holdback.size.intensity import intensity, truncation_intensity

pytestmark = pytest.mark.outside


@pytest.mark.parametrize(
    "r, row, bush", [(0.5, [20, 43, 89], [83, 83]), (0.16484, [67, 80, 97], [777, 90]), (0.09063, None, [2577, 139])]
)
def test_pyramid__four_genes(r: float, row: list[int] | None, bush: list[int]) -> None:
    """Young for 99 % in all; r for neighbours unlinked, 20 and 10 cM apart (Haldane)."""
    expected_row = row or [123, 136, 150]
    first, second = (pyramid(scheme, [r] * 3) for scheme in (cascade(4), tree(4)))
    assert [step.young for step in first.steps] == expected_row
    assert [step.young for step in second.steps if step.chance < 1] == bush
    assert (first.generations, second.generations) == (4, 3)


def test_compared__in_words() -> None:
    row, bush, said = compared(4, 0.5)
    assert (row.young, bush.young) == (152, 166)
    assert "A tree takes 3 generations" in said


def test_pyramid__eight_genes_by_a_tree_in_four_generations() -> None:
    assert (pyramid(tree(8), [0.2] * 7).generations, pyramid(cascade(8), [0.2] * 7).generations) == (4, 8)


def test_fixing__intercross_of_two_carriers() -> None:
    assert [fixing(4, r) for r in (0.5, 0.16484, 0.09063)] == [1177, 52, 31]


@pytest.mark.parametrize("sides", [(0, 0, 1, 1), (0, 1, 0, 1), (0, 0, 0, 0)])
def test_gamete_chance__drawn_gametes(sides: tuple[int, ...]) -> None:
    """200,000 gametes walked along the chromosome, switching with the chance of recombination; within 4 SE."""
    rng = np.random.default_rng(5)
    r, n = (0.1, 0.3, 0.5), 200_000
    strand = rng.integers(2, size=n)
    right = strand == sides[0]
    for place, chance in enumerate(r, start=1):
        strand = strand ^ (rng.random(n) < chance)
        right &= strand == sides[place]
    expected = gamete_chance(sides, r)
    assert right.mean() == pytest.approx(expected, abs=4 * math.sqrt(expected * (1 - expected) / n))


@pytest.mark.parametrize(
    "genes, hets, visual",
    [(1, (11, 17), (5, 7)), (2, (47, 72), (11, 17)), (3, (191, 293), (23, 35)), (4, (766, 1177), (47, 72))],
)
def test_recessive_eggs__table(genes: int, hets: tuple[int, int], visual: tuple[int, int]) -> None:
    """Eggs at 95 and 99 %, ln(1 - certainty) / ln(1 - q) rounded up."""
    found = [recessive_eggs(genes, certainty=certainty) for certainty in (0.95, 0.99)]
    assert tuple(one.het_by_het for one in found) == hets
    assert tuple(one.het_by_visual for one in found) == visual


USEFUL = {
    (100, 4): (102.019, 103.541, 105.218, 106.743),
    (104, 2): (105.009, 105.771, 106.609, 107.371),
    (102, 3): (103.514, 104.656, 105.914, 107.057),
}
"""U of three crosses (mean, spread) at heritability 0.4, the best 50, 20, 5 and 1 % kept."""


@pytest.mark.parametrize("cross, expected", USEFUL.items())
def test_usefulness__of_very_many(cross: tuple[float, float], expected: tuple[float, ...]) -> None:
    found = [
        usefulness(*cross, stands_out=truncation_intensity(kept), accuracy=math.sqrt(0.4))
        for kept in (0.5, 0.2, 0.05, 0.01)
    ]
    assert found == pytest.approx(expected, abs=6e-4)


def test_usefulness__best_of_six() -> None:
    """With a clutch of six the wide cross never overtakes the one with the better mean."""
    found = [usefulness(*cross, stands_out=intensity(6, 1), accuracy=math.sqrt(0.4)) for cross in USEFUL]
    assert found == pytest.approx((103.206, 105.603, 104.404), abs=6e-4)
