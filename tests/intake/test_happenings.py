from __future__ import annotations

import pytest

from holdback.intake.happenings import Said, said


@pytest.mark.parametrize(
    "text, kind, note",
    [
        ("fd", "meal", ""),
        ("FED: 1 med rat", "meal", "1 med rat"),
        ("1 rat M", "meal", "1 rat M"),
        ("ref", "meal", "refused"),
        ("refused 1 rat", "meal", "refused: 1 rat"),
        ("fed 1 rat, refused", "meal", "1 rat, refused"),
        ("regurg.", "meal", "regurgitated"),
        ("bad shed", "shed", "bad shed"),
        ("blue", "in shed", ""),
        ("PLS", "pre-lay shed", ""),
        ("ov", "ovulation", ""),
        ("locked w/ Mortar", "lock", "Mortar"),
        ("laid 7 eggs", "laid", "7 eggs"),
        ("vet: mites", "vet", "mites"),
        ("Cleaned", "cleaned", ""),
        ("moved to 3-B", "moved", "3-B"),
    ],
)
def test_said__short_words_of_the_trade(text: str, kind: str, note: str) -> None:
    assert said(text) == (Said(kind, note),)


@pytest.mark.parametrize(
    "text, value, unit",
    [
        ("fed 85g rat", 85.0, "g"),
        ("US 22mm x6", 22.0, "mm"),
        ("follicles 14 mm, 19.5 mm", 19.5, "mm"),
        ("us 18", 18.0, "mm"),
        ("wt 1450", 1450.0, ""),
        ("wt:52.3 oz", 52.3, "oz"),
        ("1420 g", 1420.0, "g"),
    ],
)
def test_said__number_and_unit(text: str, value: float, unit: str) -> None:
    (found,) = said(text)
    assert (found.value, found.unit) == (value, unit)


def test_said__of_several_prey_or_a_count_no_gram_is_made() -> None:
    assert [said(text)[0].value for text in ("2 x 45g rats", "fed 2 rats 80 g", "laid 7", "us 8 follicles")] == [
        None
    ] * 4


def test_said__two_happenings_in_a_cell() -> None:
    assert [one.kind for one in said("shed + wt 1420")] == ["shed", "weight"]
    assert [one.kind for one in said("fed 1 rat and 2 mice")] == ["meal"]


def test_said__a_comma_that_can_be_two_things_gives_no_weight() -> None:
    assert said("wt 1,450") == (Said("weight", figures="1,450"),)
    assert said("wt 1,450", decimal=".")[0].value == 1450.0


@pytest.mark.parametrize("text", ["hello", "", "12", "Umber", "rather thin"])
def test_said__other_words_are_not_guessed(text: str) -> None:
    assert said(text) == ()
