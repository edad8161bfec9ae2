"""How many times likelier, in words."""

from __future__ import annotations

import pytest

from holdback.web.pages.size.of_line import _times


@pytest.mark.parametrize(
    "ratio, words",
    [(5.7e-05, "under 0.001 times"), (0.04, "0.04 times"), (1.0, "1.0 times"), (1234.0, "1,234 times")],
)
def test_times__never_in_powers_of_ten(ratio: float, words: str) -> None:
    assert _times(ratio) == words
