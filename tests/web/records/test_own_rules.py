"""The keeper's own rules, and the ids that follow from them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Clutch, Setting
from holdback.web.records.new_ids import next_clutch_id, offered_ids
from holdback.web.records.own_rules import OwnRules, own_rules
from holdback.web.records.services import add_animal, add_clutch, change_animal, set_rule, undo

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]


def clutch_of(dam: Animal, tag: str = "26-01") -> Clutch:
    return add_clutch(who=WHO, tag=tag, dam=dam, laid="2026-04-02", eggs=4)


def test_own_rules__come_with_defaults() -> None:
    assert own_rules() == OwnRules()


def test_set_rule__is_kept_changed_and_taken_back() -> None:
    assert set_rule("candle_days", "30, 7 14", who=WHO).candle_days == (7, 14, 30)
    assert set_rule("candle_days", [5], who=WHO).candle_days == (5,)
    undo(Change.objects.latest("id"), who=WHO)
    assert own_rules().candle_days == (7, 14, 30)
    assert set_rule("candle_days", None, who=WHO) == OwnRules()
    assert not Setting.objects.exists()
    undo(Change.objects.latest("id"), who=WHO)
    assert own_rules().candle_days == (7, 14, 30)


def test_own_rules__leave_other_settings_alone() -> None:
    Setting.objects.create(key="day", value="2026-05-14")
    assert own_rules() == OwnRules()
    with pytest.raises(RecordError, match="SEA-024 field day: there is no rule 'day'"):
        set_rule("day", "2026-05-15", who=WHO)
    assert Setting.objects.get().value == "2026-05-14"


@pytest.mark.parametrize(
    "key, value, said",
    [
        ("season_starts_month", 13, "13 cannot be. Write a whole number from 1 to 12."),
        ("meals_before_sale", "three", "'three' is no number."),
        ("candle_days", "7, x", "'x' is no number."),
        ("candle_days", 7, "7 is no list of days."),
        ("egg_prefix", "a" * 11, "does not fit. Write up to 10 characters"),
        ("qr_address", "barn.example", "Begin it with http:// or https://"),
        ("warm_low_c", "88", "'88' cannot be. Write degrees Celsius from 20 to 40"),
        ("price_vet", "-5", "'-5' cannot be. Write an amount"),
        ("price_feed_gram", "1.20 EUR", "'1.20 EUR' is no amount. Write an amount"),
        ("currency", "of the old kingdom", "Write up to 12 characters"),
        ("clutch_pattern", "{yy}-{egg}", "{egg} is not known in '{yy}-{egg}'."),
        ("clutch_pattern", "{yy}", "would give every one the same id. Put in a number"),
        ("clutch_pattern", "{yy}:{n}", "makes no id"),
        ("clutch_pattern", "{yy-{n}", "makes no id"),
        ("clutch_pattern", "", "makes no id"),
        ("clutch_pattern", "{n}-{nn}", "fills something in twice"),
        ("hatchling_pattern", "{egg}", "would give every one the same id. Put in a number"),
        ("hatchling_pattern", "{clutch}-{egg}-{n}", "either a number or {egg}"),
    ],
)
def test_set_rule__refuses(key: str, value: object, said: str) -> None:
    with pytest.raises(RecordError) as error:
        set_rule(key, value, who=WHO)
    assert error.value.faults[0].code == "SEA-025"
    assert said in str(error.value)
    assert not Setting.objects.exists()


def test_set_rule__warmth_from_low_to_high() -> None:
    set_rule("warm_low_c", "31,0", who=WHO)
    with pytest.raises(RecordError, match="the lowest warmth, 31 °C, is above the highest, 30 °C"):
        set_rule("warm_high_c", 30, who=WHO)
    assert set_rule("warm_high_c", 32, who=WHO).warm_low_c == 31


def test_next_clutch_id__counts_on_within_the_year(family: dict[str, Animal]) -> None:
    assert next_clutch_id(2026) == "26-01"
    clutch_of(family["D1"], "26-09")
    clutch_of(family["D1"], "25-30")
    clutch_of(family["D1"], "26-12-x")
    assert (next_clutch_id(2026), next_clutch_id(2027)) == ("26-10", "27-01")


def test_next_clutch_id__after_the_pattern(family: dict[str, Animal]) -> None:
    set_rule("clutch_pattern", "{dam}/{yyyy}.{n}", who=WHO)
    assert next_clutch_id(2026, dam="D1") == "D1/2026.1"


def test_offered_ids__are_free(family: dict[str, Animal], add: Add) -> None:
    clutch = clutch_of(family["D1"])
    add("26-01-2")
    assert offered_ids(clutch, ["1", "2", "3"]) == ["26-01-1", "26-01-2b", "26-01-3"]


def test_offered_ids__numbers_are_never_given_twice(family: dict[str, Animal], add: Add) -> None:
    set_rule("hatchling_pattern", "{yy}-{nnn}", who=WHO)
    change_animal(add("26-007"), who=WHO, status="died")
    assert offered_ids(clutch_of(family["D1"]), ["1", "4"]) == ["26-008", "26-009"]
    assert offered_ids(clutch_of(family["D1"], "26-02"), ["1"], year=2027) == ["27-001"]


def test_next_clutch_id__is_no_id_of_an_animal_either(family: dict[str, Animal]) -> None:
    add_animal(who="test", tag="26-01")
    add_animal(who="test", tag="26-02")
    assert next_clutch_id(2026) == "26-03"
