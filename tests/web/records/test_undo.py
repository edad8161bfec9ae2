"""Everything can be taken back, unless something later stands on it."""

from __future__ import annotations

import uuid
from collections.abc import Callable

import pytest

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Measurement
from holdback.web.records.services import add_animal, add_measurement, add_place, change_animal, move_animal, undo

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]


def last_batch() -> uuid.UUID:
    return Change.objects.latest("id").batch


def test_undo__addition_and_back_again(add: Add) -> None:
    made = add("A7", name="Umber", genes="Pastel", sex="male")
    taken = undo(last_batch(), who=WHO)
    assert not Animal.objects.exists()
    assert {row.model for row in taken} == {"animal", "animalname", "sexdetermination"}
    undo(taken[0].batch, who=WHO)
    back = Animal.objects.get()
    assert (back.pk, back.name, back.genes_text, back.search_text) == (made.pk, "Umber", "Pastel", made.search_text)
    assert back.claims.count() == 1


def test_undo__change(add: Add) -> None:
    animal = add("A7", status="breeder")
    change_animal(animal, who=WHO, status="sold", notes="to a friend")
    row = Change.objects.latest("id")
    undo(row, who=WHO)
    found = Animal.objects.get()
    assert (found.status, found.notes) == ("breeder", "")
    row.refresh_from_db()
    assert row.undone_by.deed == "undo"


def test_undo__refused_where_changed_since(add: Add) -> None:
    animal = add("A7", status="breeder")
    change_animal(animal, who=WHO, status="sold")
    row = Change.objects.latest("id")
    change_animal(animal, who=WHO, status="holdback")
    with pytest.raises(RecordError, match="REC-020 animal A7, field status: A7 was changed again since"):
        undo(row, who=WHO)
    assert Animal.objects.get().status == "holdback"


def test_undo__other_columns_may_have_changed_since(add: Add) -> None:
    animal = add("A7", status="breeder")
    change_animal(animal, who=WHO, status="sold")
    row = Change.objects.latest("id")
    change_animal(animal, who=WHO, notes="calm")
    undo(row, who=WHO)
    found = Animal.objects.get()
    assert (found.status, found.notes) == ("breeder", "calm")


def test_undo__refused_where_others_name_it(family: dict[str, Animal]) -> None:
    added = Change.objects.get(record=family["D1"].pk, model="animal", before__isnull=True).batch
    with pytest.raises(RecordError, match="REC-003 animal D1, field dam: D1 is still named by a later animal"):
        undo(added, who=WHO)
    assert Animal.objects.count() == 3


def test_undo__refused_twice(add: Add) -> None:
    animal = add("A7")
    change_animal(animal, who=WHO, status="sold")
    batch = last_batch()
    undo(batch, who=WHO)
    with pytest.raises(RecordError, match="REC-021: this was taken back already"):
        undo(batch, who=WHO)


def test_undo__no_such_batch() -> None:
    with pytest.raises(RecordError, match="REC-022"):
        undo(uuid.uuid4(), who=WHO)


def test_undo__batch_of_several_deeds(add: Add) -> None:
    batch = uuid.uuid4()
    dam = add_animal(who=WHO, batch=batch, tag="D1", sex="female")
    add_animal(who=WHO, batch=batch, tag="Y1", dam=dam)
    add_measurement(dam, who=WHO, batch=batch, date="2024-03-01", value=1900)
    undo(batch, who=WHO)
    assert not Animal.objects.exists()
    assert not Measurement.objects.exists()


def test_undo__tag_in_use_again(add: Add) -> None:
    old = add("A7")
    change_animal(old, who=WHO, status="died")
    row = Change.objects.latest("id")
    add("A7")
    with pytest.raises(RecordError, match="REC-019"):
        undo(row, who=WHO)


def test_undo__two_changes_of_one_column_in_one_batch(add: Add) -> None:
    animal, batch = add("A7", status="breeder"), uuid.uuid4()
    change_animal(animal, who=WHO, batch=batch, status="sold")
    change_animal(animal, who=WHO, batch=batch, status="holdback")
    undo(batch, who=WHO)
    assert Animal.objects.get().status == "breeder"


def test_undo__a_move(add: Add) -> None:
    animal = add("A7")
    rack = add_place(who=WHO, name="Rack 1", kind="rack")
    first, second = add_place(who=WHO, name="1", within=rack), add_place(who=WHO, name="2", within=rack)
    move_animal(animal, who=WHO, place=first)
    move_animal(animal, who=WHO, place=second)
    undo(last_batch(), who=WHO)
    assert [(stay.place.name, stay.until) for stay in animal.stays.all()] == [("1", None)]


def test_undo__refused_where_it_makes_no_collection(add: Add) -> None:
    animal = add("A7", hatched="2024-08")
    change_animal(animal, who=WHO, hatched="2023-08")
    row = Change.objects.latest("id")
    add_measurement(animal, who=WHO, date="2024-03-01", value=200)
    with pytest.raises(RecordError, match="COL-041"):
        undo(row, who=WHO)
    assert Animal.objects.get().hatched == "2023-08"
