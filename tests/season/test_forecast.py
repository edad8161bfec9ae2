"""Where every female stands, what she does next, and what is for a vet."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.season.forecast import outlooks, step_of
from holdback.season.intervals import Intervals
from holdback.season.outlook import Cycle, Follicle, Outlook, Step, Together
from holdback.species import load

DEMO = Path(__file__).parents[2] / "src/holdback/demo_data/collection"
TODAY = dt.date(2026, 5, 14)


def all_of(collection: Collection, today: dt.date = TODAY, species: str = "python_regius") -> tuple[Outlook, ...]:
    """Outlooks of the season of 2026."""
    catalogue = load(species)
    intervals = Intervals.learned(collection, catalogue, before=today + dt.timedelta(days=1))
    return outlooks(collection, 2026, today=today, intervals=intervals, catalogue=catalogue)


def outlook_of(events: list[dict[str, Any]], today: dt.date = TODAY, **more: Any) -> Outlook:
    """Outlook of one female that was paired in January."""
    tables: dict[str, Any] = {
        "animals": [{"id": "D1", "sex": "female", "hatched": "2019"}, {"id": "S1", "sex": "male"}],
        "matings": [{"dam": "D1", "sire": "S1", "together": "2026-01-10", "apart": "2026-01-12", "locks": 1}],
        "events": [{"animal": "D1", **event} for event in events],
    }
    tables.update(more)
    return all_of(Collection.from_frames({name: rows for name, rows in tables.items() if rows}), today)[0]


def day(text: str) -> dt.date:
    """Day of 2026 from month and day."""
    return dt.date.fromisoformat(f"2026-{text}")


def test_outlooks__demo_in_the_order_of_the_next_event() -> None:
    found = all_of(Collection.from_folder(DEMO))
    by_dam = {one.cycle.dam: one for one in found}
    assert by_dam["17-02"].step is Step.LAID
    assert by_dam["20-12"].step is Step.SHED
    assert by_dam["22-11"].step is Step.OVULATED
    assert by_dam["19-01"].step is Step.RESTS
    coming = [one for one in found if any((one.shedding, one.laying, one.hatching, one.ready))]
    assert found[: len(coming)] == tuple(coming)
    nearest = [
        min(one.law.median for one in (each.shedding, each.laying, each.hatching, each.ready) if one is not None)
        for each in coming
    ]
    assert nearest == sorted(nearest)
    hatching = by_dam["17-02"].hatching
    assert hatching is not None
    first, last = hatching.law.window()
    assert first <= day("05-30") <= last


def test_outlooks__a_shed_asks_for_the_nest_box_and_foretells_the_laying() -> None:
    found = outlook_of([{"date": "2026-05-09", "kind": "pre-lay shed"}])
    assert found.step is Step.SHED
    assert found.advice.startswith("Pre-lay shed 9 May. Nest box in. Lays ")
    assert found.laying is not None
    first, last = found.laying.law.window()
    assert first < day("06-08") < last
    assert found.hatching is not None
    assert found.ready is not None
    assert found.eggs is not None
    assert found.young is not None
    assert found.young.mean < found.eggs.mean
    assert not found.overdue


@pytest.mark.parametrize(
    "size, by",
    [(18, "Largest follicle 18 mm. Look again by 24 May."), (24, "Largest follicle 24 mm. Look again by 17 May.")],
)
def test_outlooks__a_small_follicle_waits_longer(size: int, by: str) -> None:
    found = outlook_of([{"date": "2026-05-03", "kind": "ultrasound", "value": size, "unit": "mm"}])
    assert found.advice == by
    assert found.look_by is not None


def test_outlooks__a_female_nobody_looked_at_is_to_be_looked_at() -> None:
    assert outlook_of([], day("02-01")).advice == "Look for follicles by 9 February."
    assert outlook_of([]).advice == "Look for follicles now."
    forgotten = outlook_of([], day("08-14"))
    assert forgotten.lays.mean < 5
    assert "Lowered by what is on record of her this season, and what is not." in forgotten.lays.ground
    assert "Raised by" in outlook_of([{"date": "2026-05-09", "kind": "pre-lay shed"}]).lays.ground
    assert (forgotten.step, forgotten.look_by, forgotten.advice) == (Step.PAIRED, None, "")


def test_outlooks__past_the_watch_a_vet_and_nothing_else() -> None:
    late = outlook_of([{"date": "2026-03-24", "kind": "pre-lay shed"}])
    assert late.overdue
    assert late.caution == ("51 days since the shed before laying, and no eggs. A reptile vet now; no home remedies.")
    assert late.advice == ""
    assert outlook_of([{"date": "2026-03-25", "kind": "pre-lay shed"}]).caution == ""


@pytest.mark.parametrize(
    "sign, seen, late",
    [
        ("pre-lay shed", "05-11", "51 days since the shed before laying"),
        ("ovulation", "05-12", "79 days since ovulation"),
    ],
)
def test_outlooks__a_vet_that_saw_her_is_told(sign: str, seen: str, late: str) -> None:
    begun = {"date": "2026-03-24" if sign != "ovulation" else "2026-02-24", "kind": sign}
    visit = {"date": f"2026-{seen}", "kind": "vet"}
    found = outlook_of([begun, visit])
    assert found.caution.startswith(f"{late}, and no eggs; a vet saw her on {int(seen[3:])} May.")
    early = outlook_of([begun, {"date": "2026-04-01", "kind": "vet"}])
    assert early.caution.endswith("A reptile vet now; no home remedies.")
    again = outlook_of([begun, visit, {"date": "2026-05-13", "kind": "sign", "note": "listless"}])
    assert again.caution.endswith("A reptile vet now; no home remedies.")


def test_outlooks__ovulated_long_ago_without_eggs_is_for_a_vet() -> None:
    assert "since ovulation, and no eggs" in outlook_of([{"date": "2026-02-20", "kind": "ovulation"}]).caution


def test_outlooks__straining_cannot_wait() -> None:
    signs = [
        {"date": "2026-05-01", "kind": "pre-lay shed"},
        {"date": "2026-05-13", "kind": "sign", "note": "straining"},
    ]
    found = outlook_of(signs)
    assert found.caution == "Straining on 13 May. A reptile vet now; no home remedies."
    assert found.advice == ""


def test_outlooks__a_clutch_past_its_days_is_overdue() -> None:
    clutch = [{"id": "C1", "dam": "D1", "laid": "2026-02-20", "eggs": 6, "slugs": 1}]
    found = outlook_of([], clutches=clutch)
    assert found.step is Step.LAID
    assert found.overdue
    assert (found.lays.mean, found.eggs) == (100, None)
    fresh = outlook_of([], day("04-01"), clutches=clutch)
    assert not fresh.overdue
    assert fresh.advice.startswith("Hatches ")


def test_outlooks__a_clutch_that_is_lost_is_waited_for_no_more() -> None:
    eggs = [{"clutch": "C1", "egg": str(at), "outcome": "died"} for at in range(5)]
    clutches = [{"id": "C1", "dam": "D1", "laid": "2026-02-20", "eggs": 6, "slugs": 1}]
    found = outlook_of([], clutches=clutches, eggs=eggs)
    assert (found.hatching, found.ready, found.overdue, found.advice) == (None, None, False, "")
    left = outlook_of([], clutches=clutches, eggs=eggs[:4])
    assert left.hatching is not None
    assert left.overdue


def test_outlooks__laid_without_a_clutch_on_record() -> None:
    found = outlook_of([{"date": "2026-05-01", "kind": "laid"}])
    assert found.step is Step.LAID
    assert found.hatching is not None
    assert found.eggs is not None


def test_outlooks__those_sold_are_left_out() -> None:
    animals = [{"id": "D1", "sex": "female", "hatched": "2019", "status": "sold"}, {"id": "S1", "sex": "male"}]
    mating = [{"dam": "D1", "sire": "S1", "together": "2026-01-10"}]
    assert all_of(Collection.from_frames({"animals": animals, "matings": mating})) == ()


def test_outlooks__one_that_went_back_from_a_loan_is_left_out() -> None:
    loan = [{"date": "2026-01-02", "kind": "borrowed"}, {"date": "2026-02-02", "kind": "returned"}]
    assert outlook_of(loan[:1]).step is Step.PAIRED
    assert outlook_of([{**loan[0], "kind": "lent"}, loan[1]]).step is Step.PAIRED
    with pytest.raises(IndexError):
        outlook_of(loan)


def test_outlooks__a_species_that_states_little_does_not_fail() -> None:
    animals = [{"id": "D1", "sex": "female", "hatched": "2019"}, {"id": "S1", "sex": "male"}]
    mating = [{"dam": "D1", "sire": "S1", "together": "2026-03-10"}]
    events = [{"animal": "D1", "date": "2026-05-10", "kind": "pre-lay shed"}]
    collection = Collection.from_frames({"animals": animals, "matings": mating, "events": events})
    (found,) = all_of(collection, species="pantherophis_guttatus")
    assert found.step is Step.SHED
    assert found.laying is not None
    assert found.ready is None


@pytest.mark.parametrize(
    "cycle, step",
    [
        (Cycle("D", 2026), Step.RESTS),
        (Cycle("D", 2026, rests=True), Step.RESTS),
        (Cycle("D", 2026, (Together("S", None, None),)), Step.PAIRED),
        (Cycle("D", 2025, (Together("S", None, None),)), Step.OVER),
        (Cycle("D", 2026, follicles=(Follicle(TODAY, 12), Follicle(TODAY, 16))), Step.GROWING),
        (Cycle("D", 2026, follicles=(Follicle(TODAY, 28), Follicle(TODAY, 11))), Step.OVER),
        (Cycle("D", 2026, follicles=(Follicle(TODAY, 28),), ovulated=TODAY), Step.OVULATED),
        (Cycle("D", 2026, shed=TODAY, ovulated=TODAY), Step.SHED),
        (Cycle("D", 2026, has_laid=True, shed=TODAY), Step.LAID),
        (Cycle("D", 2025, has_laid=True, has_hatched=True), Step.HATCHED),
    ],
)
def test_step_of__tells_how_far_she_is(cycle: Cycle, step: Step) -> None:
    assert step_of(cycle, today=TODAY, catalogue=load()) is step
