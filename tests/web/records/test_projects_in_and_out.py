"""Projects, planned pairings and what was spoken for: folder to records to folder, and beside what is on record."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from holdback.bridge import collection_around, collection_of_records
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, PartialDate, Records, Sex
from holdback.collection.projects import Accepted, PairingState, PlannedPairing, Project, ProjectState, SizeAim
from holdback.errors import RecordError
from holdback.web.records import models as rows
from holdback.web.records.queries import animal_by_tag
from holdback.web.records.services import remove_animal, undo, write_records

pytestmark = pytest.mark.django_db

WHO = "Wrackline Barn"
BIG = Project(
    "big-clown",
    "Big Clown",
    want="female Clown",
    some_of=("Enchi", "Banana"),
    some_least=1,
    none_of="Spider",
    line="Marrowfen",
    share_at_least=0.5,
    size=SizeAim.BAND,
    size_low_g=2500,
    number=2,
    by=2031,
    inbreeding_at_most=0.0625,
    eggs=60,
    tubs=4,
    money=900.5,
    worth_eggs=80,
    year_worth_eggs=12,
    animals=("M1",),
    held_back=("F2", "M2"),
    least_pairings=1,
    since=PartialDate(2025, 10),
    notes="Not at any price.",
)
PIED = Project("pied", "Pied", want="Pied", state=ProjectState.GIVEN_UP)
HERD = Records(
    animals=tuple(
        Animal(tag, sex=Sex.FEMALE if tag.startswith("F") else Sex.MALE, status="holdback" if tag[1] == "2" else "")
        for tag in ("F1", "F2", "M1", "M2")
    ),
    projects=(PIED, BIG),
    planned_pairings=(
        PlannedPairing(2026, "F1", "M1", "pied", PairingState.DROPPED, "She did not feed."),
        PlannedPairing(2027, "F1", "M2", "big-clown", PairingState.LOCKED),
        PlannedPairing(2027, "F2", "M1"),
    ),
    accepted=(Accepted("big-clown", "welfare-neurological", "Oda Fenwick", PartialDate(2026, 5, 2), "I know."),),
)


def test_write_records__projects_land_whole_and_come_back_the_same(tmp_path: Path) -> None:
    Collection.from_records(HERD).to_folder(tmp_path)
    read = Collection.from_folder(tmp_path)
    written = write_records(read.records, who=WHO)
    assert written.added["projects"] == 2
    back = collection_of_records()
    assert back.records == HERD
    assert back.digest == read.digest


def test_write_records__projects_again_change_nothing() -> None:
    write_records(HERD, who=WHO)
    again = write_records(HERD, who=WHO)
    assert not again.added
    assert not again.changed
    assert (again.same["projects"], again.same["planned_pairings"], again.same["accepted"]) == (2, 3, 1)


def test_write_records__what_is_empty_in_the_file_overwrites_nothing() -> None:
    write_records(HERD, who=WHO)
    sparse = Project("big-clown", "Large Clown", held_back=("F1",))
    written = write_records(
        Records(projects=(sparse,), planned_pairings=(PlannedPairing(2027, "F1", "M2", note="First."),)), who=WHO
    )
    assert (written.changed["projects"], written.changed["planned_pairings"]) == (1, 1)
    records = collection_of_records().records
    assert records.projects[1] == dataclasses.replace(BIG, name="Large Clown", held_back=("F1", "F2", "M2"))
    assert records.planned_pairings[1] == dataclasses.replace(HERD.planned_pairings[1], note="First.")


def test_write_records__undo_takes_projects_back() -> None:
    written = write_records(HERD, who=WHO)
    undo(written.batch, who=WHO)
    assert not any(
        model.objects.exists()
        for model in (rows.Project, rows.ProjectAnimal, rows.PlannedPairing, rows.Decision, rows.Animal)
    )


def test_write_records__strangers_are_refused_together() -> None:
    with pytest.raises(RecordError, match="no project has the id 'pied'") as caught:
        write_records(
            Records(
                projects=(Project("big", "Big", animals=("Z9",)),),
                planned_pairings=(PlannedPairing(2027, "Z8", "Z9", "pied"),),
                accepted=(Accepted("pied", "x"),),
            ),
            who=WHO,
        )
    assert {(fault.code, fault.value) for fault in caught.value.faults} == {
        ("REC-016", "Z8"),
        ("REC-016", "Z9"),
        ("REC-016", "pied"),
    }


def test_collection_of_records__leaves_out_an_animal_that_was_removed() -> None:
    """The records stay a collection although a project or a planned pairing still names it."""
    write_records(HERD, who=WHO)
    animal = animal_by_tag("M1")
    assert animal is not None
    remove_animal(animal, who=WHO)
    records = collection_of_records().records
    assert records.projects[1].animals == ()
    assert [(one.dam, one.sire) for one in records.planned_pairings] == [("F1", "M2")]


def test_collection_around__brings_no_projects() -> None:
    write_records(HERD, who=WHO)
    assert collection_around(["F1"]).records.projects == ()
