"""Parents before offspring, and generations."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.descent.strategies import drafts, shuffled

from holdback.descent.ordering import birth_order, parents_first
from holdback.descent.pedigree import Draft, assembled


@given(drafts(max_nodes=12), st.data())
def test_parents_first__each_stands_after_those_above(draft: Draft, data: st.DataObject) -> None:
    mixed = shuffled(draft, data.draw(st.permutations(list(draft.parents))))
    order = parents_first(mixed.parents, mixed.above)
    assert sorted(order) == sorted(draft.parents)
    place = {node: number for number, node in enumerate(order)}
    assert all(place[one] < place[node] for node in order for one in draft.above(node))


def test_parents_first__keeps_the_order_given_among_those_free() -> None:
    above = {"K": ["S", "D"], "T": [], "S": [], "D": [], "L": ["S", "T"]}
    assert parents_first(above, above.__getitem__) == ["T", "S", "D", "L", "K"]


def test_parents_first__a_loop_is_a_slip_of_the_caller() -> None:
    above = {"A": ["B"], "B": ["A"]}
    with pytest.raises(AssertionError, match="a loop among ancestors is refused before"):
        parents_first(above, above.__getitem__)


def test_birth_order__longest_way_up() -> None:
    parents = np.array([[-1, -1], [-1, -1], [0, 1], [2, 1], [3, 0], [0, -1], [-1, 4]], dtype=np.int32)
    assert birth_order(parents).tolist() == [0, 0, 1, 2, 3, 1, 4]
    assert birth_order(parents[:0]).shape == (0,)


def test_generations__a_node_of_candidates_has_the_most_of_its_candidates() -> None:
    draft = Draft(
        {"S": (None, None), "D": (None, None), "T": ("S", "D"), "?which": (None, None), "K": ("?which", "D")}, {}
    )
    draft.candidates["?which"] = (("S", 0.5), ("T", 0.5))
    pedigree = assembled(draft, {}, 0.3)
    found = dict(zip(pedigree.ids, pedigree.generations.tolist(), strict=True))
    assert found == {"S": 0, "D": 0, "T": 1, "?which": 1, "K": 2}
