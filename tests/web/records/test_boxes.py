"""Incubators, boxes, and how a clutch is closed."""

from __future__ import annotations

import datetime as dt

import pytest

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Clutch, Egg, Place
from holdback.web.records.services import (
    Young,
    add_animal,
    add_boxes,
    add_clutch,
    add_incubator,
    change_egg,
    close_clutch,
    crowding,
    hatch_eggs,
    lay_clutch,
    look_at_eggs,
    lose_egg,
    open_clutch_again,
    put_in_box,
    set_clutch_aside,
    tally,
    undo,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
DAY = dt.date(2026, 6, 4)


@pytest.fixture
def clutch(family: dict[str, Animal]) -> Clutch:
    """Four eggs of D1, laid 2 April 2026; the fourth is a slug."""
    return lay_clutch(who=WHO, dam="D1", laid="2026-04-02", eggs=4, slugs=["4"])


def eggs(*marks: str) -> list[Egg]:
    return list(Egg.objects.filter(mark__in=marks).order_by("mark"))


def test_add_boxes__in_an_incubator() -> None:
    incubator = add_incubator(who=WHO, name="incubator 1", capacity=40)
    boxes = add_boxes(incubator, ["box 1", "box 2"], who=WHO, capacity=8)
    assert [(box.name, box.within, box.capacity) for box in boxes] == [("box 1", incubator, 8), ("box 2", incubator, 8)]
    with pytest.raises(RecordError) as error:
        add_boxes(incubator, ["box 2", "", "box 3", "box 3"], who=WHO, capacity=0)
    assert {fault.code for fault in error.value.faults} == {"REC-019", "REC-010", "REC-014"}
    assert "the name 'box 3' stands twice" in str(error.value)
    undo(Change.objects.latest("id").batch, who=WHO)
    assert Place.objects.count() == 1


def test_put_in_box__splits_a_clutch_and_tells_what_is_too_full(clutch: Clutch) -> None:
    incubator = add_incubator(who=WHO, name="incubator 1", capacity=2)
    first, second = add_boxes(incubator, ["box 1", "box 2"], who=WHO, capacity=1)
    assert put_in_box(eggs("1"), first, who=WHO) == ()
    said = put_in_box(eggs("2", "3"), second, who=WHO)
    assert [fault.what for fault in said] == [
        "box 2 holds 2 eggs and has room for 1.",
        "incubator 1 holds 3 eggs and has room for 2.",
    ]
    assert {fault.code for fault in said} == {"SEA-019"}
    assert [egg.box for egg in eggs("1", "2", "3")] == [first, second, second]
    assert put_in_box(eggs("2"), None, who=WHO) == ()
    assert crowding(second) == ()
    undo(Change.objects.latest("id").batch, who=WHO)
    assert eggs("2")[0].box == second


def test_put_in_box__only_what_is_still_there(clutch: Clutch) -> None:
    box = add_incubator(who=WHO, name="incubator 1")
    stale = eggs("1")
    lose_egg(eggs("1")[0], date="2026-04-20", cause="mould", who=WHO)
    with pytest.raises(RecordError, match=r"SEA-011 field egg: egg 1 of 26-01 is lost since 2026-04-20"):
        put_in_box(eggs("1", "2"), box, who=WHO)
    with pytest.raises(RecordError, match=r"SEA-027"):
        put_in_box(stale, box, who=WHO)
    assert eggs("2")[0].box is None


def test_close_clutch__once_the_sum_holds(clutch: Clutch) -> None:
    hatch_eggs(clutch, [Young("1"), Young("2")], who=WHO, date="2026-05-30")
    with pytest.raises(RecordError, match=r"SEA-016 .*4 laid; 2 hatched \+ 0 lost \+ 1 slugs. 1 not accounted for"):
        close_clutch(clutch, who=WHO, on=DAY)
    lose_egg(eggs("3")[0], date="2026-05-31", cause="never pipped", genes="Clown", who=WHO)
    closed = close_clutch(clutch, who=WHO, on=DAY)
    assert (closed.closed, closed.slugs, tally(closed).waiting) == (DAY, 1, 0)
    for late in (
        lambda: close_clutch(clutch, who=WHO, on=DAY),
        lambda: look_at_eggs(clutch, {"4": ("slug", "")}, date="2026-06-04", who=WHO),
        lambda: hatch_eggs(clutch, [Young("4")], who=WHO, date="2026-06-04"),
        lambda: lose_egg(eggs("4")[0], date="2026-06-04", cause="", who=WHO),
    ):
        with pytest.raises(RecordError, match=r"SEA-017 .*clutch 26-01 was closed 2026-06-04"):
            late()
    open_clutch_again(clutch, who=WHO)
    look_at_eggs(clutch, {"4": ("slug", "")}, date="2026-06-04", who=WHO)
    close_clutch(clutch, who=WHO, on=DAY)
    undo(Change.objects.latest("id").batch, who=WHO)
    assert Clutch.objects.get().closed is None


def test_close_clutch__refuses(clutch: Clutch, family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError, match=r"SEA-008"):
        close_clutch(clutch, who=WHO, on=dt.date(2026, 4, 1))
    with pytest.raises(RecordError, match=r"3 not accounted for"):
        close_clutch(clutch, who=WHO, on=DAY)
    bare = add_clutch(who=WHO, tag="C1", dam="D1", laid="2025")
    with pytest.raises(RecordError, match=r"eggs not counted; 0 hatched .* Say how many were laid"):
        close_clutch(bare, who=WHO)


def test_tally__of_eggs_that_were_only_counted(family: dict[str, Animal]) -> None:
    clutch = add_clutch(who=WHO, tag="C1", dam="D1", laid="2025-04-01", eggs=3, slugs=1)
    add_animal(who=WHO, tag="C1-1", clutch="C1", hatched="2025-06-01")
    add_animal(who=WHO, tag="C1-2", clutch="C1", hatched="2025-06-01")
    assert str(tally(clutch)) == "3 laid; 2 hatched + 0 lost + 1 slugs"
    assert close_clutch(clutch, who=WHO, on=DAY).closed == DAY


def test_close_clutch__more_told_than_laid(clutch: Clutch) -> None:
    for egg in eggs("1", "2", "3"):
        change_egg(egg, who=WHO, outcome="died")
    Clutch.objects.update(eggs=3)
    with pytest.raises(RecordError, match=r"More is told than was laid"):
        close_clutch(clutch, who=WHO, on=DAY)


def test_set_clutch_aside__and_back(clutch: Clutch) -> None:
    assert set_clutch_aside(clutch, " a spike of heat on day 10 ", who=WHO).set_aside == "a spike of heat on day 10"
    assert set_clutch_aside(clutch, "", who=WHO).set_aside == ""
    assert Change.objects.latest("id").deed == "count clutch again"
    with pytest.raises(RecordError, match=r"REC-011"):
        set_clutch_aside(clutch, "x" * 121, who=WHO)
    undo(Change.objects.latest("id").batch, who=WHO)
    assert Clutch.objects.get().set_aside == "a spike of heat on day 10"
