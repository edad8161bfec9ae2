"""Many records at once: all or none, known ones by their id, nothing twice."""

from __future__ import annotations

import dataclasses
from collections import Counter
from typing import Any

import pytest

from holdback.bridge import collection_of_records
from holdback.collection.collection import Collection
from holdback.collection.model import (
    Animal,
    Candidate,
    Clutch,
    Egg,
    EggOutcome,
    Event,
    GeneStatement,
    LineClaim,
    Mating,
    Measurement,
    PartialDate,
    Records,
    Sex,
    StatementKind,
    Trait,
)
from holdback.errors import RecordError
from holdback.web.records import models as rows
from holdback.web.records.queries import animal_by_tag
from holdback.web.records.services import change_animal, undo, write_records

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
DAY = PartialDate.parse


def some_records(n_young: int = 3) -> Records:
    """A pair, a clutch with a second candidate sire, its young and everything that hangs on them."""
    candidates = (Candidate("S1", 0.75), Candidate("S2", 0.25))
    young = tuple(
        Animal(
            f"Y{n}", f"Young {n}", hatched=DAY("2024-06-15"), sires=candidates, dam="D1", clutch="C1", genes="Pastel"
        )
        for n in range(n_young)
    )
    return Records(
        animals=(
            Animal("D1", "Umber", Sex.FEMALE, DAY("2019"), genes="Pastel het Clown"),
            Animal("S1", "Straw", Sex.MALE, DAY("2020-05"), notes="=2+3"),
            Animal("S2", "", Sex.MALE),
            *young,
        ),
        lines=(LineClaim("D1", "Marrowfen", 0.5, 1.0, "bill of sale"),),
        measurements=(Measurement("D1", DAY("2024-01-05"), Trait.MASS, 1850.0, "g", "empty"),),
        matings=(Mating("D1", "S1", DAY("2023-11"), DAY("2024-01"), 2), Mating("D1", "S2", DAY("2024-01-10"))),
        clutches=(Clutch("C1", "D1", candidates, DAY("2024-04-20"), n_young + 1, 1, DAY("2024-06-15")),),
        eggs=(Egg("C1", "1", 92.5, EggOutcome.HATCHED, "Y0"), Egg("C1", "2", None, EggOutcome.SLUG)),
        events=(Event("D1", DAY("2024-03-01"), "ovulation", 32.0, "mm", "seen"),),
    )


def test_write_records__lands_whole_and_comes_back_the_same() -> None:
    records = some_records()
    written = write_records(records, who=WHO)
    assert written.added == Counter(animals=6, lines=1, measurements=1, matings=2, clutches=1, eggs=2, events=1)
    assert collection_of_records().records == Collection.from_records(records).records


def test_write_records__young_take_their_sires_from_the_clutch() -> None:
    write_records(some_records(), who=WHO)
    assert not rows.Parentage.objects.filter(animal__isnull=False).exists()
    assert rows.Parentage.objects.filter(clutch__tag="C1").count() == 2


def test_write_records__again_changes_nothing() -> None:
    write_records(some_records(), who=WHO)
    before = rows.Change.objects.count()
    written = write_records(some_records(), who=WHO)
    assert not written.added
    assert not written.changed
    assert sum(written.same.values()) == 14
    assert rows.Change.objects.count() == before


def test_write_records__known_ones_are_changed_and_empty_overwrites_nothing() -> None:
    write_records(some_records(), who=WHO)
    again = Records(
        animals=(
            Animal("D1", "", status="breeder"),
            Animal("Y0", "Renamed", sires=(Candidate("S1"),)),
            Animal("N1", dam="D1"),
        ),
        clutches=(Clutch("C1", eggs=5),),
    )
    written = write_records(again, who=WHO)
    assert (written.added, written.changed) == (Counter(animals=1), Counter(animals=2, clutches=1))
    dam, young = rows.Animal.objects.get(tag="D1"), rows.Animal.objects.get(tag="Y0")
    assert (dam.name, dam.status, dam.genes_text) == ("Umber", "breeder", "Pastel het Clown")
    assert [row.sire.tag for row in young.candidate_sires.all() if row.sire] == ["S1"]
    assert {name.name for name in young.names.all()} == {"Young 0", "Renamed"}
    assert rows.Clutch.objects.get().eggs == 5


