"""Looks that another gene may hide: loci that meet in an animal.

Values by enumeration over the genotypes of the young at all loci; parents have one copy of everything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from tests.heredity.beliefs.exact import exact_unit
from tests.heredity.beliefs.pedigrees import evidence_at, family_of, locus_with, recessive, record

from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import LocusEvidence
from holdback.heredity.beliefs.inference import infer

FAMILY = family_of({"S": None, "D": None, "K": ("S", "D")})
SURE = 1e-300
ONE = (SURE, 1.0, SURE)
NOT_SEEN = (1.0, 1.0, 0.01 / 0.99)
"""A look is missed once in a hundred times; against a hidden look, which is never seen."""


def _white(*, recorded: bool) -> LocusEvidence:
    """Two copies make the animal white; of three looks, a mistake is as likely to be either other."""
    looks = [record("K", (0.005, 0.005, 0.99))] if recorded else []
    locus = recessive("white", 0.01, [record("S", ONE), record("D", ONE), *looks])
    return replace(locus, hides=np.array([[False, False], [False, True]]))


def _hidden(key: str, hidden_by: str = "white") -> LocusEvidence:
    look = record("K", NOT_SEEN, key=f"look:K:{key}", hidden_by=hidden_by)
    return locus_with(recessive(key, 0.01, [record("S", ONE), record("D", ONE)]), [look])


def _infer(*loci: LocusEvidence) -> Beliefs:
    return infer(FAMILY, evidence_at(*loci))


@pytest.mark.parametrize(
    "recorded, copies, white",
    [(True, (0.250927, 0.501854, 0.247219), 0.988727), (False, (0.306977, 0.613953, 0.079070), 0.306977)],
    ids=["recorded white", "nothing recorded of white"],
)
def test_infer__a_look_not_seen_on_what_may_be_white(recorded: bool, copies: Sequence[float], white: float) -> None:
    found = _infer(_white(recorded=recorded), _hidden("a"))
    assert found.copies("K", "a", "a") == pytest.approx(tuple(copies), abs=6e-7)
    assert found.copies("K", "white", "white")[2] == pytest.approx(white, abs=6e-7)


def test_infer__without_hiding_the_look_counts_in_full() -> None:
    found = _infer(_white(recorded=True), _hidden("a", hidden_by=""))
    assert found.copies("K", "a", "a") == pytest.approx((0.332215, 0.664430, 0.003356), abs=6e-7)


def test_infer__three_looks_not_seen_speak_for_white() -> None:
    found = _infer(_white(recorded=False), _hidden("a"), _hidden("b"), _hidden("c"))
    assert found.copies("K", "white", "white")[2] == pytest.approx(0.438894, abs=6e-7)
    for key in ("a", "b", "c"):
        assert found.copies("K", key, key)[2] == pytest.approx(0.111607, abs=6e-7)


def test_given__loci_are_independent_only_where_it_is_known_whether_white() -> None:
    """Both recessives visual: .027437, more than the product .012456 of what each is alone."""
    found = _infer(_white(recorded=False), _hidden("a"), _hidden("b"), _hidden("c"))
    unit = exact_unit(found, "K")
    both = 0.0
    for choice, chance in enumerate(unit.switch_posterior):
        parts = unit.given(np.eye(2)[choice])
        both += float(chance * parts["a"].posterior("K")[2] * parts["b"].posterior("K")[2])
    assert both == pytest.approx(0.027437, abs=6e-7)
    assert found.copies("K", "a", "a")[2] * found.copies("K", "b", "b")[2] == pytest.approx(0.012456, abs=6e-7)


def test_infer__a_look_that_nothing_in_play_hides_counts_in_full() -> None:
    """The hiding locus is not among the evidence."""
    apart = _infer(_hidden("a", hidden_by="white"))
    assert apart.copies("K", "a", "a") == pytest.approx((0.332215, 0.664430, 0.003356), abs=6e-7)
    assert not apart.unit_of("K").layout.flags
