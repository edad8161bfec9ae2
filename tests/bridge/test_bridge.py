"""Records become a Collection, in a number of queries that does not grow, kept until they change."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from holdback.bridge import (
    animal_snapshot,
    answers,
    catalogue_of_records,
    collection_around,
    collection_of_records,
    memory_of,
    ready_answers,
    records_fingerprint,
    work_out,
)
from holdback.collection.collection import Collection
from holdback.collection.model import (
    Animal,
    Candidate,
    Event,
    GeneStatement,
    Measurement,
    PartialDate,
    Records,
    Sex,
    StatementKind,
    Trait,
)
from holdback.errors import RecordError
from holdback.heredity.beliefs import Memory, infer
from holdback.heredity.beliefs.unit import Unit
from holdback.web.records.queries import animal_by_tag
from holdback.web.records.services import (
    add_animal,
    add_claim,
    add_clutch,
    add_look,
    add_measurement,
    add_observation,
    add_place,
    change_animal,
    move_animal,
    write_records,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"


def generations(n: int) -> Records:
    """A line of dams, G0 to Gn, each mated to a sire of its own, with a reading each."""
    animals = [Animal("G0", "First", Sex.FEMALE)]
    for number in range(1, n + 1):
        sire = Animal(f"M{number}", sex=Sex.MALE)
        animals += [sire, Animal(f"G{number}", "", Sex.FEMALE, sires=(Candidate(sire.id),), dam=f"G{number - 1}")]
    day = PartialDate(2024, 5, 1)
    said = (StatementKind.CLAIMED, 0.5, 0.5, 0.0)
    return Records(
        tuple(animals),
        measurements=tuple(Measurement(a.id, day, Trait.MASS, 900, "g") for a in animals),
        statements=tuple(GeneStatement(a.id, "clown", *said) for a in animals),
    )


def count_queries(call: Any) -> int:
    with CaptureQueriesContext(connection) as queries:
        call()
    return len(queries)


def test_collection_of_records__empty() -> None:
    assert collection_of_records().animals == {}


def test_collection_of_records__queries_do_not_grow() -> None:
    write_records(generations(2), who=WHO)
    few = count_queries(collection_of_records)
    write_records(generations(60), who=WHO)
    assert count_queries(collection_of_records) == few <= 20


def test_collection_of_records__kept_until_something_changes() -> None:
    write_records(generations(2), who=WHO)
    first = collection_of_records()
    assert count_queries(lambda: collection_of_records() is first) == 1
    assert collection_of_records() is first
    animal = animal_by_tag("G1")
    assert animal is not None
    move_animal(animal, who=WHO, place=add_place(who=WHO, name="Tub 1"))
    moved = collection_of_records()
    assert moved is not first, "where it lives bears on how it grew"
    change_animal(animal, who=WHO, name="Sable")
    assert collection_of_records() is not moved
    assert collection_of_records().animals["G1"].name == "Sable"


def test_collection_of_records__tells_moves_as_events() -> None:
    """With the room that a tub is in; written down as an observation too it is told once."""
    write_records(generations(1), who=WHO)
    animal = animal_by_tag("G1")
    assert animal is not None
    room = add_place(who=WHO, name="Room 1", kind="room")
    tub = add_place(who=WHO, name="Tub 4", within=add_place(who=WHO, name="Rack B", within=room))
    move_animal(animal, who=WHO, place=tub, on=dt.date(2024, 5, 2))
    move_animal(animal, who=WHO, place=room, on=dt.date(2024, 6, 2))
    told = collection_of_records()
    assert told.events_of("G1") == (
        Event("G1", PartialDate(2024, 5, 2), "moved", note="Room 1 / Rack B / Tub 4"),
        Event("G1", PartialDate(2024, 6, 2), "moved", note="Room 1"),
    )
    result = write_records(told.records, who=WHO)
    assert result.added["events"] == 0
    assert collection_of_records().digest == told.digest
    add_observation(animal, who=WHO, date="2024-06-02", kind="moved", note="Room 1")
    assert collection_of_records().digest == told.digest


def test_collection_of_records__moves_come_back_from_a_folder(tmp_path: Path) -> None:
    write_records(generations(1), who=WHO)
    animal = animal_by_tag("G1")
    assert animal is not None
    move_animal(animal, who=WHO, place=add_place(who=WHO, name="Room 1"), on=dt.date(2024, 5, 2))
    collection_of_records().to_folder(tmp_path)
    assert Collection.from_folder(tmp_path).digest == collection_of_records().digest


def test_collection_around__the_named_and_their_ancestors() -> None:
    write_records(generations(4), who=WHO)
    around = collection_around(["G2", "Pastel het Clown"])
    assert set(around.animals) == {"G2", "G1", "G0", "M1", "M2"}
    assert [reading.animal for reading in around.records.measurements] == ["G2"]
    assert set(collection_around(["first"]).animals) == {"G0"}, "a name will do, capitals free"
    assert collection_around(["Pastel"]).animals == {}


def test_collection_around__brings_the_statements_of_ancestors() -> None:
    write_records(generations(2), who=WHO)
    add_animal(who=WHO, tag="X1", genes="Pastel")
    grandmother = animal_by_tag("G0")
    assert grandmother is not None
    add_look(
        grandmother, who=WHO, allele="Pastel", copies=0, seen_by="Wren", date="2024-05", sure=0.9, note="in daylight"
    )
    add_claim(grandmother, who=WHO, allele="Ghost", copies=(0.25, 0.75, 0), said_by="Marl", ground="bill", trust=0.5)
    around = collection_around(["G2"])
    assert {one.animal for one in around.records.statements} == {"G0", "G1", "G2", "M1", "M2"}
    look, *claims = around.statements_of("G0")
    seen, day = StatementKind.SEEN, PartialDate(2024, 5)
    assert look == GeneStatement("G0", "pastel", seen, 1.0, 0.0, 0.0, "Wren", "in daylight", day, 0.9)
    (claim,) = (one for one in claims if one.by)
    assert (claim.kind, claim.one, claim.by, claim.ground, claim.trust) == ("claimed", 0.75, "Marl", "bill", 0.5)
    assert collection_of_records().statements_of("X1") == (), "what follows from the text is read from the text"


def test_add_look__changes_the_odds() -> None:
    dam = add_animal(who=WHO, tag="D1", sex="female")
    add_animal(who=WHO, tag="S1", sex="male")
    add_animal(who=WHO, tag="Y1", dam="D1", sires="S1")
    assert answers().genes("Y1").belief.loci == {}
    add_look(dam, who=WHO, allele="Pastel", copies=1)
    assert answers().genes("Y1").belief.copies("pastel", "pastel") == pytest.approx((0.5, 0.5, 0), abs=0.02)


def test_collection_around__agrees_with_the_whole() -> None:
    write_records(generations(4), who=WHO)
    whole, around = collection_of_records(), collection_around(["G4"])
    assert all(whole.animals[key] == animal for key, animal in around.animals.items())


def test_collection_around__queries_grow_by_the_generation_only() -> None:
    write_records(generations(3), who=WHO)
    few = count_queries(lambda: collection_around(["G3"]))
    write_records(generations(60), who=WHO)
    assert count_queries(lambda: collection_around(["G3"])) == few
    assert count_queries(lambda: collection_around(["G3"])) == 1


def test_collection__parents_by_way_of_the_clutch() -> None:
    add_animal(who=WHO, tag="D1", sex="female")
    add_animal(who=WHO, tag="S1", sex="male")
    add_clutch(who=WHO, tag="C1", dam="D1", sires="S1:0.6|none:0.4")
    add_animal(who=WHO, tag="Y1", clutch="C1")
    young = collection_around(["Y1"]).animals["Y1"]
    assert (young.dam, young.clutch) == ("D1", "C1")
    assert young.sires == (Candidate("S1", 0.6), Candidate("none", 0.4))
    assert collection_of_records().animals["Y1"] == young


def test_collection__two_animals_that_had_one_tag() -> None:
    dead = add_animal(who=WHO, tag="A7", status="died", hatched="2015", sex="female")
    add_animal(who=WHO, tag="A7", hatched="2024")
    add_animal(who=WHO, tag="Y1", dam=dead)
    name = f"A7 ({str(dead.pk)[:8]})"
    assert collection_of_records().animals["Y1"].dam == name
    assert set(collection_around(["Y1"]).animals) == {"Y1", name}
    assert set(collection_around([name]).animals) == {name}


def test_collection_of_records__one_species_only() -> None:
    add_animal(who=WHO, tag="A7")
    add_animal(who=WHO, tag="P1", species="pantherophis_guttatus")
    assert set(collection_of_records().animals) == {"A7"}
    assert set(collection_of_records("pantherophis_guttatus").animals) == {"P1"}
    assert collection_of_records("pantherophis_guttatus").species == "pantherophis_guttatus"


def test_records_fingerprint__names_what_changed() -> None:
    animal = add_animal(who=WHO, tag="A7")
    before = records_fingerprint("animals"), records_fingerprint("readings")
    add_measurement(animal, who=WHO, date="2024", value=100)
    assert records_fingerprint("animals") == before[0]
    assert records_fingerprint("readings") != before[1]


def test_animal_snapshot__with_its_parents() -> None:
    write_records(generations(3), who=WHO)
    found = animal_snapshot("G2")
    assert found.animal.id == "G2"
    assert found.dam is not None
    assert (found.dam.id, found.sires[0][0]) == ("G1", Candidate("M2"))
    assert found.sires[0][1] is not None
    assert [reading.value for reading in found.measurements] == [900]
    with pytest.raises(RecordError, match="REC-016: no animal has the id 'Q9'"):
        animal_snapshot("Q9")


def test_answers__kept_with_the_collection() -> None:
    write_records(generations(1), who=WHO)
    first = answers()
    assert answers() is first
    assert first.catalogue is catalogue_of_records()
    add_animal(who=WHO, tag="N1")
    assert "N1" in answers().collection.animals


def test_memory__makes_again_only_what_a_change_touches() -> None:
    """Two pedigrees that nothing joins, of a size to be calculations of their own, with four loci in play."""
    for line, genes in (("A", "Clown het Pied"), ("B", "Pastel het Clown")):
        animals = [Animal(f"{line}0", sex=Sex.MALE, genes=genes), Animal(f"{line}1", sex=Sex.FEMALE, genes="Enchi")]
        animals += [Animal(f"{line}{n}", sires=(Candidate(f"{line}0"),), dam=f"{line}1") for n in range(2, 42)]
        write_records(Records(tuple(animals)), who=WHO)
    memory = memory_of()
    first = ready_answers()
    assert first is not None
    before = memory.made
    assert len(first.beliefs.units) == 2
    animal = animal_by_tag("A5")
    assert animal is not None
    add_measurement(animal, who=WHO, date="2024", value=100)
    assert ready_answers() is not first
    assert memory.made == before, "a weight says nothing of genes"
    add_look(animal, who=WHO, allele="Pastel", copies=0)
    again = ready_answers()
    assert again is not None
    made = memory.made - before
    again_from_nothing = Memory()
    infer(again.family, again.evidence, memory=again_from_nothing)
    assert 0 < made < again_from_nothing.made, "the other pedigree is taken from memory"
    other = next(unit for unit in again.beliefs.units if "B0" in unit.layout.animals)
    kept = next(unit for unit in first.beliefs.units if "B0" in unit.layout.animals)
    assert isinstance(other, Unit)
    assert isinstance(kept, Unit)
    assert [id(group) for group in other.groups] == [id(group) for group in kept.groups]


def test_ready_answers__leave_a_large_collection_to_a_job(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("holdback.bridge.answered.IN_REQUEST", 3)
    write_records(generations(2), who=WHO)
    assert ready_answers() is None
    told: list[float] = []
    made = work_out("python_regius", conflicts=False, progress=told.append)
    assert ready_answers() is made
    assert told[-1] == 1.0
    assert ready_answers(conflicts=True) is made, "few enough to look for conflicts at once"


def test_ready_answers__leave_what_must_be_sampled_to_a_job(monkeypatch: pytest.MonkeyPatch) -> None:
    """A pedigree of which no table may be kept is sampled; the page does not wait for that, the job does."""
    monkeypatch.setattr("holdback.heredity.beliefs.inference.MOST_ENTRIES", 1)
    monkeypatch.setattr("holdback.bridge.answered._memories", {})
    write_records(generations(2), who=WHO)
    assert ready_answers() is None
    beats: list[int] = []
    made = work_out("python_regius", conflicts=False, progress=lambda _: None, beat=lambda: beats.append(1))
    assert not made.beliefs.exact
    assert beats
    assert ready_answers() is made
