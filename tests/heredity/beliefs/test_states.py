"""States of one animal, and how they pass on."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdback.heredity.beliefs.states import (
    Partition,
    Shape,
    States,
    autosomal,
    by_state,
    class_map,
    founder_prior,
    gametes,
    representatives,
    sex_linked,
    state_map,
    without_sire,
)

FINE: Partition = (0, 1, 2)
COARSE: Partition = (0, 1, 1)
TWO: Partition = (0, 1)
SHAPES = st.sampled_from(list(Shape))
PARTITIONS = st.sampled_from([(0, 0, 0), (0, 0, 1), (0, 1, 0), COARSE, FINE])


def _index(states: States, pair: tuple[int, int], *, ordered: bool = False) -> int:
    return list(states.pairs).index(pair, states.n_unordered if ordered else 0)


@pytest.mark.parametrize(
    "shape, size, n_unordered", [(Shape.PAIRS, 6, 6), (Shape.ORDERED, 9, 0), (Shape.EITHER, 15, 6)]
)
def test_states__are_counted_by_shape(shape: Shape, size: int, n_unordered: int) -> None:
    states = States(FINE, shape)
    assert (states.size, states.n_unordered, states.n_classes) == (size, n_unordered, 3)
    assert len(set(states.pairs[:n_unordered])) == n_unordered
    assert len(set(states.pairs[n_unordered:])) == size - n_unordered


@given(PARTITIONS, SHAPES, st.lists(st.integers(1, 9), min_size=3, max_size=3))
def test_founder_prior__sums_to_one(partition: Partition, shape: Shape, parts: list[int]) -> None:
    frequencies = np.array(parts) / sum(parts)
    assert founder_prior(States(partition, shape), frequencies).sum() == pytest.approx(1.0, abs=1e-12)


def test_founder_prior__is_hardy_weinberg() -> None:
    """Textbook: p squared, 2 p q, q squared; ordered pairs have p q each way."""
    frequencies = np.array([0.9, 0.1])
    assert founder_prior(States(TWO), frequencies) == pytest.approx([0.81, 0.18, 0.01])
    assert founder_prior(States(TWO, Shape.ORDERED), frequencies) == pytest.approx([0.81, 0.09, 0.09, 0.01])


def test_by_state__takes_the_first_allele_of_each_class() -> None:
    table = np.array([[0.1, 0.2, 0.2], [0.2, 0.3, 0.3], [0.2, 0.3, 0.3]])
    states = States(COARSE)
    one, other = representatives(states)
    assert list(zip(one, other, strict=True)) == [(0, 0), (0, 1), (1, 1)]
    assert by_state(table, states) == pytest.approx([0.1, 0.2, 0.3])


def test_class_map__a_finer_partition_falls_into_a_coarser_one() -> None:
    assert class_map(FINE, COARSE) == (0, 1, 1)


def test_class_map__not_the_other_way() -> None:
    with pytest.raises(AssertionError, match="a parent's classes must be finer than its young's"):
        class_map(COARSE, FINE)


def test_state_map__forgets_the_order_where_the_coarser_has_none() -> None:
    ordered, plain = States(TWO, Shape.ORDERED), States(TWO)
    assert state_map(ordered, plain).tolist() == [0, 1, 1, 2]
    assert state_map(ordered, ordered).tolist() == [0, 1, 2, 3]
    assert state_map(States(FINE), States(COARSE)).tolist() == [0, 1, 1, 2, 2, 2]


def test_gametes__one_allele_of_each_state() -> None:
    table = gametes(States(TWO), TWO)
    assert table.mean(axis=0).tolist() == [[1.0, 0.0], [0.5, 0.5], [0.0, 1.0]]
    assert gametes(States(FINE), COARSE).sum(axis=2) == pytest.approx(np.ones((2, 6)))


def test_autosomal__mendel() -> None:
    table = autosomal(States(TWO), States(TWO), States(TWO))
    assert table[:, 1, 1].tolist() == [0.25, 0.5, 0.25]
    assert table[:, 1, 2].tolist() == [0.0, 0.5, 0.5]
    assert table[:, 0, 2].tolist() == [0.0, 1.0, 0.0]


@settings(max_examples=60)
@given(PARTITIONS, SHAPES, st.sampled_from([0.0, 0.07, 0.5]), st.booleans())
def test_transmission__sums_to_one(young: Partition, shape: Shape, r: float, hetero_is_sire: bool) -> None:
    hetero, homo = States(FINE, Shape.ORDERED), States(FINE)
    sire, dam = (hetero, homo) if hetero_is_sire else (homo, hetero)
    linked = sex_linked(States(young, shape), sire, dam, r=(r, 0.3), hetero_is_sire=hetero_is_sire)
    assert linked.sum(axis=1) == pytest.approx(np.ones((2, sire.size, dam.size)))
    assert autosomal(States(young), homo, homo).sum(axis=0) == pytest.approx(np.ones((6, 6)))
    assert without_sire(States(young, shape), homo, r).sum(axis=0) == pytest.approx(np.ones(6))


def test_sex_linked__without_linkage_the_sexes_are_alike() -> None:
    """At r = 1/2 a locus is autosomal; both orders of a pair together."""
    hetero, homo, young = States(TWO, Shape.ORDERED), States(TWO), States(TWO, Shape.EITHER)
    table = sex_linked(young, hetero, homo, r=(0.5,), hetero_is_sire=True)[0]
    plain = autosomal(States(TWO), States(TWO), homo)
    for pair, sire, dam in product(States(TWO).pairs, range(4), range(3)):
        of_sire = (0, 1, 1, 2)[sire]
        expected = 0.5 * plain[_index(States(TWO), pair), of_sire, dam]
        as_male = {pair, pair[::-1]}
        assert table[_index(young, pair), sire, dam] == pytest.approx(expected)
        males = sum(table[_index(young, each, ordered=True), sire, dam] for each in as_male)
        assert males == pytest.approx(expected)


def test_sex_linked__sons_take_the_allele_on_the_y() -> None:
    """A sire with the allele on his Y and a plain dam, r = 0.07: 93 of 100 sons carry, 7 of 100 daughters."""
    sire, dam = States(TWO, Shape.ORDERED), States(TWO)
    sons = sex_linked(States(TWO, Shape.ORDERED), sire, dam, r=(0.07,), hetero_is_sire=True)[0]
    daughters = sex_linked(States(TWO), sire, dam, r=(0.07,), hetero_is_sire=True)[0]
    on_y = sire.pairs.index((0, 1))
    assert sons[:, on_y, 0] == pytest.approx([0.07, 0.93, 0.0, 0.0])
    assert daughters[:, on_y, 0] == pytest.approx([0.93, 0.07, 0.0])


def test_without_sire__terminal_fusion() -> None:
    table = without_sire(States(TWO), States(TWO), 0.3)
    assert table[:, 1] == pytest.approx([0.35, 0.3, 0.35])
    assert table[:, 0].tolist() == [1.0, 0.0, 0.0]


def test_without_sire__says_nothing_of_sex() -> None:
    """Where the sex is open, each has one half whatever the pair, and both orders are alike."""
    young = States(TWO, Shape.EITHER)
    table = without_sire(young, States(TWO), 0.3)
    assert table[: young.n_unordered].sum(axis=0) == pytest.approx([0.5, 0.5, 0.5])
    first, second = (_index(young, pair, ordered=True) for pair in ((0, 1), (1, 0)))
    assert table[first, 1] == table[second, 1] == pytest.approx(0.075)
