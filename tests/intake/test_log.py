from __future__ import annotations

import pytest
from tests.intake.logs import asked, day, entry, kind_of, read

from holdback.collection.model import Event, Measurement, Trait
from holdback.errors import IntakeError
from holdback.intake import Kind, SheetKind

HEAD = "date,snake,what,amount,unit,note\n"


def test_read_log__events_and_weights() -> None:
    preview = read(
        HEAD
        + "2026-03-14,Umber,fd,,,1 rat M\n2026-03-15,22-11,ref,,,\n2026-03-20,Mortar,wt,2050,g,\n"
        + "2026-03-22,Peat (16-02),us,22,mm,8 follicles\n2026-03-23,16-02,fed,85,g,\n"
    )
    assert not preview.questions
    assert entry(preview, 2).records.events == (Event("22-11", day("2026-03-14"), "meal", note="1 rat M"),)
    assert entry(preview, 3).records.events == (Event("22-11", day("2026-03-15"), "meal", note="refused"),)
    mass = Measurement("16-01", day("2026-03-20"), Trait.MASS, 2050.0, "g")
    assert (entry(preview, 4).records.measurements, entry(preview, 4).records.events) == ((mass,), ())
    assert entry(preview, 5).records.events == (
        Event("16-02", day("2026-03-22"), "ultrasound", 22.0, "mm", "8 follicles"),
    )
    assert entry(preview, 6).records.events == (Event("16-02", day("2026-03-23"), "meal", 85.0, "g"),)


def test_read_log__columns_headed_by_what_happened() -> None:
    preview = read("Date,Name,Fed,Shed,Weight (g)\n2026-03-14,Umber,1 med rat,x,\n2026-03-20,Umber,no,,2010\n")
    assert [one.kind for one in entry(preview, 2).records.events] == ["meal", "shed"]
    assert (entry(preview, 3).records.events, len(entry(preview, 3).records.measurements)) == ((), 1)


def test_read_log__taken_or_refused() -> None:
    preview = read("Date,Name,Prey,Taken\n2026-03-14,Umber,med rat,y\n2026-03-20,Umber,med rat,no\n")
    notes = [entry(preview, row).records.events[0].note for row in (2, 3)]
    assert notes == ["med rat", "refused: med rat"]


def test_read_log__a_weight_without_unit_waits_unless_size_decides() -> None:
    by_size = read("date,snake,what\n2026-03-14,Peat,wt 1450\n2026-03-15,Mortar,wt 2050\n")
    assert len(by_size.entries) == 2
    unclear = read("date,snake,what\n2026-03-14,Peat,wt 52\n2026-03-15,Mortar,shed\n")
    assert list(asked(unclear)) == ["writing:unit 2"]
    told = read("date,snake,what\n2026-03-14,Peat,wt 52\n2026-03-15,Mortar,shed\n", answers={"writing:unit 2": "oz"})
    assert entry(told, 2).records.measurements[0].unit == "oz"


def test_read_log__condition_of_a_weight() -> None:
    preview = read(HEAD + "2026-03-14,Umber,wt 2010 g empty,,,\n2026-03-20,Umber,wt,2015,g,Gravid\n")
    assert [each.records.measurements[0].condition for each in preview.entries] == ["empty", "gravid"]
    assert not entry(preview, 3).records.events


def test_read_log__a_row_of_nothing_but_a_weight_waits_for_its_unit() -> None:
    (waiting,) = read("date,name,shed,weight\n2026-03-14,Umber,,52\n2026-03-15,Umber,x,\n").waiting
    assert (waiting.row, waiting.questions) == (2, ("writing:unit 3",))


def test_read_log__a_day_not_read_has_no_unknown_to_offer() -> None:
    text = HEAD + "2026-04-31,Umber,fd,,,\n2026-04-30,Umber,fd,,,\n"
    assert asked(read(text)) == {"day 0:2": ["leave out"]}
    assert len(read(text, answers={"day 0:2": "write:2026-04-29"}).entries) == 2


def test_read_log__before_it_hatched_is_asked() -> None:
    text = HEAD + "2021-03-14,Umber,fd,,,\n"
    assert asked(read(text)) == {"too soon:2": ["leave out"]}
    assert entry(read(text, answers={"too soon:2": "write:2026-03-14"}), 2).records.events[0].date == day("2026-03-14")
    assert read(text, answers={"too soon:2": "write:soon"}).waiting


def test_read_log__a_weight_that_does_not_fit_is_asked() -> None:
    preview = read(HEAD + "2026-03-14,Umber,wt,190,g,\n")
    assert "mend" in asked(preview)["size 3:x10"]


