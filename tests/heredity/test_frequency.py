"""Natural frequencies."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.heredity.frequency import in_words, sixteenths


@pytest.mark.parametrize(
    "chance, words",
    [
        (0.0, "none"),
        (1.0, "all"),
        (0.5, "1 in 2 eggs"),
        (3 / 16, "3 in 16 eggs"),
        (9 / 16, "9 in 16 eggs"),
        (1 / 256, "about 1 in 256 eggs"),
        (0.34, "about 1 in 3 eggs"),
        (0.97, "about 32 in 33 eggs"),
        (0.0009, "fewer than 1 in 1,000 eggs"),
        (0.9995, "more than 999 in 1,000 eggs"),
    ],
)
def test_in_words__cases(chance: float, words: str) -> None:
    assert in_words(chance) == words


@given(st.floats(0.001, 0.999))
def test_in_words__fraction_is_close_to_the_chance(chance: float) -> None:
    numerator, rest = in_words(chance, of="").removeprefix("about ").split(" in ")
    named = int(numerator) / int(rest.replace(",", ""))
    # 1 in n, rounded, is off by at most half a step of n
    assert abs(named - chance) <= 0.2 * min(chance, 1 - chance)


def test_in_words__refuses_what_is_no_probability() -> None:
    with pytest.raises(ValueError, match="is no probability"):
        in_words(1.5)


@given(st.floats(0, 1))
def test_sixteenths__is_within_half_an_oval(chance: float) -> None:
    assert abs(sixteenths(chance) - 16 * chance) <= 0.5
