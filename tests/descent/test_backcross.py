"""Backcross tables: both directions, inbreeding, years."""

from __future__ import annotations

import pytest

from holdback.descent.backcross import backcross_table
from holdback.descent.genome import GenomeMap

EQUAL = GenomeMap.equal(18, 1.0)


def test_backcross_table__share_falls_and_the_other_side_rises() -> None:
    """Spread for 18 pairs of 1 Morgan by the closed form of Hill (1993), worked out apart from this code."""
    rows = backcross_table(EQUAL, generations=6, same_parent=False)
    assert [row.share for row in rows] == [0.5, 0.25, 0.125, 0.0625, 0.03125, 0.015625, 0.0078125]
    expected = (0.0, 0.04440, 0.03624, 0.02599, 0.01784, 0.01203, 0.00806)
    assert [row.sd for row in rows] == pytest.approx(expected, abs=6e-6)
    assert [row.recurrent_share + row.share for row in rows] == [1.0] * 7
    assert [row.recurrent_sd for row in rows] == pytest.approx([row.sd for row in rows])
    assert [row.donor_fraction for row in rows] == [2 * row.share for row in rows]
    assert {row.inbreeding for row in rows} == {0.0}
    assert {row.year for row in rows} == {None}


def test_backcross_table__to_one_and_the_same_animal() -> None:
    """Falconer & Mackay (1996) table 5.1, backcross to one outbred parent, from memory: .25 .375 .4375 .4688 .4844."""
    rows = backcross_table(EQUAL, generations=5, same_parent=True, first_year=2027, years_per_generation=3.5)
    found = [row.inbreeding for row in rows[1:]]
    assert found == pytest.approx((0.25, 0.375, 0.4375, 0.4688, 0.4844), abs=5e-5)
    assert [row.year for row in rows[:3]] == [2027, 2030.5, 2034]


def test_backcross_table__a_donor_that_is_half_of_the_line() -> None:
    rows = backcross_table(EQUAL, generations=1, same_parent=False, start_share=0.5)
    assert [row.share for row in rows] == [0.25, 0.125]
    assert rows[0].sd > 0
    assert [row.recurrent_share for row in rows] == [0.5, 0.75]