def test_read_log__strangers_and_two_of_one_name_are_asked() -> None:
    text = HEAD + "2026-03-14,Umbre,fd,,,\n2026-03-14,Ash,fd,,,\n2026-03-14,,shed,,,\n"
    assert asked(read(text)) == {
        "whom:umbre": ["is:22-11", "add", "leave out"],
        "whom:ash": ["is:20-01", "is:20-02", "leave out"],
        "no animal:4": ["write:Ash", "leave out"],
    }
    preview = read(text, answers={"whom:umbre": "is:22-11", "whom:ash": "is:20-02", "no animal:4": "write:Peat"})
    assert [each.records.events[0].animal for each in preview.entries] == ["22-11", "20-02", "16-02"]
    added = read(text, answers={"whom:umbre": "add"})
    assert entry(added, 2).records.animals[0].id == "Umbre"
    wrong = read(text, answers={"whom:umbre": "write:Nobody"})
    assert 2 in [listed.row for listed in wrong.waiting]


def test_read_log__other_words_are_asked_once() -> None:
    text = HEAD + "2026-03-14,Umber,odd,,,\n2026-03-15,Peat,odd,,,\n"
    preview = read(text)
    assert (asked(preview), len(preview.waiting)) == ({"what:odd": ["note", "leave out"]}, 2)
    assert entry(read(text, answers={"what:odd": "note"}), 2).records.events[0].kind == "note"
    assert entry(read(text, answers={"what:odd": "write:shed"}), 2).records.events[0].kind == "shed"
    assert len(read(text, answers={"what:odd": "write:odder"}).waiting) == 2


def test_read_log__a_lock_is_written_of_the_female_with_their_pairing() -> None:
    preview = read(HEAD + "2026-01-06,Mortar,locked w Peat,,,\n2026-01-07,Peat,lock with Mortar long,,,\n")
    found = entry(preview, 2).records
    assert found.events == (Event("16-02", day("2026-01-06"), "lock", note="16-01"),)
    assert [mating.together for mating in found.matings] == [day("2026-01-05")]
    assert entry(preview, 3).records.events[0].note == "16-01: long"


def test_read_log__what_is_on_record_or_said_before_is_not_new() -> None:
    preview = read(
        HEAD
        + "2026-03-02,Umber,shed,,,\n2026-03-01,22-11,wt,2000,g,\n2026-03-04,Umber,fd,,,\n2026-03-04,22-11,fed,,,\n"
    )
    assert [each.kind for each in preview.entries] == [Kind.UNCHANGED, Kind.UNCHANGED, Kind.CREATED]
    assert [listed.reason for listed in preview.left_out] == ["says the same as row 4"]


def test_read_log__days_below_the_first_by_word_of_the_keeper() -> None:
    text = HEAD + "2026-03-14,Umber,fd,,,\n,Peat,fd,,,\n,Mortar,wt,2050,g,\n"
    assert asked(read(text)) == {"no day": ["above", "leave out"]}
    preview = read(text, answers={"no day": "above"})
    days = [one.date for each in preview.entries for one in each.records.events]
    days += [one.date for each in preview.entries for one in each.records.measurements]
    assert days == [day("2026-03-14")] * 3


def test_read_log__order_of_day_and_month_is_asked_of_the_column() -> None:
    text = HEAD + "3/4/26,Umber,fd,,,\n"
    assert "writing:dates /" in asked(read(text))
    assert read(text, answers={"writing:dates /": "dmy"}).entries[0].records.events[0].date == day("2026-04-03")


@pytest.mark.parametrize(
    "heading, kind",
    [
        ("date,animal,event,note\n2026-03-14,Umber,fd,\n", SheetKind.LOG),
        ("date,animal,notes\n2026-03-14,Umber,fd 1 rat\n2026-03-15,Umber,shed\n", SheetKind.LOG),
        ("date,animal,weight\n2026-03-14,Umber,2000\n2026-03-15,Umber,2010\n", SheetKind.ANIMALS),
        ("female,male,in,out,locks\nUmber,Mortar,2026-01-01,,1\n", SheetKind.PAIRINGS),
        ("clutch,dam,sire,laid,eggs,slugs\n26-01,Umber,Mortar,2026-04-01,6,0\n", SheetKind.CLUTCHES),
        ("id,name,sex,sire,dam,hatched,genes\nA1,Ash,m,,,2020,\n", SheetKind.ANIMALS),
        ("id,name,sire,dam,clutch,date\nA1,Ash,,,,2020\n", SheetKind.ANIMALS),
    ],
)
def test_kind_of_table__by_headings_and_cells(heading: str, kind: SheetKind) -> None:
    assert kind_of(heading) is kind


def test_checked__a_log_needs_a_day() -> None:
    with pytest.raises(IntakeError, match=r"ITK-012 .*on which day"):
        read("snake,what\nUmber,fd\n", kind=SheetKind.LOG)
