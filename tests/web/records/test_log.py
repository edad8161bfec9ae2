"""The log says who did what, and nothing can change it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.db import DatabaseError, connection, transaction

from holdback.web.records.marks import marks
from holdback.web.records.models import Animal, Change
from holdback.web.records.services import change_animal

pytestmark = pytest.mark.django_db
Add = Callable[..., Animal]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE records_change SET who = 'nobody'",
        "DELETE FROM records_change",
    ],
)
def test_log__refuses_to_be_changed(add: Add, statement: str) -> None:
    add("A7")
    refused = pytest.raises(DatabaseError, match="the log is append-only")
    with refused, transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)
    assert Change.objects.get(label="A7").who == "Wrackline Barn"


def test_log__refuses_the_framework_too(add: Add) -> None:
    add("A7")
    row = Change.objects.latest("id")
    row.who = "nobody"
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        row.save()
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        Change.objects.all().delete()


def test_log__new_animal_is_kept_whole(add: Add) -> None:
    made = add("A7", name="Umber", hatched="2021")
    row = Change.objects.filter(model="animal").latest("id")
    assert (row.deed, row.record, row.label, row.before) == ("add animal", made.pk, "A7", None)
    assert row.after is not None
    assert (row.after["tag"], row.after["hatched"], row.after["dam_id"]) == ("A7", "2021", None)
    assert "search_text" not in row.after


def test_marks__change_with_the_records_and_only_then(add: Add) -> None:
    animal = add("A7")
    before = marks()
    change_animal(animal, who="x", notes="")
    assert marks() == before
    change_animal(animal, who="x", notes="calm")
    after = marks()
    assert after["animals"] != before["animals"]
    assert after["readings"] == before["readings"]
