from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.intake.numbers import GRAMS, Quantity, Unclear, number, quantity
from holdback.intake.sheets import Cell


@pytest.mark.parametrize(
    "text, value, unit",
    [
        ("106.2 oz", 106.2, "oz"),
        ("1 lb 4 oz", 20.0, "oz"),
        ("2lbs 3oz", 35.0, "oz"),
        ("1,500.5 g", 1500.5, "g"),
        ("1.500,5", 1500.5, ""),
        ("1 204", 1204.0, ""),
        ("1'204", 1204.0, ""),
        ("850 grams", 850.0, "g"),
        ("1.2kg", 1.2, "kg"),
        ("4 ft 2 in", 50.0, "in"),
        ("12,5", 12.5, ""),
        ("5 lbs.", 5.0, "lb"),
    ],
)
def test_quantity__as_keepers_type_it(text: str, value: float, unit: str) -> None:
    assert quantity(Cell(text, text)) == Quantity(value, unit)


@pytest.mark.parametrize("text", ["heavy", "12 tubs", "1/2", "1.2.3", "12..5", "", "640 and 650", "1,50,000.5"])
def test_quantity__is_none(text: str) -> None:
    with pytest.raises(Unclear):
        quantity(Cell(text, text))


def test_number__one_comma_before_three_figures_is_asked() -> None:
    with pytest.raises(Unclear, match=r"3010 with a thousands comma or 3\.010 with a decimal comma"):
        number("3,010")
    assert number("3,010", decimal=".") == 3010
    assert number("3,010", decimal=",") == 3.01


def test_number__against_the_told_sign_is_refused() -> None:
    with pytest.raises(Unclear, match="does not go with the decimal sign"):
        number("1,204.5", decimal=",")


def test_quantity__about_is_kept() -> None:
    assert quantity(Cell("~850g", "~850g")).about
    assert quantity(Cell("approx. 850 g", "approx. 850 g")) == Quantity(850, "g", about=True)


def test_grams__ounce_and_pound_are_exact() -> None:
    # International yard and pound agreement of 1959: 1 lb = 0.45359237 kg, 16 oz a pound.
    assert GRAMS["lb"] == 453.59237
    assert GRAMS["oz"] * 16 == GRAMS["lb"]


@given(st.integers(min_value=0, max_value=9_999_999), st.sampled_from([".", ","]))
def test_number__grouped_by_thousands_reads_back(value: int, decimal: str) -> None:
    grouped = f"{value:,}".replace(",", "," if decimal == "." else ".")
    assert number(grouped, decimal=decimal) == value


@given(st.decimals(min_value=0, max_value=99_999, places=2), st.sampled_from([".", ","]))
def test_number__two_decimals_read_back(value: object, decimal: str) -> None:
    assert number(str(value).replace(".", decimal), decimal=decimal) == float(str(value))


@given(st.text(max_size=20))
def test_quantity__never_fails_otherwise(text: str) -> None:
    try:
        found = quantity(Cell(text, text))
    except Unclear:
        return
    assert found.value >= 0