def test_write_records__undo_takes_all_back() -> None:
    written = write_records(some_records(), who=WHO)
    taken = undo(written.batch, who=WHO)
    for model in (rows.Animal, rows.Clutch, rows.Parentage, rows.Egg, rows.Measurement, rows.Claim, rows.AnimalName):
        assert not model.objects.exists(), model
    undo(taken[0].batch, who=WHO)
    assert collection_of_records().records == Collection.from_records(some_records()).records
    assert rows.Claim.objects.filter(allele="clown").count() == 1


def test_write_records__undo_refused_where_a_young_came_later() -> None:
    written = write_records(some_records(), who=WHO)
    young = animal_by_tag("Y1")
    assert young is not None
    change_animal(young, who=WHO, status="holdback")
    with pytest.raises(RecordError, match="REC-020 animal Y1, field status: Y1 was changed again since"):
        undo(written.batch, who=WHO)
    assert rows.Animal.objects.count() == 6


def test_write_records__all_or_none_with_all_faults() -> None:
    bad = dataclasses.replace(
        some_records(),
        lines=(LineClaim("Q1", "Marrowfen", 0, 1),),
        measurements=(Measurement("D1", DAY("2024"), Trait.MASS, -5, "mm"),),
    )
    with pytest.raises(RecordError) as error:
        write_records(bad, who=WHO)
    assert [fault.code for fault in error.value.faults] == ["REC-016", "REC-014", "REC-013"]
    assert not rows.Animal.objects.exists()


def test_write_records__refuses_what_makes_no_collection() -> None:
    write_records(some_records(), who=WHO)
    with pytest.raises(RecordError, match=r"COL-036|COL-037"):
        write_records(Records(animals=(Animal("D1", dam="Y1"), Animal("Y1", sex=Sex.FEMALE))), who=WHO)
    assert rows.Animal.objects.get(tag="D1").dam is None


def test_write_records__progress_may_stop_it() -> None:
    class Stop(Exception):
        pass

    seen: list[tuple[int, int]] = []

    def progress(done: int, total: int) -> None:
        seen.append((done, total))
        raise Stop

    with pytest.raises(Stop):
        write_records(some_records(300), who=WHO, progress=progress)
    assert seen == [(200, 311)]
    assert not rows.Animal.objects.exists()
    assert not rows.Change.objects.exists()


def test_write_records__prepared_anew_if_somebody_wrote_meanwhile() -> None:
    def progress(done: int, total: int) -> None:
        if done < total and not rows.Animal.objects.filter(tag="Y7").exists():
            write_records(Records(animals=(Animal("Y7", "Early"),)), who="somebody else")

    written = write_records(some_records(300), who=WHO, progress=progress)
    assert (written.added["animals"], written.changed["animals"]) == (302, 1)
    assert rows.Animal.objects.get(tag="Y7").name == "Young 7"


def test_write_records__queries_grow_by_the_chunk_and_not_by_the_row(django_assert_max_num_queries: Any) -> None:
    with django_assert_max_num_queries(110):
        write_records(some_records(400), who=WHO)


def test_write_records__statements_become_looks_and_claims_once() -> None:
    statements = (
        GeneStatement("Q1", "pastel", StatementKind.SEEN, 0, 1, 0, "Wren", "in sun", DAY("2023-05"), 0.9),
        GeneStatement("Q1", "clown", StatementKind.CLAIMED, 0.5, 0.5, 0, "", "bill of sale", None, 0.75),
    )
    records = Records((Animal("Q1", genes="Pastel"),), statements=statements)
    written = write_records(records, who=WHO)
    assert written.added["statements"] == 2
    assert collection_of_records().statements_of("Q1") == statements
    again = write_records(records, who=WHO)
    assert (again.same["statements"], again.added["statements"]) == (2, 0)
    undo(written.batch, who=WHO)
    assert not rows.Look.objects.exists()
    assert not rows.Claim.objects.exists()


def test_write_records__statements_that_no_row_can_hold() -> None:
    seen, odds = StatementKind.SEEN, (0.5, 0.5, 0.0)
    statements = (
        GeneStatement("Q1", "Pastel", seen, *odds),
        GeneStatement("Q1", "Nosuchgene", seen, 0, 1, 0),
        GeneStatement("Q1", "Pastel", seen, 0, 1, 0, trust=0),
    )
    with pytest.raises(RecordError) as refused:
        write_records(Records((Animal("Q1"),), statements=statements), who=WHO)
    assert [(fault.code, fault.field) for fault in refused.value.faults] == [
        ("REC-014", "kind"),
        ("REC-016", "allele"),
        ("REC-014", "trust"),
    ]
    assert not rows.Look.objects.exists()
