"""A clutch in the box: the tally, the young to come, and when."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from holdback.answers.season import Season
from holdback.collection.collection import Collection
from holdback.season.clutch_outlook import clutch_outlook
from holdback.season.intervals import Intervals
from holdback.season.outlook import ClutchOutlook
from holdback.species import load

TODAY = dt.date(2026, 5, 14)


def outlook(
    *,
    eggs: list[dict[str, Any]] | None = None,
    looks: list[dict[str, Any]] | None = None,
    temperatures: list[dict[str, Any]] | None = None,
    **clutch: Any,
) -> ClutchOutlook:
    """Outlook on 14 May of a clutch laid on 2 April."""
    tables: dict[str, list[dict[str, Any]]] = {
        "animals": [{"id": "D1", "sex": "female"}],
        "clutches": [{"id": "C1", "dam": "D1", "laid": "2026-04-02", **clutch}],
        "eggs": [{"clutch": "C1", **egg} for egg in eggs or []],
        "egg_looks": [{"clutch": "C1", **look} for look in looks or []],
        "temperatures": temperatures or [],
    }
    collection = Collection.from_frames({name: rows for name, rows in tables.items() if rows})
    intervals = Intervals.learned(collection, load(), before=TODAY + dt.timedelta(days=1))
    return clutch_outlook(collection, collection.clutches["C1"], today=TODAY, intervals=intervals, catalogue=load())


def veins(egg: int, date: str = "2026-05-14", state: str = "veins") -> dict[str, Any]:
    """Row of a look."""
    return {"egg": str(egg), "date": date, "state": state}


def test_clutch_outlook__counts_each_egg_by_its_last_look_or_outcome() -> None:
    found = outlook(
        eggs=[{"egg": str(i)} for i in range(1, 7)]
        + [{"egg": "7", "outcome": "died"}, {"egg": "8", "outcome": "slug"}],
        looks=[
            veins(1),
            veins(2, "2026-04-09"),
            veins(2, state="lost"),
            veins(3, state="weak"),
            veins(4, state="pipped"),
        ],
        slugs=1,
    )
    assert (found.alive, found.lost, found.slugs, found.unknown, found.laid) == (3, 2, 1, 2, 8)
    assert "count them again" not in found.ground


def test_clutch_outlook__eggs_alive_on_day_42_give_nine_in_ten() -> None:
    found = outlook(eggs=[{"egg": str(i)} for i in range(6)], looks=[veins(i) for i in range(6)], slugs=0)
    assert 0.9 < found.young.mean / 6 < 0.99
    assert found.young.chances.sum() == pytest.approx(1)


def test_clutch_outlook__losses_tell_of_the_eggs_that_are_left() -> None:
    good = outlook(eggs=[{"egg": str(i)} for i in range(6)], looks=[veins(i) for i in range(3)], slugs=0)
    poor = outlook(
        eggs=[{"egg": str(i)} for i in range(6)] + [{"egg": f"x{i}", "outcome": "died"} for i in range(4)],
        looks=[veins(i) for i in range(3)],
        slugs=0,
    )
    assert poor.young.mean < good.young.mean - 0.5


def test_clutch_outlook__slugs_nobody_looked_for_are_counted_with_their_chance() -> None:
    told = outlook(eggs=[{"egg": str(i)} for i in range(6)], slugs=0).young.mean
    untold = outlook(eggs=[{"egg": str(i)} for i in range(6)]).young.mean
    assert untold == pytest.approx(0.9 * told, rel=0.01)


def test_clutch_outlook__no_veins_early_is_not_lost() -> None:
    early = outlook(eggs=[{"egg": "1"}], looks=[veins(1, "2026-04-06", "no veins")])
    late = outlook(eggs=[{"egg": "1"}], looks=[veins(1, "2026-05-06", "no veins")])
    assert (early.unknown, early.lost) == (1, 0)
    assert (late.unknown, late.lost) == (0, 1)


@pytest.mark.parametrize("row, said", [({"slugs": 0}, "0 slugs are written"), ({"slugs": 3}, "only 1 can be")])
def test_clutch_outlook__a_tally_that_cannot_be_is_told(row: dict[str, Any], said: str) -> None:
    found = outlook(eggs=[{"egg": "1", "outcome": "slug"}, {"egg": "2", "outcome": "died"}], **row)
    assert said in found.ground
    assert found.alive + found.lost + found.slugs + found.unknown == found.laid == 2


def test_clutch_outlook__hatches_after_the_usual_days_and_sooner_in_a_warmer_box() -> None:
    plain = outlook(eggs=[{"egg": "1", "box": "incubator 1"}], slugs=0)
    warm = outlook(
        eggs=[{"egg": "1", "box": "incubator 1"}],
        temperatures=[{"place": "incubator 1", "date": "2026-04-10", "celsius": 32.6}],
    )
    assert plain.hatching is not None
    assert warm.hatching is not None
    first, last = plain.hatching.law.window()
    assert first <= dt.date(2026, 5, 29) <= last
    assert warm.hatching.law.mean < plain.hatching.law.mean
    assert plain.celsius is None
    assert warm.celsius is not None
    assert warm.celsius.mean == 32.6


def test_clutch_outlook__what_is_out_is_out() -> None:
    rows = [{"egg": str(i), "outcome": "hatched"} for i in range(5)]
    found = outlook(eggs=rows, slugs=0, laid="2026-03-01", hatched="2026-04-28")
    assert found.hatching is None
    assert found.alive == 5
    assert found.young.mean == pytest.approx(5)
    assert found.ready is not None
    assert found.ready.law.median > dt.date(2026, 6, 1)


def test_clutch_outlook__her_young_are_ready_by_the_pace_of_her_young() -> None:
    collection = Collection.from_frames(
        {
            "animals": [{"id": "D1", "sex": "female"}]
            + [{"id": f"Y{n}", "dam": "D1", "clutch": f"C{n}", "hatched": f"202{n}-06-01"} for n in range(1, 5)],
            "clutches": [
                {"id": f"C{n}", "dam": "D1", "laid": f"202{n}-04-03", "hatched": f"202{n}-06-01"} for n in range(1, 5)
            ]
            + [{"id": "C6", "dam": "D1", "laid": "2026-04-02"}],
            "events": [{"animal": f"Y{n}", "date": f"202{n}-07-20", "kind": "ready to sell"} for n in range(1, 5)],
        }
    )
    intervals = Intervals.learned(collection, load(), before=TODAY)
    found = clutch_outlook(collection, collection.clutches["C6"], today=TODAY, intervals=intervals, catalogue=load())
    assert found.ready is not None
    assert "4 of them hers" in found.ready.estimate.ground


def test_clutch_outlook__nobody_counted() -> None:
    found = outlook()
    assert found.laid == 0
    assert found.young.mean == pytest.approx(0.81 * (6.83 + 4.5) / 2, abs=0.05)
    assert found.ground.startswith("Nobody counted the eggs")


def test_clutch_outlook__uncounted_eggs_rest_on_the_clutches_of_the_dam() -> None:
    clutches = [
        {"id": "C1", "dam": "D1", "laid": "2025-03-20", "eggs": 9, "slugs": 0, "hatched": "2025-05-18"},
        {"id": "C2", "dam": "D1", "laid": "2026-04-20"},
    ]
    herd = Collection.from_frames({"animals": [{"id": "D1", "sex": "female"}], "clutches": clutches})
    told = Season(herd, load(), on=dt.date(2026, 5, 14)).clutch("C2").ground
    assert "1 clutch of yours, 1 of them hers" in told
