"""Add, change, rename and remove animals."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Claim, Look
from holdback.web.records.queries import animal_by_tag, find_animals, parents_of, young_of
from holdback.web.records.services import add_animal, change_animal, remove_animal, rename_animal, set_sex, undo

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]


def codes(error: pytest.ExceptionInfo[RecordError]) -> list[str]:
    return [fault.code for fault in error.value.faults]


def test_add_animal__keeps_what_was_said(add: Add) -> None:
    made = add(
        "A7", name="Umber", sex="female", hatched="2021-07", origin="captive bred", status="breeder", notes="calm"
    )
    found = Animal.objects.get(pk=made.pk)
    assert (found.tag, found.name, found.sex, found.hatched, found.origin) == (
        "A7",
        "Umber",
        "female",
        "2021-07",
        "captive bred",
    )
    assert str(found.hatched_first) == "2021-07-01"
    assert [name.name for name in found.names.all()] == ["Umber"]
    assert [finding.sex for finding in found.sex_determinations.all()] == ["female"]


def test_add_animal__all_faults_together() -> None:
    with pytest.raises(RecordError) as error:
        add_animal(who=WHO, tag="A|7", sex="boy", hatched="07/18/2024", origin="shop")
    assert codes(error) == ["REC-010", "REC-013", "REC-013", "REC-012"]
    assert "'07/18/2024' is no date. Write 2024-07-18, 2024-07 or 2024." in str(error.value)
    assert not Animal.objects.exists()
    assert not Change.objects.exists()


@pytest.mark.parametrize("tag", ["", "none", "A:1", "A\n1", "x" * 65])
def test_add_animal__refuses_ids_that_no_file_could_hold(tag: str) -> None:
    with pytest.raises(RecordError, match="REC-010"):
        add_animal(who=WHO, tag=tag)


def test_add_animal__needs_a_writer() -> None:
    with pytest.raises(RecordError, match="REC-001 field who: nobody is named"):
        add_animal(who=" ", tag="A1")


def test_add_animal__tag_is_unique_among_the_living(add: Add) -> None:
    add("A7")
    with pytest.raises(RecordError, match="REC-019 animal A7, field tag: the id 'A7' belongs to another living animal"):
        add("A7")


def test_add_animal__tag_of_a_dead_animal_may_be_used_again(add: Add) -> None:
    dead = add("A7", status="died", hatched="2015")
    alive = add("A7", hatched="2024")
    assert animal_by_tag("A7") == alive
    assert animal_by_tag(f"A7 ({str(dead.pk)[:8]})") == dead
    with pytest.raises(RecordError, match="REC-019"):
        change_animal(dead, who=WHO, status="breeder")


def test_animal__database_refuses_twins_that_no_service_saw(add: Add) -> None:
    add("A7")
    twin = Animal(tag="A7")
    with pytest.raises(IntegrityError), transaction.atomic():
        twin.save()


def test_change_animal__logs_only_what_changed(add: Add) -> None:
    animal = add("A7", name="Umber")
    change_animal(animal, who=WHO, status="holdback", name="Umber")
    row = Change.objects.latest("id")
    assert (row.deed, row.before, row.after) == ("change animal", {"status": ""}, {"status": "holdback"})
    assert row.who == WHO


def test_change_animal__nothing_new_writes_nothing(add: Add) -> None:
    animal = add("A7", name="Umber")
    before = Change.objects.count()
    change_animal(animal, who=WHO, name="Umber")
    assert Change.objects.count() == before


def test_change_animal__hatch_date_must_fit_the_family(family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError, match="D1 hatched 2024, after Y1"):
        change_animal(family["D1"], who=WHO, hatched="2024")
    assert Animal.objects.get(tag="D1").hatched == "2019-06"


def test_rename_animal__keeps_the_old_name(add: Add) -> None:
    animal = add("A7", name="Umber")
    rename_animal(animal, who=WHO, name="Sable")
    assert {name.name for name in animal.names.all()} == {"Umber", "Sable"}
    assert Animal.objects.get(pk=animal.pk).name == "Sable"


def test_set_sex__the_last_finding_counts(add: Add) -> None:
    animal = add("A7", sex="male")
    set_sex(animal, who=WHO, sex="female", method="probed", date="2024-09-01")
    assert Animal.objects.get(pk=animal.pk).sex == "female"
    assert [(one.sex, one.method) for one in animal.sex_determinations.order_by("date")] == [
        ("male", ""),
        ("female", "probed"),
    ]


def test_set_sex__a_dam_cannot_become_male(family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError, match="D1 is recorded as male"):
        set_sex(family["D1"], who=WHO, sex="male")
    assert family["D1"].sex_determinations.count() == 1


def test_remove_animal__can_be_taken_back(add: Add) -> None:
    animal = add("A7", genes="Pastel")
    remove_animal(animal, who=WHO)
    assert animal_by_tag("A7") is None
    assert not Look.objects.filter(animal=animal).exists()
    undo(Change.objects.latest("id"), who=WHO)
    assert animal_by_tag("A7") == animal
    assert Look.objects.filter(animal=animal, allele="pastel", derived=True).count() == 1


def test_remove_animal__not_while_it_is_a_parent(family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError, match="REC-003 animal D1: D1 is still named as a parent of Y1"):
        remove_animal(family["D1"], who=WHO)


def test_genes_text__gives_looks_and_claims(add: Add) -> None:
    animal = add("A7", genes="Pastel 66% het Pied")
    claims = {claim.allele: claim for claim in animal.claims.all()}
    assert [(look.allele, look.copies) for look in animal.looks.all()] == [("pastel", 1)]
    assert claims["pastel"].one == 1
    assert claims["piebald"].one == pytest.approx(2 / 3, abs=1e-12)  # two in three of the young that do not show it
    change_animal(animal, who=WHO, genes="Super Pastel")
    assert [(look.allele, look.copies) for look in animal.looks.all()] == [("pastel", 2)]
    assert Claim.objects.filter(animal=animal).count() == 1


def test_find_animals__words_filters_and_order(add: Add) -> None:
    add("A2", name="Umber", sex="female", hatched="2021", genes="Pastel Clown")
    add("A1", name="Straw", sex="male", hatched="2023-05-01", genes="Clown")
    add("B9", status="died")
    assert [one.tag for one in find_animals("CLOWN")] == ["A1", "A2"]
    assert [one.tag for one in find_animals("clown umb")] == ["A2"]
    assert [one.tag for one in find_animals(sex="male")] == ["A1"]
    assert [one.tag for one in find_animals("clown", sort="-hatched")] == ["A1", "A2"]
    assert [one.tag for one in find_animals(status="died")] == ["B9"]
    assert [one.tag for one in find_animals("100%")] == []


def test_parents_of__and_young_of(family: dict[str, Animal]) -> None:
    parents = parents_of(family["Y1"])
    assert (parents.dam, parents.sires) == (family["D1"], ((family["S1"], 1.0),))
    assert list(young_of(family["S1"])) == [family["Y1"]] == list(young_of(family["D1"]))


def test_add_animal__takes_few_queries(family: dict[str, Animal], django_assert_max_num_queries: Any) -> None:
    with django_assert_max_num_queries(60):
        add_animal(who=WHO, tag="Y2", hatched="2024-07-01", dam="D1", sires="S1", genes="Pastel")
