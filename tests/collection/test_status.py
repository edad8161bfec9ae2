"""What the word for a status says."""

from __future__ import annotations

import pytest

from holdback.collection.status import is_here, lives


@pytest.mark.parametrize(
    "status", ["died in egg", "dead in egg", "Died  2023-04", "put  down (kink)", "stillborn", "DEAD"]
)
def test_lives__not_whatever_is_written_after_the_word(status: str) -> None:
    assert not lives(status)
    assert not is_here(status)


@pytest.mark.parametrize("status", ["sold", "Sold 2024-05", "sold, paid", "traded to Wren", "given away"])
def test_is_here__not_where_it_was_sold_whatever_is_written_after_the_word(status: str) -> None:
    assert lives(status)
    assert not is_here(status)


@pytest.mark.parametrize("status", ["", "breeder", "for sale", "holdback", "unsold", "deadline May"])
def test_is_here__for_all_else(status: str) -> None:
    assert is_here(status)
