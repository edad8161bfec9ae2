"""What is due, on hand-made outlooks: each kind comes, and goes once it is done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.season.keep_records import TODAY, ago, clutch, collection_of, event, weight

import holdback
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis, Estimate
from holdback.season.days import DayLaw
from holdback.season.due import DEEDS, Rules, deed_of, due
from holdback.season.fitness import fitness
from holdback.season.meals import meal_plans
from holdback.season.outlook import ClutchOutlook, CountLaw, Cycle, DueItem, Follicle, Outlook, Step, Together, Window
from holdback.species.catalogue import load

FEMALE = {"id": "F1", "sex": "female", "hatched": "2019-07-01"}
MALE = {"id": "M1", "sex": "male", "hatched": "2020-07-01"}
LAYS = Estimate(70, 50, 90, "%", Basis.ASSUMED)


def window(first: int, last: int) -> Window:
    """Window of days from today, all alike."""
    law = DayLaw.between(ago(-first), ago(-last))
    return Window(law, Estimate((first + last) / 2, first, last, "d", Basis.ASSUMED, coverage=0.8), 0)


def outlook(step: Step = Step.PAIRED, cycle: Cycle | None = None, **more: Any) -> Outlook:
    return Outlook(cycle or Cycle("F1", 2026), step, LAYS, **more)


def boxes(alive: int = 5, **more: Any) -> dict[str, ClutchOutlook]:
    one = ClutchOutlook("C1", alive, 0, 1, 0, alive + 1, None, None, CountLaw(np.array([0.5, 0.5])), None, "")
    return {"C1": replace(one, **more)}


def items(
    collection: Collection,
    *,
    today: dt.date = TODAY,
    outlooks: Iterable[Outlook] = (),
    clutches: dict[str, ClutchOutlook] | None = None,
    rules: Rules | None = None,
) -> dict[str, DueItem]:
    """What is due, by key."""
    catalogue, females = load(), tuple(outlooks)
    cycles = {one.cycle.dam: one.cycle for one in females}
    fit = fitness(collection, cycles, today=today, catalogue=catalogue)
    plans = meal_plans(collection, cycles, today=today, catalogue=catalogue)
    found = due(
        collection, females, clutches or {}, fit, plans, today=today, rules=rules or Rules(), catalogue=catalogue
    )
    assert len({one.key for one in found}) == len(found)
    assert all(one.first <= one.last for one in found)
    assert all(not one.deed or deed_of(one) in DEEDS for one in found)
    return {one.key: one for one in found}


def test_due__feed() -> None:
    fed = collection_of(animals=[MALE], measurements=[weight("M1", 20, 1000)], events=[event("M1", 12, "meal")])
    item = items(fed)["feed:M1"]
    assert (item.first, item.last, item.deed, item.level) == (ago(2), ago(-9), "meal taken", "")
    assert item.text == "Prey of 40 to 50 g. Last taken 2 May."
    again = collection_of(
        animals=[MALE],
        measurements=[weight("M1", 20, 1000)],
        events=[event("M1", 12, "meal"), event("M1", 0, "meal")],
    )
    assert items(again)["feed:M1"].first == ago(-10)
    assert "feed:M1" not in items(again, rules=Rules(days_ahead=9))


def test_due__a_vet_comes_first_and_only_once() -> None:
    sick = collection_of(
        animals=[FEMALE, MALE],
        measurements=[weight("M1", 20, 1000)],
        events=[event("F1", 2, "sign", "straining"), event("M1", 40, "meal")],
    )
    found = list(items(sick, outlooks=[outlook(caution="Eggs are late. A reptile vet now.")]).values())
    assert (found[0].key, found[0].level, found[0].deed) == ("vet:F1", "stop", "seen by a vet")
    assert found[0].text == "Eggs are late. A reptile vet now."
    seen = collection_of(animals=[FEMALE], events=[event("F1", 2, "sign", "straining"), event("F1", 1, "vet")])
    assert "vet:F1" not in items(seen)


def test_due__a_visit_to_a_vet_takes_the_item_away() -> None:
    said = "51 days since the shed before laying, and no eggs; a vet saw her on 12 May. Keep to what the vet said."
    assert "vet:F1" not in items(collection_of(animals=[FEMALE]), outlooks=[outlook(caution=said)])
    lost = [weight("M1", 60, 1000), weight("M1", 10, 870), weight("M1", 2, 868)]
    visit = [event("M1", 1, "vet")]
    assert items(collection_of(animals=[MALE], measurements=lost))["vet:M1"].level == "stop"
    seen = items(collection_of(animals=[MALE], measurements=lost, events=visit))
    assert "vet:M1" not in seen
    assert seen["weigh:M1"].text == (
        "13 % lost by the last weight; a vet saw it on 13 May. Keep to what the vet said, and weigh it again."
    )
    lower = items(collection_of(animals=[MALE], measurements=[*lost, weight("M1", 0, 860)], events=visit))
    assert lower["vet:M1"].level == "stop"
    vomits = [event("M1", 20, "meal", "regurgitated"), event("M1", 5, "meal", "regurgitated")]
    assert "vet:M1" in items(collection_of(animals=[MALE], events=vomits))
    assert "vet:M1" not in items(collection_of(animals=[MALE], events=[*vomits, event("M1", 4, "vet")]))


@pytest.mark.parametrize("gone", ["sold", "died", "lent"])
def test_due__nothing_of_females_that_are_gone(gone: str) -> None:
    cycle = Cycle("F1", 2026, together=(Together("M1", ago(9), None),), ovulated=ago(40), shed=ago(20))
    one = outlook(Step.SHED, cycle, laying=window(3, 9), caution="Straining. A reptile vet now.", look_by=TODAY)
    rows = [event("F1", 40, "treatment", until=ago(-3).isoformat())] if gone != "lent" else []
    kept = items(collection_of(animals=[FEMALE], events=rows), outlooks=[one])
    assert {"vet:F1", "lay:F1:2026", "nest-box:F1:2026"} < kept.keys()
    assert not items(collection_of(animals=[FEMALE], events=[*rows, event("F1", 1, gone)]), outlooks=[one])


def test_due__nothing_of_a_borrowed_animal_that_went_back() -> None:
    rows = [event("F1", 60, "borrowed"), event("F1", 20, "treatment", until=ago(-3).isoformat())]
    assert "treatment:F1:" + ago(20).isoformat() in items(collection_of(animals=[FEMALE], events=rows))
    assert not items(collection_of(animals=[FEMALE], events=[*rows, event("F1", 1, "returned")]))


def test_due__a_loss_by_one_weight_is_weighed_again_before_a_vet() -> None:
    rows = [weight("M1", 60, 1000), weight("M1", 31, 1000), weight("M1", 2, 870)]
    found = items(collection_of(animals=[MALE], measurements=rows))
    assert "vet:M1" not in found
    assert found["weigh:M1"].level == "think"
    rows.append(weight("M1", 0, 868))
    assert items(collection_of(animals=[MALE], measurements=rows))["vet:M1"].level == "stop"


def test_due__weigh_a_male_in_use_every_two_weeks() -> None:
    cycle = Cycle("F1", 2026, together=(Together("M1", ago(12), ago(10)),))
    rows = [weight("M1", 40, 1000), weight("M1", 20, 1000)]
    found = items(collection_of(animals=[FEMALE, MALE], measurements=rows), outlooks=[outlook(cycle=cycle)])
    assert (found["weigh:M1"].first, found["weigh:M1"].text) == (ago(6), "In use. Last weight 1,000 g on 24 April.")
    idle = Cycle("F1", 2026, together=(Together("M1", ago(90), ago(88)),))
    assert "weigh:M1" not in items(
        collection_of(animals=[FEMALE, MALE], measurements=rows), outlooks=[outlook(cycle=idle)]
    )


def test_due__weigh_a_female_near_readiness() -> None:
    near = collection_of(animals=[FEMALE], measurements=[weight("F1", 25, 1420)])
    assert items(near)["weigh:F1"].first == ago(-5)
    ready = collection_of(animals=[FEMALE], measurements=[weight("F1", 25, 1900)])
    assert "weigh:F1" not in items(ready)
    gravid = Cycle("F1", 2026, ovulated=ago(20))
    assert "weigh:F1" not in items(near, outlooks=[outlook(Step.OVULATED, gravid)])


def test_due__weigh_young_monthly() -> None:
    young = {"id": "H1", "hatched": ago(90).isoformat()}
    assert items(collection_of(animals=[young], measurements=[weight("H1", 40, 90)]))["weigh:H1"].first == ago(10)
    assert items(collection_of(animals=[young]))["weigh:H1"].first == TODAY
    old = {"id": "H1", "hatched": ago(400).isoformat()}
    assert "weigh:H1" not in items(collection_of(animals=[old], measurements=[weight("H1", 40, 300)]))


def laid(days: int, looks: list[tuple[int, str]] | None = None) -> Collection:
    eggs = [{"clutch": "C1", "egg": str(at)} for at in range(6)]
    rows = [
        {"clutch": "C1", "egg": str(at), "date": ago(when).isoformat(), "state": state}
        for when, state in looks or []
        for at in range(5)
    ]
    return collection_of(animals=[FEMALE], clutches=[clutch("C1", "F1", days)], eggs=eggs, egg_looks=rows)


@pytest.mark.parametrize("days, key", [(3, 7), (7, 7), (12, 7), (14, 14), (20, 14), (30, 30), (39, 30), (40, None)])
def test_due__candle_on_day_7_14_and_30_and_not_after(days: int, key: int | None) -> None:
    found = [one for one in items(laid(days), clutches=boxes(), rules=Rules(days_ahead=30)) if one.startswith("candle")]
    assert found == ([] if key is None else [f"candle:C1:{key}"])


def test_due__candle_is_one_tap_and_goes_once_done() -> None:
    item = items(laid(14, [(7, "veins")]), clutches=boxes())["candle:C1:14"]
    assert (item.first, item.last, item.is_clutch) == (TODAY, ago(-3), True)
    assert (item.text, item.deed) == ("Day 14. On day 7: five with veins.", "five with veins")
    assert items(laid(14, [(7, "veins"), (0, "veins")]), clutches=boxes(), rules=Rules(days_ahead=30)).keys() >= {
        "candle:C1:30"
    }
    assert not any(key.startswith("candle") for key in items(laid(14), clutches=boxes(alive=0)))
    own = items(laid(14), clutches=boxes(), rules=Rules(candle_days=(21,)))
    assert own["candle:C1:21"].first == ago(-7)


def test_due__ultrasound_by_the_day_to_look_by() -> None:
    cycle = Cycle("F1", 2026, follicles=(Follicle(ago(10), 18.0),))
    advice = "Largest follicle 18 mm. Look again by 18 May."
    item = items(
        collection_of(animals=[FEMALE]), outlooks=[outlook(Step.GROWING, cycle, advice=advice, look_by=ago(-4))]
    )[f"ultrasound:F1:2026:{ago(10)}"]
    assert (item.first, item.last, item.text) == (ago(-1), ago(-4), advice)
    for late, is_told in ((60, True), (61, False)):
        found = items(collection_of(animals=[FEMALE]), outlooks=[outlook(Step.GROWING, cycle, look_by=ago(late))])
        assert any(one.kind == "ultrasound" for one in found.values()) is is_told


def test_due__nest_box_after_the_shed_until_it_is_in() -> None:
    cycle = Cycle("F1", 2026, shed=ago(5))
    one = outlook(Step.SHED, cycle, laying=window(20, 40))
    item = items(collection_of(animals=[FEMALE]), outlooks=[one])["nest-box:F1:2026"]
    assert (item.first, item.last, item.deed) == (ago(5), ago(-2), "box is in")
    assert item.text.startswith("Shed on 9 May. Nest box in; laying from")
    done = outlook(Step.SHED, replace(cycle, nest_box=ago(1)))
    assert not items(collection_of(animals=[FEMALE]), outlooks=[done])


def test_due__laying_open_and_late() -> None:
    cycle = Cycle("F1", 2026, shed=ago(30), nest_box=ago(28))
    open_ = items(collection_of(animals=[FEMALE]), outlooks=[outlook(Step.SHED, cycle, laying=window(-4, 5))])
    assert (open_["lay:F1:2026"].first, open_["lay:F1:2026"].last) == (ago(4), ago(-4))  # 9 of 10 days by the fourth
    assert open_["lay:F1:2026"].level == ""
    late = outlook(Step.SHED, cycle, laying=window(1, 3), overdue=True, advice="Watch her daily.")
    item = items(collection_of(animals=[FEMALE]), outlooks=[late])["lay:F1:2026"]
    assert (item.level, item.text) == ("think", "Laying is late. Watch her daily.")
    laid_ = outlook(Step.LAID, replace(cycle, has_laid=True, laid=TODAY), laying=window(1, 3))
    assert "lay:F1:2026" not in items(collection_of(animals=[FEMALE]), outlooks=[laid_])


def test_due__hatching_open_and_late() -> None:
    assert items(laid(55), clutches=boxes(hatching=window(-2, 6)))["hatch:C1"].level == ""
    expected = (ago(12), ago(5))
    for hatching in (window(0, 3), None):
        late = items(laid(75), clutches=boxes(hatching=hatching, expected=expected))["hatch:C1"]
        assert (late.level, late.is_clutch, late.first, late.last) == ("think", True, *expected)
        assert late.text.startswith("Hatching was expected by 9 May.")
    assert "hatch:C1" not in items(laid(20), clutches=boxes(hatching=window(30, 40)))


def test_due__a_male_still_with_her() -> None:
    cycle = Cycle("F1", 2026, together=(Together("M1", ago(9), None), Together("M2", ago(40), ago(38))))
    found = items(collection_of(animals=[FEMALE]), outlooks=[outlook(cycle=cycle)])
    apart = [one for one in found.values() if one.kind == "apart"]
    assert [(one.key, one.last, one.deed) for one in apart] == [(f"apart:F1:M1:{ago(9)}", ago(6), "male is out")]
    fresh = Cycle("F1", 2026, together=(Together("M1", ago(3), None),))
    assert not [
        one
        for one in items(collection_of(animals=[FEMALE]), outlooks=[outlook(cycle=fresh)]).values()
        if one.kind == "apart"
    ]


def young(age: int, events: list[dict[str, Any]] | None = None, **more: Any) -> Collection:
    return collection_of(
        animals=[{"id": "H1", "hatched": ago(age).isoformat(), **more}],
        measurements=[weight("H1", 1, 70)],
        events=events or [],
    )


def test_due__first_shed() -> None:
    item = items(young(8))["first-shed:H1"]
    assert (item.first, item.last, item.deed) == (ago(1), ago(-6), "first shed")
    assert "first-shed:H1" not in items(young(12, [event("H1", 2, "shed", "first")]))


def test_due__first_meal_and_slow_starters() -> None:
    item = items(young(12))["first-meal:H1"]
    assert (item.kind, item.first, item.last, item.level) == ("first meal", ago(2), ago(-9), "")
    slow = items(young(30, [event("H1", 9, "meal", "refused")]))
    assert slow["first-meal:H1"].level == "think"
    assert "Slow starters are not rare" in slow["first-meal:H1"].text
    assert "vet:H1" not in slow
    fed = items(young(30, [event("H1", 9, "meal", "taken")]))
    assert "first-meal:H1" not in fed
    assert "feed:H1" in fed


MEALS = [event("H1", days, "meal", "taken") for days in (30, 20, 10)]


@pytest.mark.parametrize(
    "age, events, more, is_ready",
    [
        (60, MEALS, {}, True),
        (20, [event("H1", days, "meal", "taken") for days in (9, 6, 3)], {}, False),
        (60, MEALS[:2], {}, False),
        (60, [*MEALS, event("H1", 5, "meal", "refused")], {}, False),
        (60, [*MEALS[:2], event("H1", 10, "meal", "assisted")], {}, False),
        (60, [*MEALS, event("H1", 1, "ready to sell")], {}, False),
        (60, [*MEALS, event("H1", 1, "sign", "wheezing")], {}, False),
        (60, MEALS, {"status": "holdback"}, False),
        (60, MEALS, {"status": "for sale"}, False),
    ],
)
def test_due__ready_to_sell(age: int, events: list[dict[str, Any]], more: dict[str, Any], is_ready: bool) -> None:
    # Three to five meals without help, six to ten weeks out (common practice, no source).
    assert ("ready:H1" in items(young(age, events, **more))) is is_ready


def test_due__ready_to_sell_by_own_rules_and_the_window_of_the_clutch() -> None:
    assert "ready:H1" not in items(young(60, MEALS), rules=Rules(meals_before_sale=4))
    assert items(young(60, MEALS), rules=Rules(ready_min_days=70))["ready:H1"].first == ago(-10)
    tables: dict[str, Any] = {
        "animals": [FEMALE, {"id": "H1", "hatched": ago(60).isoformat(), "clutch": "C1"}],
        "clutches": [clutch("C1", "F1", 118)],
        "events": MEALS,
    }
    law = window(5, 24).law
    found = items(collection_of(**tables), clutches=boxes(ready=window(5, 24)))
    assert found["ready:H1"].first == law.window()[0]


@pytest.mark.parametrize(
    "rows, key, deed",
    [
        ([("lent", 60, -5)], "loan", "came back"),
        ([("borrowed", 60, 3)], "loan", "went back"),
        ([("lent", 60, -5), ("returned", 2, None)], None, ""),
        ([("lent", 60, None)], None, ""),
        ([("quarantine", 60, -10)], "quarantine", ""),
        ([("quarantine", 70, None)], "quarantine", ""),
        ([("quarantine", 300, 200)], None, ""),
        ([("quarantine", 300, None)], None, ""),
        ([("treatment", 8, -2)], "treatment", ""),
        ([("treatment", 90, 60)], None, ""),
    ],
)
def test_due__what_lasts_comes_to_an_end(rows: list[tuple[str, int, int | None]], key: str | None, deed: str) -> None:
    events = [event("M1", start, kind, until="" if end is None else ago(end).isoformat()) for kind, start, end in rows]
    found = [one for one in items(collection_of(animals=[MALE], events=events)).values() if one.kind not in ("weigh",)]
    assert [(one.key, one.deed) for one in found] == ([] if key is None else [(f"{key}:M1:{ago(rows[0][1])}", deed)])


@pytest.mark.parametrize(
    "kind, end, said",
    [
        ("treatment", -3, "Treatment ends on 17 May. Before it ends: any sign, ask the vet."),
        ("treatment", 3, "Treatment ended on 11 May. Any sign since, ask the vet."),
        ("lent", -3, "Lent out until 17 May."),
        ("lent", 3, "Lent out until 11 May, and not back yet."),
        ("borrowed", 3, "Borrowed until 11 May, and still here."),
    ],
)
def test_due__what_lasts_tells_whether_its_day_is_past(kind: str, end: int, said: str) -> None:
    events = [event("M1", 20, kind, until=ago(end).isoformat())]
    found = items(collection_of(animals=[MALE], events=events)).values()
    assert said in [one.text for one in found]


def hatched(outcomes: list[str], slugs: int = 1, ago_days: int = 20, n_young: int = 0) -> dict[str, DueItem]:
    eggs = [{"clutch": "C1", "egg": str(at), "outcome": each} for at, each in enumerate(outcomes)]
    row = clutch("C1", "F1", ago_days + 58, slugs=slugs, hatched=ago(ago_days).isoformat())
    births = [{"id": f"H{at}", "clutch": "C1", "status": "sold"} for at in range(n_young)]
    return items(collection_of(animals=[FEMALE, *births], clutches=[row], eggs=eggs))


def test_due__tally_until_every_egg_is_accounted_for() -> None:
    item = hatched(["hatched", "hatched", "slug", "died", "unknown", "unknown"])["tally:C1"]
    assert (item.first, item.last) == (ago(20), ago(6))
    assert item.text == "Two of 6 eggs are not accounted for. Write what became of each."
    assert "tally:C1" not in hatched(["hatched"] * 5 + ["slug"])
    assert "tally:C1" not in hatched([], n_young=5)
    assert hatched([], n_young=4)["tally:C1"].text.startswith("One of 6 eggs is not")
    assert "tally:C1" not in hatched([], ago_days=400)


def test_due__keys_stay_the_same_from_day_to_day() -> None:
    cycle = Cycle("F1", 2026, shed=ago(2), together=(Together("M1", ago(9), None),))
    records = collection_of(
        animals=[FEMALE, MALE],
        measurements=[weight("M1", 60, 1000)],
        events=[event("M1", 25, "meal")],
    )
    first, second = (
        items(records, today=day, outlooks=[outlook(Step.SHED, cycle, laying=window(25, 40))])
        for day in (TODAY, ago(-1))
    )
    assert first.keys() == second.keys()
    assert {"feed:M1", "nest-box:F1:2026", "weigh:M1", f"apart:F1:M1:{ago(9)}"} <= first.keys()


def test_due__demo() -> None:
    folder = Path(holdback.__file__).parent / "demo_data" / "collection"
    found = items(Collection.from_folder(folder))
    kinds = {one.kind for one in found.values()}
    assert {"feed", "weigh"} <= kinds
    assert not any("22-07" in one.subject and one.kind == "vet" for one in found.values())
