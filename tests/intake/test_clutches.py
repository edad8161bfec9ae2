from __future__ import annotations

from collections import Counter

import pytest
from tests.intake.logs import asked, day, entry, read

from holdback.collection.model import Candidate, Clutch, Egg, EggOutcome, Event, Temperature
from holdback.intake import Kind

HEAD = "Clutch,Dam,Sire,Laid,Eggs,Slugs,Hatched,Number hatched,Incubator,Box,Temp,Notes\n"


def test_read_clutches__clutch_eggs_warmth_and_note() -> None:
    preview = read(HEAD + "26-01,Umber,Mortar,2026-04-02,7,1,2026-06-01,6,1,3,89F,fine\n")
    found = entry(preview, 2).records
    assert found.clutches == (
        Clutch("26-01", "22-11", (Candidate("16-01"),), day("2026-04-02"), 7, 1, day("2026-06-01")),
    )
    outcomes = Counter(egg.outcome for egg in found.eggs)
    assert outcomes == {EggOutcome.HATCHED: 6, EggOutcome.SLUG: 1}
    assert found.eggs[0] == Egg("26-01", "1", outcome=EggOutcome.HATCHED, box="incubator 1 / box 3")
    note = "as set, by the sheet of clutch 26-01"
    assert found.temperatures == (Temperature("incubator 1 / box 3", day("2026-04-02"), 31.67, note=note),)
    assert found.events == (Event("22-11", day("2026-04-02"), "note", note="clutch 26-01: fine"),)


def test_read_clutches__more_hatched_than_laid_is_asked() -> None:
    text = HEAD + "26-01,Umber,Mortar,2026-04-02,2,,,3,,,,\n"
    preview = read(text)
    assert preview.waiting[0].reason == "3 eggs hatched of 2."
    assert asked(preview) == {"count:2": ["notes", "hatched", "leave out"]}
    assert entry(read(text, answers={"count:2": "hatched"}), 2).records.clutches[0].eggs == 2
    assert entry(read(text, answers={"count:2": "write:4"}), 2).records.clutches[0].eggs == 4
    assert read(text, answers={"count:2": "write:1"}).waiting
    assert entry(read(text, answers={"count:2": "notes"}), 2).records.clutches[0].eggs is None


def test_read_clutches__eggs_that_were_the_good_ones() -> None:
    text = HEAD + "26-01,Umber,Mortar,2026-04-02,5,2,,5,,,,\n"
    clutch = entry(read(text, answers={"count:2": "good"}), 2).records.clutches[0]
    assert (clutch.eggs, clutch.slugs) == (7, 2)
    parted = entry(read(HEAD + "26-01,Umber,,2026-04-02,6+1,,,,,,,\n"), 2).records.clutches[0]
    assert (parted.eggs, parted.slugs) == (7, 1)


@pytest.mark.parametrize("answer, outcome", [("died", EggOutcome.DIED), ("open", EggOutcome.UNKNOWN)])
def test_read_clutches__eggs_that_did_not_hatch_are_asked_once(answer: str, outcome: EggOutcome) -> None:
    text = HEAD + "26-01,Umber,,2026-04-02,7,1,,5,,,,\n26-02,Peat,,2026-04-02,6,0,,5,,,,\n"
    assert asked(read(text)) == {"not hatched": ["died", "open", "leave out"]}
    preview = read(text, answers={"not hatched": answer})
    assert [egg.outcome for egg in entry(preview, 2).records.eggs].count(outcome) == 1


def test_read_clutches__a_male_as_dam_and_days_that_cannot_be() -> None:
    text = HEAD + "26-01,Mortar,,2026-04-02,7,,,,,,,\n26-02,Peat,,2026-04-02,7,,2026-04-09,,,,,\n"
    assert asked(read(text)) == {"dam wrong:2": ["unknown", "leave out"], "order:3": ["unknown", "laid", "leave out"]}
    preview = read(text, answers={"dam wrong:2": "unknown", "order:3": "unknown"})
    assert entry(preview, 2).records.clutches[0].dam is None
    assert entry(preview, 3).records.events[0].note == "clutch 26-02: hatched: 2026-04-09"


def test_read_clutches__on_record_filled_in_or_another() -> None:
    known = entry(read(HEAD + "25-01,Peat,,2025-04-20,6,1,,,,,,\n"), 2)
    assert known.kind is Kind.UNCHANGED
    filled = entry(read(HEAD + "25-01,Peat,,2025-04-20,6,1,2025-06-18,,,,,\n"), 2)
    assert (filled.kind, filled.said[-1]) == (Kind.CHANGED, "hatched 2025-06-18 (on record: none)")
    other = HEAD + "25-01,Umber,,2026-04-20,6,1,,,,,,\n"
    assert asked(read(other)) == {"other clutch:25-01": ["same", "leave out"]}
    renamed = read(other, answers={"other clutch:25-01": "write:26-09"})
    assert entry(renamed, 2).records.clutches[0].id == "26-09"


def test_read_clutches__ids_missing_or_twice() -> None:
    text = HEAD + "26-01,Umber,,2026-04-02,7,,,,,,,\n26-01,Peat,,2026-05-02,7,,,,,,,\n,Peat,,2026-05-02,7,,,,,,,\n"
    assert asked(read(text)) == {"clutch twice:3": ["same", "leave out"], "clutch id:4": ["leave out"]}
    preview = read(text, answers={"clutch twice:3": "write:26-02", "clutch id:4": "write:26-03"})
    assert [each.records.clutches[0].id for each in preview.entries] == ["26-01", "26-02", "26-03"]


def test_read_clutches__what_has_no_place_to_land_is_listed() -> None:
    preview = read(HEAD + "26-01,,,,,,,,1,3,31.5 C,fine\n")
    assert {listed.text for listed in preview.held} == {"incubator 1 / box 3", "31.5 C", "fine"}


def test_read_clutches__a_warmth_or_a_count_not_read_is_asked() -> None:
    preview = read(HEAD + "26-01,Umber,,2026-04-02,some,,,,1,3,55 C,\n")
    assert set(asked(preview)) == {"eggs 4:2", "temperature 10:2"}
