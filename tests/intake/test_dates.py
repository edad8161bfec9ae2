from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.collection.model import PartialDate
from holdback.intake.dates import date, figures, two_figure_year
from holdback.intake.numbers import Unclear
from holdback.intake.sheets import Cell

JULY_18 = PartialDate(2022, 7, 18)
DAYS = st.dates(min_value=dt.date(1970, 1, 1), max_value=dt.date(2068, 12, 31))


@pytest.mark.parametrize(
    "text",
    [
        "2022-07-18", "18 July 2022", "July 18, 2022", "18th of July 2022", "18-Jul-22", "7/18/22", "7/18/2022",
        "18.07.2022", "18.7.22", "20220718", "2022/7/18", "Jul 18 2022", "44760", "2022-07-18 00:00:00", "18 jul. 2022",
    ],
)  # fmt: skip
def test_date__one_day_in_many_styles(text: str) -> None:
    assert date(Cell(text, text), year_from=1966) == JULY_18


@pytest.mark.parametrize(
    "text, said",
    [("2022-07", "2022-07"), ("July 2022", "2022-07"), ("07/2022", "2022-07"), ("2022", "2022"), ("'22", "2022")],
)
def test_date__as_precise_as_typed(text: str, said: str) -> None:
    assert str(date(Cell(text, text), year_from=1966)) == said


@pytest.mark.parametrize(
    "text, why",
    [
        ("summer 2021", "not a date"),
        ("3/4/2022", "day and month cannot be told apart"),
        ("2022-02-30", "no such day"),
        ("7/18/22", "its century is not known"),
        ("1822-07-18", "no year of these records"),
        ("", "not a date"),
    ],
)
def test_date__is_not_guessed(text: str, why: str) -> None:
    with pytest.raises(Unclear, match=why):
        date(Cell(text, text))


def test_date__order_is_told_for_each_separator() -> None:
    orders = {"/": "mdy", ".": "dmy"}
    assert date(Cell("3/4/2022"), orders=orders) == PartialDate(2022, 3, 4)
    assert date(Cell("3.4.2022"), orders=orders) == PartialDate(2022, 4, 3)
    with pytest.raises(Unclear, match="cannot be read with the month first"):
        date(Cell("25/12/2021"), orders=orders)


def test_date__typed_by_the_spreadsheet() -> None:
    assert date(Cell("2022-07-18", dt.date(2022, 7, 18))) == JULY_18


@given(DAYS)
def test_date__any_day_reads_back(day: dt.date) -> None:
    expected = PartialDate(day.year, day.month, day.day)
    for text, orders in (
        (day.isoformat(), {}),
        (f"{day:%d %B %Y}", {}),
        (f"{day:%d.%m.%Y}", {".": "dmy"}),
        (f"{day:%m/%d/%Y}", {"/": "mdy"}),
        (f"{day:%m/%d/%y}", {"/": "mdy"}),
        (str((day - dt.date(1899, 12, 30)).days), {}),
    ):
        assert date(Cell(text), orders=orders, year_from=1969) == expected


@given(st.text(max_size=24))
def test_date__never_fails_otherwise(text: str) -> None:
    figures(text)
    two_figure_year(text)
    try:
        found = date(Cell(text, text), orders={"/": "dmy", "-": "dmy", ".": "dmy"}, year_from=1966)
    except Unclear:
        return
    assert 1950 <= found.year <= 2199
