"""What founders may be of a line, expected shares, bounds, and kinds of ancestry."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.collection.estimate import Basis
from holdback.collection.model import LineClaim
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import UNKNOWN, Draft, Pedigree, assembled
from holdback.descent.shares import (
    LineFounder,
    LineFounders,
    ancestry,
    line_founders,
    share_bounds,
    share_means,
    share_moments,
)

BIG = "Tall"
"""An invented line."""


def family() -> Pedigree:
    """K of S and D; L of K and a mother not known; M of K and one of two males; N of D alone."""
    parents: dict[str, tuple[str | None, str | None]] = {
        "S": (None, None),
        "D": (None, None),
        "T": (None, None),
        "?dam": (None, None),
        "?sire": (None, None),
        "K": ("S", "D"),
        "L": ("K", "?dam"),
        "M": ("?sire", "K"),
        "N": ("D", "D"),
        "P": (None, "T"),
    }
    draft = Draft.of_parents(parents, {})
    draft.off_record.update({"?dam", "?sire"})
    draft.candidates["?sire"] = (("S", 0.25), ("T", 0.75))
    return assembled(draft, {}, 0.3)


def claim(animal: str, low: float, high: float, ground: str = "", line: str = BIG) -> LineClaim:
    return LineClaim(animal, line, low, high, ground)


def of(p: Pedigree, *claims: LineClaim, unclaimed: float = 0.0) -> LineFounders:
    return line_founders(p, claims, BIG, unclaimed=unclaimed)


def test_line_founders__every_founder_is_there_and_silence_is_told_apart() -> None:
    p = family()
    found = of(p, claim("S", 0.5, 1.0, "Paper of the seller."), claim("D", 1.0, 1.0, line="Other"))
    assert {p.ids[node] for node in found if node != UNKNOWN} == {"S", "D", "T", "?dam"}
    assert found[p.index["S"]] == LineFounder(0.5, 1.0, 0.5, Basis.CLAIMED, "Paper of the seller")
    assert found[p.index["S"]].mean == 0.75
    for silent in (p.index["D"], UNKNOWN):
        assert (found[silent].mean, found[silent].basis, found[silent].ground) == (0.0, Basis.ASSUMED, "")
    assert len(found) == 5
    assert found.not_used == ()


def test_line_founders__unclaimed_animals_may_be_all_of_it_or_nothing() -> None:
    p = family()
    found = of(p, claim("S", 1.0, 1.0), unclaimed=0.2)
    assert found[p.index["T"]].ends == ((0.0, 0.8), (1.0, 0.2))
    assert found[p.index["S"]].ends == ((1.0, 1.0),)
    assert found[p.index["S"]].ground == "Claimed, with no ground given"


def test_line_founders__claims_on_animals_with_parents_are_left_aside() -> None:
    p = family()
    found = of(p, claim("K", 1.0, 1.0), claim("P", 1.0, 1.0), claim("X", 1.0, 1.0))
    reasons = [(one.claim.animal, one.reason) for one in found.not_used]
    assert reasons == [
        ("K", "K has recorded parents; its share follows from them."),
        ("P", "P has recorded parents; its share follows from them."),
        ("X", "X is not in the pedigree."),
    ]
    assert all(one.mean == 0.0 for one in found.values())


def test_line_founders__several_claims_are_narrowed_or_their_contradiction_told() -> None:
    p = family()
    agree = of(p, claim("S", 0.25, 0.75, "Letter"), claim("S", 0.5, 1.0, "Seller."))[p.index["S"]]
    assert (agree.low, agree.high, agree.ground) == (0.5, 0.75, "Letter; Seller")
    clash = of(p, claim("S", 0.0, 0.25, "Letter"), claim("S", 0.5, 1.0, "Seller"))[p.index["S"]]
    assert (clash.low, clash.high) == (0.0, 1.0)
    assert clash.ground == "Letter; Seller. The claims contradict one another; anything between them counts"


def test_share_means__halves_down_every_kind_of_node() -> None:
    p = family()
    founders = of(p, claim("S", 1.0, 1.0), claim("T", 0.5, 0.5), claim("D", 0.0, 0.5), unclaimed=0.1)
    means = dict(zip(p.ids, share_means(p, founders).tolist(), strict=True))
    expected = {"D": 0.25, "K": 0.625, "L": 0.3625, "?sire": 0.625, "M": 0.625, "N": 0.25, "P": 0.3}
    assert {name: means[name] for name in expected} == pytest.approx(expected)


def test_share_bounds__silence_is_anything() -> None:
    p = family()
    founders = of(p, claim("S", 1.0, 1.0), claim("D", 0.0, 0.5, "Seller"))
    bounds = dict(zip(p.ids, share_bounds(p, founders).tolist(), strict=True))
    assert (bounds["T"], bounds["K"], bounds["N"]) == ([0.0, 1.0], [0.5, 0.75], [0.0, 0.5])
    assert bounds["L"] == [0.25, 0.875]
    assert bounds["P"] == [0.0, 1.0]


def test_ancestry__by_kind() -> None:
    p = family()
    kinds = dict(zip(p.ids, ancestry(p, of(p, claim("S", 1.0, 1.0))).tolist(), strict=True))
    assert kinds["K"] == [0.5, 0.5, 0.0]
    assert kinds["L"] == [0.25, 0.25, 0.5]
    assert kinds["M"] == [0.375, 0.625, 0.0]
    assert kinds["P"] == [0.0, 0.5, 0.5]
    assert np.array(list(kinds.values())).sum(axis=1) == pytest.approx(1.0)


def test_part__means_the_same_animals() -> None:
    p = family()
    founders = of(p, claim("S", 1.0, 1.0), claim("T", 0.5, 1.0), unclaimed=0.1)
    part = p.part([p.index["M"]])
    here = founders.part(p, [p.index["M"]])
    assert share_means(part, here)[-1] == share_means(p, founders)[p.index["M"]]
    assert {part.ids[node] for node in here if node != UNKNOWN} == {"S", "D", "T"}


def test_share_moments__doubt_about_a_founder_is_part_of_the_spread() -> None:
    """Half or all of the line: 0.75 and, at the two ends, 0.25 away from it."""
    p = family()
    found = share_moments(p, of(p, claim("S", 0.5, 1.0)), GenomeMap.equal(18, 1.0), nodes=[p.index["S"]])
    assert (found.mean[0], found.sd[0]) == pytest.approx((0.75, 0.25))


def test_share_bounds__a_doubtful_sire_may_be_any_of_his_candidates() -> None:
    p = family()
    said = dict.fromkeys(np.flatnonzero(p.is_founder).tolist(), LineFounder(1.0, 1.0, ground="Paper"))
    first, second = (one for one, _ in next(iter(p.candidates.values())))
    said[first], said[second] = LineFounder(0.0, 0.0, ground="Paper"), LineFounder(1.0, 1.0, ground="Paper")
    assert share_bounds(p, said)[p.index["M"]].tolist() == [0.25, 0.75]
    assert share_means(p, said)[p.index["M"]] == 0.625
