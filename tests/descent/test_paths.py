"""Paths of inbreeding: Wright's examples, and their sum against relationships."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.descent.strategies import pedigrees

from holdback.descent.kinship import inbreeding, offspring_inbreeding
from holdback.descent.paths import common_ancestors, inbreeding_paths, inbreeding_paths_of
from holdback.descent.pedigree import Draft, Pedigree, assembled

EXACT = 1e-12
ALL = 1_000_000
"""More paths than pedigrees of a dozen nodes have."""

BULL = {
    "Roan Gauntlet": ("Royal Duke", "Princess Royal"),
    "Royal Duke": ("Grand Duke", "Mimulus"),
    "Grand Duke": ("Champion", None),
    "Mimulus": ("Champion", "dam of Mimulus"),
    "dam of Mimulus": ("Lord Raglan", None),
    "Princess Royal": ("Champion", "Carmine"),
    "Carmine": ("Lord Raglan", None),
}
"""Wright's bull; pedigree from memory, names not confirmed."""


def test_inbreeding_paths_of__wrights_bull() -> None:
    """Two paths over Champion with (1/2)^4 and one over Lord Raglan with (1/2)^6: 0.140625, printed as 14.06 %."""
    pedigree = Pedigree.from_parents(BULL)
    found = inbreeding_paths_of(pedigree, pedigree.index["Roan Gauntlet"])
    chains = {tuple(pedigree.ids[node] for node in one.chain): one.contribution for one in found.paths}
    assert chains == {
        ("Royal Duke", "Grand Duke", "Champion", "Princess Royal"): 1 / 16,
        ("Royal Duke", "Mimulus", "Champion", "Princess Royal"): 1 / 16,
        ("Royal Duke", "Mimulus", "dam of Mimulus", "Lord Raglan", "Carmine", "Princess Royal"): 1 / 64,
    }
    assert {pedigree.ids[node]: cost for node, cost in found.by_ancestor.items()} == {
        "Champion": 0.125,
        "Lord Raglan": 0.015625,
    }
    assert (found.total, found.rest) == (0.140625, 0)


@pytest.mark.parametrize(
    "parents, pair, expected",
    [
        ({"A": ("S", "D"), "B": ("S", "D"), "a": ("A", "x"), "b": ("B", "y")}, ("a", "b"), [1 / 32] * 2),
        ({"A": ("S", "D"), "B": ("S", "E")}, ("A", "B"), [1 / 8]),
        ({"A": ("S", "D"), "B": ("S", "D")}, ("A", "B"), [1 / 8] * 2),
        ({"A": ("S", "D")}, ("S", "A"), [1 / 4]),
        ({"A": ("S", "D"), "B": ("T", "E")}, ("A", "B"), []),
    ],
    ids=["first cousins", "half sibs", "full sibs", "parent", "unrelated"],
)
def test_inbreeding_paths__common_matings(
    parents: dict[str, tuple[str | None, str | None]], pair: tuple[str, str], expected: list[float]
) -> None:
    pedigree = Pedigree.from_parents(parents)
    found = inbreeding_paths(pedigree, *(pedigree.index[one] for one in pair))
    assert [one.contribution for one in found.paths] == expected


@given(pedigrees(max_nodes=12), st.data())
def test_inbreeding_paths__sum_to_the_inbreeding_of_the_young(pedigree: Pedigree, data: st.DataObject) -> None:
    sire, dam = (data.draw(st.integers(0, len(pedigree) - 1)) for _ in range(2))
    found = inbreeding_paths(pedigree, sire, dam, most=ALL)
    exact = offspring_inbreeding(pedigree, sire, dam)
    assert found.total == pytest.approx(exact, abs=EXACT)
    if sire == dam:
        assert not found.paths
        assert found.note
        return
    assert abs(found.rest) <= EXACT
    assert sum(found.by_ancestor.values()) == pytest.approx(exact, abs=EXACT)
    coefficients = inbreeding(pedigree)
    for path in found.paths:
        assert (path.chain[0], path.chain[-1]) == (sire, dam)
        assert len(set(path.chain)) == len(path.chain)
        if pedigree.is_plain:
            wright = 0.5 ** len(path.chain) * (1 + coefficients[path.ancestor])
            assert path.contribution == pytest.approx(wright, abs=EXACT)
    assert len({path.chain for path in found.paths}) == len(found.paths)


