"""Effective numbers against worked examples."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from tests.descent.strategies import pedigrees
from tests.descent.test_contributions import cohort

from holdback.descent.effective import (
    completeness,
    effective_ancestors,
    effective_founders,
    equivalent_generations,
    genome_equivalents,
    size_by_inbreeding,
    size_by_rate,
    size_by_sex_ratio,
    size_over_generations,
)
from holdback.descent.pedigree import Draft, Pedigree, assembled

PRINTED = 5e-7
"""Half of the last figure of the worked cohort."""


def test_cohort_by_hand() -> None:
    """F_e and f_a 3.303226 by hand (no bottleneck, so both are the same), 1 / (2 mean kinship) 1.753425."""
    pedigree, members = cohort()
    assert effective_founders(pedigree, members) == pytest.approx(3.303226, abs=PRINTED)
    found = effective_ancestors(pedigree, members)
    assert found.value == pytest.approx(3.303226, abs=PRINTED)
    named = [(pedigree.ids[one.node], one.contribution) for one in found.ancestors]
    assert named == [("1", 0.4375), ("2", 0.21875), ("3", 0.21875), ("4", 0.125)]
    assert genome_equivalents(pedigree, members) == pytest.approx(1.753425, abs=PRINTED)


def test_effective_ancestors__see_a_bottleneck() -> None:
    """One male between four grandparents and half of all genes: by hand 1/2, then the four dams with 1/8 each."""
    parents = {"sire": ("f", "m"), "f": ("a", "b"), "m": ("c", "d")} | {f"k{n}": ("sire", f"d{n}") for n in range(4)}
    pedigree = Pedigree.from_parents(parents)
    members = [pedigree.index[f"k{n}"] for n in range(4)]
    found = effective_ancestors(pedigree, members)
    assert pedigree.ids[found.ancestors[0].node] == "sire"
    assert [one.contribution for one in found.ancestors] == [0.5, 0.125, 0.125, 0.125, 0.125]
    assert found.value == 1 / (0.25 + 4 / 64)
    assert effective_founders(pedigree, members) == 8


def test_effective_founders__unknown_parent_is_a_founder_of_its_own() -> None:
    half = Pedigree.from_parents({"K": ("S", None), "L": ("S", None)})
    named = Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "E")})
    both = [(one, [one.index["K"], one.index["L"]]) for one in (half, named)]
    assert [effective_founders(*one) for one in both] == [1 / (0.25 + 2 / 16)] * 2


@given(pedigrees(max_nodes=10))
def test_effective_ancestors__account_for_everything(pedigree: Pedigree) -> None:
    members = list(range(len(pedigree)))
    found = effective_ancestors(pedigree, members)
    parts = [one.contribution for one in found.ancestors]
    assert sum(parts) == pytest.approx(1, abs=1e-9)
    assert np.all(np.diff(parts) < 1e-9)


def test_size_by_sex_ratio__printed_examples() -> None:
    assert size_by_sex_ratio(1, 10).value == pytest.approx(3.636, abs=5e-4)
    assert size_by_sex_ratio(2, 8).value == 6.4
    assert size_by_sex_ratio(0, 8).value is None


def test_size_over_generations__printed_example() -> None:
    assert size_over_generations([10, 50, 100]).value == pytest.approx(23.077, abs=5e-4)
    assert size_over_generations([]).value is None
    assert size_over_generations([10, 0]).value is None


def test_size_by_rate__cannot_be_said_without_a_rise() -> None:
    assert size_by_rate(0.125).value == 4
    assert size_by_rate(0.0).value is None


def test_size_by_inbreeding__full_sibs_by_hand() -> None:
    """Young of full sibs: F = 1/4 after two complete generations, so dF = 1/4 and the size is 2."""
    pedigree = Pedigree.from_parents({"A": ("S", "D"), "B": ("S", "D"), "K": ("A", "B")})
    found = size_by_inbreeding(pedigree, [pedigree.index["K"], pedigree.index["A"]])
    assert (found.value, found.n) == (2.0, 1)
    assert size_by_inbreeding(pedigree, [pedigree.index["A"]]).value is None
    outbred = Pedigree.from_parents({"A": ("S", "D"), "B": ("T", "E"), "K": ("A", "B")})
    assert size_by_inbreeding(outbred, [outbred.index["K"]]).value is None


def test_equivalent_generations__unknown_and_doubtful_parents() -> None:
    draft = Draft(dict.fromkeys(("A", "D", "?sire", "?which"), (None, None)), {}, {"?sire", "?which"})
    draft.candidates["?which"] = (("A", 0.75), ("?sire", 0.25))
    draft.parents |= {"K": ("?which", "D"), "L": ("?sire", "D"), "M": ("K", "K"), "N": ("A", "D")}
    pedigree = assembled(draft, {}, 0.3)
    depth, known = equivalent_generations(pedigree), completeness(pedigree, generations=2)
    expected = {"A": 0, "?sire": 0, "K": 0.875, "L": 0.5, "M": 1.875, "N": 1}
    assert {one: depth[pedigree.index[one]] for one in expected} == expected
    assert known[pedigree.index["M"]].tolist() == [1.0, 0.875]
    assert known[pedigree.index["N"]].tolist() == [1.0, 0.0]


@given(pedigrees(max_nodes=10))
def test_equivalent_generations__sum_of_completeness(pedigree: Pedigree) -> None:
    table = completeness(pedigree, generations=len(pedigree))
    np.testing.assert_allclose(table.sum(axis=1), equivalent_generations(pedigree), rtol=0, atol=1e-12)


def test_genome_equivalents__of_nobody() -> None:
    with pytest.raises(ValueError, match="at least one animal"):
        genome_equivalents(cohort()[0], [])
