"""Next meals, prey wanted, and what wants a vet."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.collection.status import is_here
from holdback.season.meals import meal_plans, prey_needed
from holdback.season.outlook import Cycle, MealPlan
from holdback.species.catalogue import load

TODAY = dt.date(2026, 5, 14)


def ago(days: int) -> dt.date:
    return TODAY - dt.timedelta(days=days)


def row(animal: str, days: int, kind: str, note: str = "", value: float | None = None) -> dict[str, Any]:
    return {"animal": animal, "date": ago(days).isoformat(), "kind": kind, "value": value, "note": note}


def weight(animal: str, days: int, grams: float) -> dict[str, Any]:
    return {"animal": animal, "date": ago(days).isoformat(), "trait": "mass", "value": grams, "unit": "g"}


def plans(
    animals: list[dict[str, Any]],
    weights: list[dict[str, Any]] | None = None,
    events: list[dict[str, Any]] | None = None,
    *,
    cycles: dict[str, Cycle] | None = None,
    species: str = "python_regius",
    **more: Any,
) -> dict[str, MealPlan]:
    tables = {"animals": animals, "measurements": weights, "events": events, **more}
    collection = Collection.from_frames({name: rows for name, rows in tables.items() if rows}, species=species)
    return {one.animal: one for one in meal_plans(collection, cycles or {}, today=TODAY, catalogue=load(species))}


MALE = {"id": "M1", "sex": "male", "hatched": "2020-07-01"}
FEMALE = {"id": "F1", "sex": "female", "hatched": "2019-07-01"}


def test_meal_plans__by_the_row_of_its_stage() -> None:
    found = plans([MALE], [weight("M1", 20, 1000)], [row("M1", 8, "meal", "taken", 45)])["M1"]
    assert (found.stage, found.last_taken, found.refused) == ("adult male", ago(8), 0)
    assert (found.due_first, found.due_last) == (ago(-2), ago(-13))
    assert (found.prey_low_g, found.prey_high_g) == pytest.approx((40, 50))
    assert found.basis == (
        "Adult male: every 10 to 21 days (common practice, no source); prey by its 1,000 g on 24 April, 20 days ago."
    )


def test_meal_plans__a_fast_without_loss_is_no_alarm() -> None:
    refused = [row("M1", days, "meal", "refused") for days in (10, 25, 40, 55, 70)]
    found = plans([MALE], [weight("M1", 90, 1000), weight("M1", 12, 950)], [row("M1", 90, "meal"), *refused])["M1"]
    assert (found.refused, found.caution) == (5, "")
    assert found.loss_percent == pytest.approx(5)
    assert found.due_first == TODAY


def test_meal_plans__a_fast_with_more_than_a_tenth_lost_is() -> None:
    weights = [weight("M1", 120, 1000), weight("M1", 60, 930), weight("M1", 12, 880)]
    found = plans([MALE], weights)["M1"]
    assert found.caution == "12 % lost since 14 January (120 days). Have a reptile vet look at it."


def test_meal_plans__a_loss_by_one_weight_alone_is_weighed_again() -> None:
    weights = [weight("M1", 60, 1000), weight("M1", 31, 1000), weight("M1", 2, 880)]
    assert "by one weight alone. Weigh it again" in plans([MALE], weights)["M1"].caution


def test_meal_plans__a_slip_in_the_unit_is_no_alarm() -> None:
    assert plans([MALE], [weight("M1", 60, 1000), weight("M1", 2, 100)])["M1"].caution == ""


@pytest.mark.parametrize(
    "note, caution",
    [
        ("open-mouth breathing", "Open-mouth breathing on 12 May. A reptile vet now; no home remedies."),
        ("Straining", "Straining on 12 May. A reptile vet now; no home remedies."),
        ("dull scales", "Dull scales on 12 May, and no vet since. Have a reptile vet look at it."),
    ],
)
def test_meal_plans__signs_want_a_vet(note: str, caution: str) -> None:
    assert plans([MALE], [], [row("M1", 2, "sign", note)])["M1"].caution == caution
    assert plans([MALE], [], [row("M1", 2, "sign", note), row("M1", 1, "vet", "seen")])["M1"].caution == ""
    assert plans([MALE], [], [row("M1", 200, "sign", note)])["M1"].caution == ""


def test_meal_plans__none_for_a_female_with_eggs_in_her() -> None:
    cycle = Cycle("F1", 2026, ovulated=ago(30))
    found = plans([FEMALE], [weight("F1", 100, 1800)], [row("F1", 60, "meal")], cycles={"F1": cycle})["F1"]
    assert (found.stage, found.due_first, found.due_last) == ("gravid", None, None)


@pytest.mark.parametrize("box, stage", [("incubator 1 / box 2", "adult female"), ("with the dam", "brooding")])
def test_meal_plans__a_dam_that_laid_is_fed_unless_she_broods(box: str, stage: str) -> None:
    cycle = Cycle("F1", 2026, ovulated=ago(60), clutch="C1", laid=ago(5), has_laid=True)
    clutch = {"id": "C1", "dam": "F1", "laid": ago(5).isoformat(), "eggs": 1}
    found = plans(
        [FEMALE],
        [weight("F1", 2, 1300)],
        cycles={"F1": cycle},
        clutches=[clutch],
        eggs=[{"clutch": "C1", "egg": "1", "box": box}],
    )["F1"]
    assert found.stage == stage
    assert found.due_first == (ago(4) if stage != "brooding" else None)


def test_meal_plans__a_dam_fed_by_nobody_on_record_since_she_laid_has_no_plan() -> None:
    row_ = {"id": "C1", "dam": "F1", "laid": ago(300).isoformat(), "eggs": 6}
    found = plans([FEMALE], [weight("F1", 20, 1800)], clutches=[row_])["F1"]
    assert (found.due_first, found.basis) == (None, "No meal was written down since she laid on 18 July 2025.")


def test_meal_plans__a_meal_that_came_up_is_rested_and_the_next_is_smaller() -> None:
    usual = plans([MALE], [weight("M1", 20, 1000)], [row("M1", 4, "meal", "taken")])["M1"]
    found = plans([MALE], [weight("M1", 20, 1000)], [row("M1", 4, "meal", "came up again")])["M1"]
    assert (found.due_first, found.due_last) == (ago(-6), ago(-17))
    assert found.prey_high_g == pytest.approx(usual.prey_high_g / 2)
    twice = [row("M1", 4, "meal", "came up again"), row("M1", 30, "meal", "regurgitated")]
    assert plans([MALE], [], twice)["M1"].caution == "2 meals came up within 90 days. Have a reptile vet look at it."


def test_meal_plans__slow_starters_are_told() -> None:
    young = [{"id": "H1", "hatched": ago(30).isoformat()}, {"id": "H2", "hatched": ago(12).isoformat()}]
    found = plans(young, [weight("H1", 20, 62), weight("H2", 10, 62)])
    assert found["H1"].caution.startswith("30 days out and no meal taken; most take one by day 21")
    assert (found["H2"].caution, found["H2"].due_first, found["H2"].due_last) == ("", ago(2), ago(-9))


def test_meal_plans__say_what_is_not_known() -> None:
    assert plans([MALE])["M1"].basis.startswith("Its mass is not known")
    assert math.isnan(plans([MALE])["M1"].prey_low_g)
    snake = plans([MALE], [weight("M1", 5, 500)], species="pantherophis_guttatus")["M1"]
    assert (snake.basis, snake.due_first) == ("How it feeds is not known for this species.", None)
    silent = plans([MALE], [weight("M1", 5, 900)], [row("M1", 200, "meal")])["M1"]
    assert (silent.due_first, silent.basis) == (None, "No meal was written down since 26 October 2025.")


@pytest.mark.parametrize(
    "events, is_planned",
    [
        ([], True),
        ([("lent", 20)], False),
        ([("lent", 20), ("returned", 5)], True),
        ([("borrowed", 20)], True),
        ([("borrowed", 20), ("returned", 5)], False),
        ([("sold", 5)], False),
        ([("died", 5)], False),
    ],
)
def test_meal_plans__only_of_those_that_are_here(events: list[tuple[str, int]], is_planned: bool) -> None:
    assert ("M1" in plans([MALE], [], [row("M1", days, kind) for kind, days in events])) is is_planned


def _plan(start: int, prey: float, days: tuple[float, float]) -> MealPlan:
    due = TODAY + dt.timedelta(days=start)
    return MealPlan("A", "any", None, 0, due, due, prey, prey, None, "", "", days)


def test_prey_needed__counted_by_hand() -> None:
    # Every 7 days from day 2: days 2, 9. Every 12 days, long due: days 0, 12. Every 15 days: day 0. From day 30: none.
    found = prey_needed(
        [_plan(2, 9, (7, 7)), _plan(-20, 60, (10, 14)), _plan(0, 60, (14, 16)), _plan(30, 60, (7, 7))],
        first=TODAY,
        last=TODAY + dt.timedelta(days=13),
    )
    assert [(one.low_g, one.high_g, one.count) for one in found] == [(0, 10, 2), (50, 80, 3)]


def test_prey_needed__those_without_a_plan_want_none() -> None:
    assert prey_needed(plans([MALE]).values(), first=TODAY, last=TODAY + dt.timedelta(days=30)) == ()


def test_prey_needed__heavy_prey_has_a_class_too() -> None:
    found = prey_needed([_plan(0, 1500, (7, 7))], first=TODAY, last=TODAY)
    assert [(one.low_g, one.high_g, one.count) for one in found] == [(1000, 2000, 1)]


def test_meal_plans__demo() -> None:
    from pathlib import Path

    import holdback

    collection = Collection.from_folder(Path(holdback.__file__).parent / "demo_data" / "collection")
    found = meal_plans(collection, {}, today=TODAY, catalogue=load())
    assert len(found) > 50
    assert all(is_here(collection.animals[one.animal].status) for one in found)
    planned = [one for one in found if one.due_first is not None]
    assert len(planned) > 0.8 * len(found)
    slip = next(one for one in found if one.animal == "22-07")
    assert slip.caution == ""


def test_meal_plans__a_first_meal_does_not_wait_for_a_weight() -> None:
    young = {"id": "Y1", "sex": "unknown", "hatched": ago(12).isoformat()}
    found = plans([young])["Y1"]
    assert (found.due_first, found.due_last) == (ago(2), ago(-9))
    assert math.isnan(found.prey_low_g)
    assert plans([young], events=[row("Y1", 1, "meal", "taken", 6)])["Y1"].due_first is None