@given(pedigrees(max_nodes=12), st.data())
def test_inbreeding_paths__cut_lists_the_costliest_and_says_the_rest(pedigree: Pedigree, data: st.DataObject) -> None:
    sire, dam = (data.draw(st.integers(0, len(pedigree) - 1)) for _ in range(2))
    whole, cut = (inbreeding_paths(pedigree, sire, dam, most=most) for most in (ALL, 2))
    assert [one.contribution for one in cut.paths] == [one.contribution for one in whole.paths[:2]]
    assert cut.listed + cut.rest == pytest.approx(whole.total, abs=EXACT)


def test_inbreeding_paths__tangled_pedigree_stays_quick_and_says_the_rest() -> None:
    parents: dict[str, tuple[str | None, str | None]] = {}
    for generation in range(1, 31):
        before = (f"m{generation - 1}", f"f{generation - 1}")
        parents |= {f"m{generation}": before, f"f{generation}": before}
    pedigree = Pedigree.from_parents(parents)
    sire, dam = pedigree.index["m30"], pedigree.index["f30"]
    found = inbreeding_paths(pedigree, sire, dam, most=50)
    assert len(found.paths) == 50
    assert found.rest > 0
    assert found.listed + found.rest == pytest.approx(offspring_inbreeding(pedigree, sire, dam), abs=EXACT)


def test_inbreeding_paths__many_equal_far_paths_are_not_searched_for_ever() -> None:
    """Two separate trees of 2^9 ancestors over one pair of founders: all paths are equally far away."""
    parents: dict[str, tuple[str | None, str | None]] = {}
    for side in "ab":
        for level in range(10):
            for at in range(2**level):
                above = tuple(f"{side}{level + 1} {2 * at + k}" for k in (0, 1)) if level < 9 else ("S", "D")
                parents[f"{side}{level} {at}"] = (above[0], above[1])
    pedigree = Pedigree.from_parents(parents)
    sire, dam = pedigree.index["a0 0"], pedigree.index["b0 0"]
    found = inbreeding_paths(pedigree, sire, dam, most=20)
    assert [one.contribution for one in found.paths] == [0.5**21] * 20
    assert found.listed + found.rest == pytest.approx(offspring_inbreeding(pedigree, sire, dam), abs=EXACT)


def test_inbreeding_paths_of__every_kind_of_node() -> None:
    draft = Draft(dict.fromkeys(("S", "A", "B", "D", "?which"), (None, None)), {}, {"?which"})
    draft.candidates["?which"] = (("A", 0.75), ("B", 0.25))
    draft.parents |= {"A": ("S", "D"), "K": ("?which", "D"), "L": ("D", "D"), "M": (None, "D")}
    pedigree = assembled(draft, {}, 0.3)
    doubtful = inbreeding_paths_of(pedigree, pedigree.index["K"])
    chains = [([pedigree.ids[node] for node in one.chain], one.contribution) for one in doubtful.paths]
    assert chains == [(["?which", "A", "D"], 0.75 / 4)]
    alone = inbreeding_paths_of(pedigree, pedigree.index["L"])
    assert not alone.paths
    assert alone.total == pytest.approx(0.7)
    assert "both copies from its dam" in alone.note
    assert inbreeding_paths_of(pedigree, pedigree.index["M"]).total == 0
    which = inbreeding_paths_of(pedigree, pedigree.index["?which"])
    assert (which.paths, which.total) == ((), 0)
    assert "one of several" in which.note


def test_common_ancestors__nearest_first() -> None:
    pedigree = Pedigree.from_parents(BULL)
    pair = pedigree.index["Royal Duke"], pedigree.index["Princess Royal"]
    assert [pedigree.ids[node] for node in common_ancestors(pedigree, *pair)] == ["Champion", "Lord Raglan"]
    above = pedigree.index["Mimulus"], pedigree.index["Royal Duke"]
    assert pedigree.ids[common_ancestors(pedigree, *above)[0]] == "Mimulus"
    assert common_ancestors(pedigree, pedigree.index["Champion"], pedigree.index["Lord Raglan"]) == ()


def test_common_ancestors__one_may_be_the_other() -> None:
    pedigree = Pedigree.from_parents({"T": ("M", "Q"), "U": ("M", "T"), "L": ("H", "Q"), "H": ("M", "X")})
    at = pedigree.index
    assert {pedigree.ids[one] for one in common_ancestors(pedigree, at["U"], at["L"])} == {"M", "Q"}
    assert common_ancestors(pedigree, at["U"], at["T"])[0] == at["T"]
