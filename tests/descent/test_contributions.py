"""Contributions of founders against the worked cohort and against relationships to founders."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from tests.descent.strategies import pedigrees

from holdback.descent.contributions import contributions_of, founder_contributions, gene_parts
from holdback.descent.kinship import relationship
from holdback.descent.pedigree import Draft, Pedigree, assembled

EXACT = 1e-12

COHORT = {
    "5": ("1", "2"), "6": ("1", "2"), "7": ("1", "3"), "8": ("1", "3"),
    "9": ("5", "7"), "10": ("6", "8"), "11": ("5", "8"), "12": ("9", "4"),
}  # fmt: skip
"""Four founders and a cohort of four, worked by hand."""


def cohort() -> tuple[Pedigree, list[int]]:
    pedigree = Pedigree.from_parents(COHORT)
    return pedigree, [pedigree.index[one] for one in ("9", "10", "11", "12")]


def test_founder_contributions__cohort_by_hand() -> None:
    pedigree, members = cohort()
    found = {pedigree.ids[node]: part for node, part in founder_contributions(pedigree, members).items()}
    assert found == {"1": 0.4375, "2": 0.21875, "3": 0.21875, "4": 0.125}
    assert founder_contributions(pedigree, [*members, members[0]]) == founder_contributions(pedigree, members)


def test_founder_contributions__doubtful_sires_and_no_sire() -> None:
    draft = Draft(dict.fromkeys(("A", "B", "D", "?which"), (None, None)), {}, {"?which"})
    draft.candidates["?which"] = (("A", 0.75), ("B", 0.25))
    draft.parents |= {"K": ("?which", "D"), "L": ("K", "K")}
    pedigree = assembled(draft, {}, 0.3)
    found = {pedigree.ids[node]: part for node, part in contributions_of(pedigree, pedigree.index["L"]).items()}
    assert found == {"A": 0.375, "B": 0.125, "D": 0.5}


def test_founder_contributions__of_nobody() -> None:
    with pytest.raises(ValueError, match="at least one animal"):
        founder_contributions(cohort()[0], [])


@given(pedigrees(max_nodes=12))
def test_founder_contributions__are_relationships_to_founders(pedigree: Pedigree) -> None:
    """A founder that is not inbred has the relationship c to a node that it gave the part c."""
    table = relationship(pedigree)
    members = list(range(len(pedigree)))
    found = founder_contributions(pedigree, members)
    founders = [int(node) for node in np.flatnonzero(pedigree.is_founder)]
    np.testing.assert_allclose(
        np.array([found[node] for node in founders]), table[founders].mean(axis=1), rtol=0, atol=EXACT
    )
    assert gene_parts(pedigree, members)[founders].sum() <= 1 + EXACT
