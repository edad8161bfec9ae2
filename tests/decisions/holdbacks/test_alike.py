from __future__ import annotations

from itertools import combinations

from tests.decisions.herd import herd
from tests.decisions.holdbacks.exact import candidate, project

from holdback.decisions.holdbacks.alike import alike, all_bags, n_sets


def test_alike__sibs_with_the_same_chances_are_one_kind() -> None:
    stock = herd(
        males=[["vis"], ["het"], ["het"]],
        females=[["het"], ["66"], ["het"]],
        genes=["clown"],
        kinship={("m1", "m2"): 0.25, ("m1", "f0"): 0.25, ("m2", "f0"): 0.25, ("f2", "f1"): 0.25},
    )
    young = [candidate(stock, one) for one in ("m1", "m2", "f0", "f1", "f2")]
    assert alike(stock, young, [project(("clown", 2))]) == (("m1", "m2"), ("f0",), ("f1",), ("f2",))


def test_alike__genes_that_nobody_asks_for_do_not_matter() -> None:
    stock = herd(males=[["vis", "-"], ["vis", "1"]], females=[], genes=["clown", "enchi"])
    young = [candidate(stock, one) for one in ("m0", "m1")]
    assert alike(stock, young, [project(("clown", 2))]) == (("m0", "m1"),)
    assert alike(stock, young, [project(("clown", 2), ("enchi", 1))]) == (("m0",), ("m1",))


def test_all_bags__are_the_sets_that_can_be_told_apart() -> None:
    groups = [("a", "b"), ("c",), ("d", "e", "f")]
    kinds = {name: k for k, group in enumerate(groups) for name in group}
    expected = {
        tuple(sorted(kinds[name] for name in kept)) for n in range(4) for kept in combinations(sorted(kinds), n)
    }
    assert set(all_bags(groups, 3)) == expected
    assert n_sets(groups, 3) == len(all_bags(groups, 3)) == len(expected)


def test_n_sets__of_twelve_that_differ() -> None:
    """Sums of binomial coefficients: 1 + 12 + 66 + 220."""
    assert n_sets([(str(k),) for k in range(12)], 3) == 299
