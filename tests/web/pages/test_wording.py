"""Chances, numbers and dates in words."""

from __future__ import annotations

import pytest

from holdback.collection.model import PartialDate
from holdback.web.pages.wording import (
    GAP,
    about,
    counted,
    day,
    eggs_of,
    het_percent,
    listed,
    number,
    percent,
    quantity,
    span,
)


@pytest.mark.parametrize(
    "chance, words",
    [
        (3 / 16, "3 in 16 eggs"),
        (0.26, "about 1 in 4 eggs"),
        (1 / 64, "1 in 64 eggs"),
        (0.0, "no egg"),
        (1.0, "every egg"),
        (0.0004, "fewer than 1 in 1,000 eggs"),
    ],
)
def test_eggs_of__says_a_natural_frequency(chance: float, words: str) -> None:
    assert eggs_of(chance) == words


def test_about__says_certainty_in_words() -> None:
    assert (about(1.0), about(0.0), about(0.5)) == ("every one", "none", "1 in 2")


@pytest.mark.parametrize(
    "chance, words",
    [(0.1875, "18.8 %"), (0.5, "50 %"), (0.0, "0 %"), (1.0, "100 %"), (0.0004, "under 0.1 %"), (0.9996, "over 99.9 %")],
)
def test_percent__never_rounds_a_chance_to_never_or_always(chance: float, words: str) -> None:
    assert percent(chance).replace(GAP, " ") == words


def test_quantity__marks_thousands_and_keeps_the_unit_on_the_line() -> None:
    assert quantity(3010, "g") == f"3,010{GAP}g"
    assert quantity(38.2, "mm", 1) == f"38.2{GAP}mm"
    assert number(70.0, 2) == "70"


def test_span__uses_a_dash_and_a_word_where_an_end_is_negative() -> None:
    assert span(67, 83) == "67–83"
    assert span(-2, 5) == "−2 to 5"


@pytest.mark.parametrize("text, words", [("2026-05-14", "14 May 2026"), ("2026-05", "May 2026"), ("2026", "2026")])
def test_day__keeps_the_precision_known(text: str, words: str) -> None:
    assert day(PartialDate.parse(text)) == words


def test_day__of_nothing_is_empty() -> None:
    assert day(None) == ""


def test_listed__joins_as_in_a_sentence() -> None:
    assert listed([]) == ""
    assert listed(["Clown"]) == "Clown"
    assert listed(["Clown", "Piebald"]) == "Clown and Piebald"
    assert listed(["Clown", "Piebald", "Enchi"], "or") == "Clown, Piebald or Enchi"


def test_counted__picks_the_noun() -> None:
    assert counted(1, "animal") == "1 animal"
    assert counted(2140, "animal") == "2,140 animals"
    assert counted(0, "young", "young") == "0 young"


@pytest.mark.parametrize(
    "chance, words",
    [(2 / 3, "66 %"), (0.6652, "66 %"), (0.9942, "over 99 %"), (0.995, "100 %"), (0.9999, "100 %"), (0.98, "98 %")],
)
def test_het_percent__says_100_only_of_what_is_sure(chance: float, words: str) -> None:
    assert het_percent(chance).replace(GAP, " ") == words
