"""The pedigree as arrays: nodes of every kind, parts of it, settled sires and young to come."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.descent.strategies import pedigrees

from holdback.collection.model import Sex
from holdback.descent.pedigree import UNKNOWN, Draft, Pedigree, assembled


def doubtful() -> Pedigree:
    """K and L of D by S or T, T being the son of S; M is of L without a sire."""
    draft = Draft.of_parents({"S": (None, None), "D": (None, None), "T": ("S", None)}, {})
    draft.parents |= {"?which": (None, None), "K": ("?which", "D"), "L": ("?which", "D"), "M": ("L", "L")}
    draft.candidates["?which"] = (("S", 0.75), ("T", 0.25))
    draft.off_record.add("?which")
    return assembled(draft, {"K": 2020.5}, 0.3)


def named(pedigree: Pedigree, nodes: list[int] | tuple[int, ...]) -> set[str]:
    return {pedigree.ids[one] for one in nodes}


def test_from_parents__adds_parents_that_are_no_key() -> None:
    pedigree = Pedigree.from_parents({"K": ("S", "D"), "L": ("K", None)}, born={"K": 2020.5})
    assert pedigree.ids == ("S", "D", "K", "L")
    assert pedigree.parents.tolist() == [[-1, -1], [-1, -1], [0, 1], [2, -1]]
    assert pedigree.sexes == (Sex.MALE, Sex.FEMALE, Sex.MALE, Sex.UNKNOWN)
    assert pedigree.is_founder.tolist() == [True, True, False, False]
    assert pedigree.on_record.all()
    np.testing.assert_array_equal(pedigree.born, [np.nan, np.nan, 2020.5, np.nan])
    assert pedigree.is_plain


def test_from_parents__young_of_one_pair_are_one_brood() -> None:
    pedigree = Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "D"), "M": ("S", "E")})
    mates = dict(zip(pedigree.ids, pedigree.mates.tolist(), strict=True))
    assert mates["K"] == mates["L"] != mates["M"]
    assert mates["S"] == mates["D"] == UNKNOWN


def test_sources__of_every_kind_of_node() -> None:
    pedigree = doubtful()
    at = pedigree.index
    assert pedigree.sources(at["S"]) == ()
    assert pedigree.sources(at["T"]) == ((at["S"], 0.5),)
    assert pedigree.sources(at["?which"]) == ((at["S"], 0.75), (at["T"], 0.25))
    assert pedigree.sources(at["K"]) == ((at["?which"], 0.5), (at["D"], 0.5))
    assert pedigree.sources(at["M"]) == ((at["L"], 1.0),)


def test_pedigree__kinds_of_nodes_are_told_apart() -> None:
    pedigree = doubtful()
    assert named(pedigree, np.flatnonzero(pedigree.is_founder).tolist()) == {"S", "D"}
    assert named(pedigree, np.flatnonzero(pedigree.without_sire).tolist()) == {"M"}
    assert named(pedigree, np.flatnonzero(~pedigree.on_record).tolist()) == {"?which"}
    assert not pedigree.is_plain


def test_ancestors_and_descendants__go_through_candidates() -> None:
    pedigree = doubtful()
    at = pedigree.index
    assert named(pedigree, pedigree.ancestors([at["K"]])) == {"K", "?which", "S", "T", "D"}
    assert named(pedigree, pedigree.descendants([at["T"]])) == {"T", "?which", "K", "L", "M"}
    assert named(pedigree, pedigree.young[at["?which"]]) == {"K", "L"}


@given(pedigrees(max_nodes=12))
def test_descendants__are_those_who_have_it_as_ancestor(pedigree: Pedigree) -> None:
    above = [set(pedigree.ancestors([node])) for node in range(len(pedigree))]
    for node in range(len(pedigree)):
        assert pedigree.descendants([node]) == [one for one in range(len(pedigree)) if node in above[one]]


@given(pedigrees(max_nodes=12), st.data())
def test_part__keeps_the_sources_by_name(pedigree: Pedigree, data: st.DataObject) -> None:
    nodes = data.draw(st.lists(st.integers(0, len(pedigree) - 1), min_size=1, max_size=3))
    part = pedigree.part(nodes)
    assert set(part.ids) == named(pedigree, pedigree.ancestors(nodes))

    def told(one: Pedigree, name: str) -> dict[str, float]:
        return {one.ids[source]: share for source, share in one.sources(one.index[name])}

    assert all(told(part, name) == told(pedigree, name) for name in part.ids)
    assert part.kept == pedigree.kept


def test_settled__takes_one_candidate_and_refuses_another_animal() -> None:
    pedigree = doubtful()
    at = pedigree.index
    assert pedigree.settled({at["?which"]: at["T"]}).sources(at["?which"]) == ((at["T"], 1.0),)
    with pytest.raises(KeyError, match="D is no candidate of \\?which"):
        pedigree.settled({at["?which"]: at["D"]})
    with pytest.raises(KeyError):
        pedigree.settled({at["K"]: at["S"]})


def test_with_young__adds_them_at_the_end() -> None:
    pedigree = doubtful()
    at = pedigree.index
    n = len(pedigree)
    more = pedigree.with_young([(at["T"], at["K"]), (at["T"], n)], ["?young", "?next"])
    assert more.ids == (*pedigree.ids, "?young", "?next")
    assert more.parents[n:].tolist() == [[at["T"], at["K"]], [at["T"], n]]
    assert not more.on_record[n:].any()
    assert more.candidates == pedigree.candidates
    with pytest.raises(AssertionError, match="parents stand before their young"):
        pedigree.with_young([(at["T"], n)], ["?young"])
