"""Eggs day by day, warmth, places and what lasts: in the folder, in its checks, and beside folders that have none."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.collection.strategies import paths, place_names

from holdback.collection.collection import Collection
from holdback.collection.columns import TABLES
from holdback.collection.housing import Place, path_names, path_text
from holdback.collection.model import (
    Animal,
    Clutch,
    Egg,
    EggLook,
    EggOutcome,
    EggState,
    Event,
    PartialDate,
    Records,
    Temperature,
)
from holdback.errors import CollectionError

LATE = {"set_aside", "box", "ended", "cause", "until"}
EARLY_DIGEST = "f2ee507bd411ec1c3deba71bbe22f45a11d52c16e9458497ca3db3d2437bac7d"
"""Digest of `EARLY` as the program gave it before these tables and columns were there."""

EARLY = {
    "animals": [
        {"id": "24-01", "name": "Umber", "sex": "female", "hatched": "2021-07-18", "genes": "Enchi het Clown"},
        {"id": "24-02", "sex": "male", "status": "breeder"},
        {"id": "26-01", "sire": "24-02:0.8|24-01b:0.2", "dam": "24-01", "clutch": "K1"},
        {"id": "24-01b", "sex": "male", "notes": "=1+1"},
    ],
    "lines": [{"animal": "24-01", "line": "Marrowfen", "share_low": 0.5, "share_high": 1, "ground": "the seller"}],
    "measurements": [{"animal": "24-01", "date": "2025-10", "trait": "mass", "value": 1710.5, "unit": "g"}],
    "matings": [{"dam": "24-01", "sire": "24-02", "together": "2025-12-01", "apart": "2025-12-04", "locks": 2}],
    "clutches": [{"id": "K1", "dam": "24-01", "sires": "24-02", "laid": "2026-04-20", "eggs": 6, "slugs": 1}],
    "eggs": [
        {"clutch": "K1", "egg": "1", "mass_g": 88, "outcome": "hatched", "animal": "26-01"},
        {"clutch": "K1", "egg": "2"},
    ],
    "events": [{"animal": "24-01", "date": "2026-03-30", "kind": "meal", "value": 60, "unit": "g", "note": "rat"}],
}


def test_digest__of_a_folder_without_the_working_year_is_what_it_was(tmp_path: Path) -> None:
    """Read from frames, and from a folder whose files lack the late columns and tables."""
    assert Collection.from_frames(EARLY).digest == EARLY_DIGEST
    Collection.from_frames(EARLY).to_folder(tmp_path)
    for table in TABLES:
        file = tmp_path / table.file
        if table.is_late:
            file.unlink()
        n_early = sum(not column.is_late for column in table.columns)
        if n_early < len(table.columns):
            lines = file.read_text().splitlines()
            assert {column.name for column in table.columns[n_early:]} <= LATE
            file.write_text("".join(",".join(line.split(",")[:n_early]) + "\n" for line in lines))
    assert Collection.from_folder(tmp_path).digest == EARLY_DIGEST


@pytest.mark.parametrize(
    "late",
    [
        Records(animals=(Animal("A"),), events=(Event("A", PartialDate(2024), "rests", until=PartialDate(2025)),)),
        Records(clutches=(Clutch("K", set_aside="a spike of heat"),)),
        Records(clutches=(Clutch("K"),), eggs=(Egg("K", "1", box="shed / box 1"),)),
        Records(clutches=(Clutch("K"),), eggs=(Egg("K", "1", ended=PartialDate(2024, 6)),)),
        Records(clutches=(Clutch("K"),), eggs=(Egg("K", "1", cause="dried out"),)),
        Records(temperatures=(Temperature("shed", PartialDate(2024, 5, 2), 31.5),)),
        Records(places=(Place("shed"),)),
    ],
)
def test_digest__shows_what_came_later(late: Records) -> None:
    plain = Records(
        animals=late.animals,
        clutches=tuple(Clutch(one.id) for one in late.clutches),
        eggs=tuple(Egg(one.clutch, one.egg) for one in late.eggs),
        events=tuple(Event(one.animal, one.date, one.kind) for one in late.events),
    )
    assert Collection.from_records(late).digest != Collection.from_records(plain).digest


@given(st.lists(place_names, min_size=1, max_size=4))
def test_path_names__undoes_path_text(names: list[str]) -> None:
    assert path_names(path_text(names)) == tuple(names)


@given(paths | st.text())
def test_path_text__is_settled_once_written(text: str) -> None:
    once = path_text(path_names(text))
    assert path_text(path_names(once)) == once


def test_from_records__writes_a_place_in_one_way() -> None:
    spaced = Records(clutches=(Clutch("K"),), eggs=(Egg("K", "1", box=" shed /  box 1"),), places=(Place("shed "),))
    found = Collection.from_records(spaced).records
    assert (found.eggs[0].box, found.places[0].path) == ("shed / box 1", "shed")


def in_egg(status: str) -> Records:
    """A clutch of which one young hatched and one died in its egg."""
    return Records(
        animals=(Animal("A", clutch="K"), Animal("B", clutch="K", genes="Pied", status=status)),
        clutches=(Clutch("K", laid=PartialDate(2024, 4, 2), eggs=2, slugs=0),),
        eggs=(Egg("K", "1", 90, EggOutcome.HATCHED, "A"), Egg("K", "2", 91, EggOutcome.DIED, "B")),
        egg_looks=(
            EggLook("K", "1", PartialDate(2024, 6, 1), EggState.OUT),
            EggLook("K", "2", PartialDate(2024, 6, 1), EggState.PIPPED),
            EggLook("K", "2", PartialDate(2024, 5, 1), EggState.VEINS),
        ),
    )


def test_died_in_egg__is_on_record_and_no_hatchling() -> None:
    found = Collection.from_records(in_egg("died in egg"))
    assert found.died_in_egg == {"B"}
    assert set(found.animals) == {"A", "B"}
    assert [one.id for one in found.clutch_mates("K")] == ["A"]


def test_died_in_egg__does_not_live() -> None:
    with pytest.raises(CollectionError, match="Egg 2 of K is written as died, and B came out"):
        Collection.from_records(in_egg("holdback"))


def test_looks_at__oldest_first() -> None:
    found = Collection.from_records(in_egg("died in egg")).looks_at("K")
    assert [one.state for one in found] == ["veins", "out", "pipped"]


def test_temperatures_of__oldest_first_by_the_clock() -> None:
    day = PartialDate(2024, 5, 2)
    rows = (Temperature("shed", day, 31, "16:40"), Temperature("shed", day, 30, "07:05"), Temperature("hut", day, 9))
    assert [one.celsius for one in Collection.from_records(Records(temperatures=rows)).temperatures_of("shed")] == [
        30,
        31,
    ]
