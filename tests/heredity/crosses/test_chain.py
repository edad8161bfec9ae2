"""Groups of linked loci."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest

from holdback.heredity.crosses.chain import SEX_REGION, linkage_groups
from holdback.species.model import Linkage, Mark, Value


def link(first: str, second: str, r: float) -> Linkage:
    return Linkage((first, second), Value(r, r, r, "", Mark.OWN))


@pytest.fixture
def four(build: Callable[..., Any], gene: Callable[..., Any]) -> Callable[..., Any]:
    def made(*linkages: Linkage, **more: Any) -> Any:
        return build(*(gene(name) for name in ("A", "B", "C", "D")), linkages=linkages, **more)

    return made


def test_linkage_groups__free_loci_stand_alone(four: Callable[..., Any]) -> None:
    assert [group.members for group in linkage_groups(four(), {"c", "a"})] == [("a",), ("c",)]


def test_linkage_groups__a_locus_not_in_play_still_lies_between(four: Callable[..., Any]) -> None:
    species = four(link("a", "b", 0.1), link("b", "c", 0.2))
    (group,) = linkage_groups(species, {"a", "c"})
    assert group.members == ("a", "c")
    assert group.r == pytest.approx((0.1 * 0.8 + 0.9 * 0.2,))


def test_linkage_groups__order_with_least_recombination(four: Callable[..., Any]) -> None:
    species = four(link("a", "b", 0.3), link("a", "c", 0.1), link("c", "b", 0.22))
    (group,) = linkage_groups(species, {"a", "b", "c"})
    assert group.members in {("a", "c", "b"), ("b", "c", "a")}
    assert sorted(group.r) == [0.1, 0.22]


def test_linkage_groups__half_is_no_linkage(four: Callable[..., Any]) -> None:
    assert len(linkage_groups(four(link("a", "b", 0.5)), {"a", "b"})) == 2


def test_linkage_groups__sex_region_is_a_member(four: Callable[..., Any]) -> None:
    species = four(sex_linked={"a": (0.1,), "b": (0.2,)})
    (group,) = linkage_groups(species, {"a", "b"})
    assert group.members in {("a", SEX_REGION, "b"), ("b", SEX_REGION, "a")}
    assert group.loci in {("a", "b"), ("b", "a")}
    assert group.sex_linked


def test_linkage_groups__recombination_of_the_caller(four: Callable[..., Any]) -> None:
    species = four(sex_linked={"a": (0.1,)})
    (linked,) = linkage_groups(species, {"a"}, {"a": 0.3})
    assert linked.r == (0.3,)
    (free,) = linkage_groups(species, {"a"}, {"a": 0.5})
    assert not free.sex_linked


def test_linkage_groups__large_group_follows_the_map(build: Callable[..., Any], gene: Callable[..., Any]) -> None:
    names = "ABCDEFGHI"
    linkages = tuple(link(a.lower(), b.lower(), 0.1) for a, b in pairwise(names))
    (group,) = linkage_groups(build(*(gene(name) for name in names), linkages=linkages), set(names.lower()))
    assert "".join(group.members) in {names.lower(), names.lower()[::-1]}
    assert group.r == pytest.approx((0.1,) * 8)


def test_linkage_groups__cut_where_what_lies_between_is_free(four: Callable[..., Any]) -> None:
    species = four(link("a", "b", 0.4999999999999999), link("b", "c", 0.4999999999999999), link("c", "d", 0.1))
    groups = linkage_groups(species, {"a", "c", "d"})
    assert sorted(sorted(group.members) for group in groups) == [["a"], ["c", "d"]]
