"""What is left of founders, by hand and by exact enumeration."""

from __future__ import annotations

import pytest
from tests.descent.test_contributions import cohort

from holdback.descent.diversity import founder_standing, mean_kinships
from holdback.descent.pedigree import Draft, Pedigree, assembled

ERRORS = 4.5
"""Standard errors allowed: passed by chance in all but one of 100,000."""


def test_founder_standing__cohort_by_long_drop() -> None:
    """Parts left by 200,000 drops of another program: 0.7798, 0.5318, 0.5316, 0.5000."""
    pedigree, members = cohort()
    nodes = [pedigree.index[one] for one in "1234"]
    found = founder_standing(pedigree, nodes, members, drops=20_000)
    for node, expected in zip(nodes, (0.7798, 0.5318, 0.5316, 0.5), strict=True):
        assert abs(found[node].retained - expected) <= ERRORS * found[node].retained_se + 5e-4 * ERRORS
    assert [found[node].descendants for node in nodes] == [4, 4, 4, 1]
    assert [found[node].at_risk for node in nodes] == [False, False, False, True]
    assert found[nodes[0]].contribution == 0.4375


@pytest.mark.parametrize("n_young", [1, 2, 3, 6])
def test_founder_standing__young_of_one_founder(n_young: int) -> None:
    """Each of both copies is lost with chance (1/2)^n: 1 - (1/2)^n are left."""
    pedigree = Pedigree.from_parents({f"k{n}": ("S", f"d{n}") for n in range(n_young)})
    sire, members = pedigree.index["S"], [pedigree.index[f"k{n}"] for n in range(n_young)]
    found = founder_standing(pedigree, [sire], [sire, *members])[sire]
    assert abs(found.retained - (1 - 0.5**n_young)) <= ERRORS * found.retained_se + 1e-12
    assert (found.offspring_lines, found.at_risk) == (n_young, n_young == 1)


def test_founder_standing__without_sire_and_doubtful_sires() -> None:
    """A young without a sire holds both copies with chance h; a candidate with weight 3/4 gives 3/4 of one half."""
    draft = Draft(dict.fromkeys(("A", "B", "D", "?which"), (None, None)), {}, {"?which"})
    draft.candidates["?which"] = (("A", 0.75), ("B", 0.25))
    draft.parents |= {"K": ("?which", "x"), "L": ("D", "D"), "x": (None, None)}
    pedigree = assembled(draft, {}, 0.3)
    nodes = [pedigree.index[one] for one in ("A", "B", "D")]
    found = founder_standing(pedigree, nodes, [pedigree.index["K"], pedigree.index["L"]], drops=20_000)
    for node, expected in zip(nodes, (0.375, 0.125, 0.65), strict=True):
        assert abs(found[node].retained - expected) <= ERRORS * found[node].retained_se
    assert [found[node].offspring_lines for node in nodes] == [1, 1, 1]


def test_founder_standing__lost_and_alone() -> None:
    pedigree = Pedigree.from_parents({"K": ("S", "D"), "L": ("T", "E")})
    here = [pedigree.index["K"], pedigree.index["T"]]
    found = founder_standing(pedigree, [pedigree.index["E"], pedigree.index["T"]], here)
    lost, alone = found.values()
    assert (lost.retained, lost.at_risk, lost.why) == (0, False, "Nothing of it is left here.")
    assert (alone.retained, alone.at_risk, alone.contribution) == (0, True, 0.5)
    nobody = founder_standing(pedigree, [pedigree.index["E"]], [])
    assert [one.contribution for one in nobody.values()] == [0]


def test_founder_standing__founders_below_each_other_and_more_than_a_word_holds() -> None:
    parents = {f"k{n}": (f"s{n}", f"d{n}") for n in range(40)} | {"last": ("k0", "k1")}
    pedigree = Pedigree.from_parents(parents)
    founders = [pedigree.index[f"s{n}"] for n in range(40)] + [pedigree.index["k0"]]
    members = [pedigree.index[f"k{n}"] for n in range(40)] + [pedigree.index["last"]]
    found = founder_standing(pedigree, founders, members, drops=200)
    assert {found[node].retained for node in founders[:40]} == {0.5}
    assert found[pedigree.index["k0"]].retained == 0.5
    assert found[pedigree.index["k0"]].why == "One animal here descends from it."


def test_founder_standing__same_seed_same_answer() -> None:
    pedigree, members = cohort()
    first, again, other = (founder_standing(pedigree, [0], members, seed=seed) for seed in (1, 1, 2))
    assert first == again != other


def test_founder_standing__several_branches_and_little_left() -> None:
    parents: dict[str, tuple[str | None, str | None]] = {"a": ("S", "d"), "b": ("S", "e")}
    parents |= {"a1": ("a", "f"), "b1": ("b", "g"), "a2": ("a1", "h"), "b2": ("b1", "i")}
    pedigree = Pedigree.from_parents(parents, sexes={})
    found = founder_standing(pedigree, [pedigree.index["S"]], [pedigree.index["a2"], pedigree.index["b2"]])
    assert found[pedigree.index["S"]].why == "Less than half of its genes are expected to be left here."


def test_mean_kinships__carriers_of_rare_founders_first() -> None:
    """By hand: animal 12 brings founder 4 in, and has the lowest mean kinship; their mean is that of the cohort."""
    pedigree, members = cohort()
    found = mean_kinships(pedigree, members)
    assert pedigree.ids[found[0][0]] == "12"
    assert sum(mean for _, mean in found) / 4 == pytest.approx(0.28515625, abs=1e-12)
    assert mean_kinships(pedigree, []) == ()
