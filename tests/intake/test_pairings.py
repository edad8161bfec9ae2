from __future__ import annotations

from tests.intake.logs import asked, day, entry, read

from holdback.collection.model import Event, Mating
from holdback.intake import Kind

HEAD = "Female,Male,Date in,Date out,Locks,Lock seen,Notes\n"


def test_read_pairings__mating_locks_and_note() -> None:
    preview = read(HEAD + 'Umber,16-01,2026-02-03,2026-02-05,,"2026-02-03, 2026-02-04",shy\n')
    found = entry(preview, 2).records
    assert found.matings == (Mating("22-11", "16-01", day("2026-02-03"), day("2026-02-05"), 2),)
    assert found.events == (
        Event("22-11", day("2026-02-03"), "lock", note="16-01"),
        Event("22-11", day("2026-02-04"), "lock", note="16-01"),
        Event("22-11", day("2026-02-03"), "note", note="with 16-01: shy"),
    )


def test_read_pairings__number_or_yes_as_locks() -> None:
    preview = read(
        HEAD + "Umber,Mortar,2026-02-03,,3,,\nUmber,Mortar,2026-02-09,,yes,,\nUmber,Mortar,2026-02-19,,no,,\n"
    )
    assert [each.records.matings[0].locks for each in preview.entries] == [3, 1, 0]


def test_read_pairings__on_record_filled_in_or_the_same() -> None:
    preview = read(HEAD + "Peat,Mortar,2026-01-05,2026-01-08,1,,\n")
    assert entry(preview, 2).kind is Kind.UNCHANGED
    changed = entry(read(HEAD + "Peat,Mortar,2026-01-05,2026-01-09,1,,\n"), 2)
    assert changed.kind is Kind.CHANGED
    assert changed.remarks == ("On record: together 2026-01-05 to 2026-01-08, 1 lock.",)


def test_read_pairings__a_male_as_dam_is_asked() -> None:
    text = HEAD + "Mortar,Umber,2026-02-03,,,,\n"
    assert asked(read(text)) == {"exchange:2": ["exchange", "unknown", "leave out"]}
    mating = entry(read(text, answers={"exchange:2": "exchange"}), 2).records.matings[0]
    assert (mating.dam, mating.sire) == ("22-11", "16-01")
    (left,) = read(text, answers={"exchange:2": "unknown"}).left_out
    assert left.reason == "names no female"


def test_read_pairings__two_of_one_name_go_by_sex_and_strangers_are_asked() -> None:
    preview = read(HEAD + "Ash,Mortar,2026-02-03,,,,\nUmber,Baron,2026-02-03,,,,\n")
    assert entry(preview, 2).records.matings[0].dam == "20-02"
    assert asked(preview) == {"sire:baron": ["add", "unknown", "leave out"]}
    added = read(HEAD + "Umber,Baron,2026-02-03,,,,\n", answers={"sire:baron": "add"})
    assert [animal.id for animal in entry(added, 2).records.animals] == ["Baron"]


def test_read_pairings__days_in_the_wrong_order_and_two_males() -> None:
    text = HEAD + "Umber,Mortar,2026-02-05,2026-02-03,,,\nPeat,Mortar or 20-01,2026-02-05,,,,\n"
    assert asked(read(text)) == {
        "order:2": ["exchange", "unknown", "leave out"],
        "males:3": ["is:16-01", "is:20-01", "leave out"],
    }
    preview = read(text, answers={"order:2": "exchange", "males:3": "is:20-01"})
    assert entry(preview, 2).records.matings[0].together == day("2026-02-03")
    assert entry(preview, 3).records.matings[0].sire == "20-01"
    dropped = entry(read(text, answers={"order:2": "unknown"}), 2).records
    assert (dropped.matings[0].apart, dropped.events[0].note) == (None, "with 16-01: taken apart: 2026-02-03")


def test_read_pairings__one_pairing_in_two_rows() -> None:
    same = "Umber,Mortar,2026-02-03,,1,,\n"
    preview = read(HEAD + same + same + "Umber,Mortar,2026-02-03,,2,,\n")
    assert [listed.reason for listed in preview.left_out] == ["says the same as row 2"]
    assert asked(preview) == {"pair twice:4": ["same", "leave out"]}


def test_read_pairings__a_row_without_a_male_is_listed() -> None:
    (left,) = read(HEAD + "Umber,,2026-02-03,,1,,\nPeat,Mortar,2026-02-03,,,,\n").left_out
    assert left.reason == "names no male"
