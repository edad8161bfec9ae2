"""Who the parents are, and what no parents can be."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from holdback.collection.model import Candidate
from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Parentage
from holdback.web.records.services import set_parents, undo

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]


def sires_of(animal: Animal) -> dict[str, float]:
    return {row.sire.tag if row.sire else "none": row.weight for row in Parentage.objects.filter(animal=animal)}


def test_set_parents__candidates_with_weights(family: dict[str, Animal], add: Add) -> None:
    add("S2", sex="male")
    set_parents(family["Y1"], who=WHO, dam="D1", sires="S1:0.8|S2:0.2")
    assert sires_of(family["Y1"]) == {"S1": 0.8, "S2": 0.2}
    set_parents(family["Y1"], who=WHO, dam="D1", sires=[Candidate("S2", 1.0)])
    assert sires_of(family["Y1"]) == {"S2": 1.0}


def test_set_parents__no_sire_is_a_statement(family: dict[str, Animal]) -> None:
    set_parents(family["Y1"], who=WHO, dam="D1", sires="none")
    assert sires_of(family["Y1"]) == {"none": 1.0}


def test_set_parents__left_out_is_unknown(family: dict[str, Animal]) -> None:
    set_parents(family["Y1"], who=WHO)
    assert sires_of(family["Y1"]) == {}
    assert Animal.objects.get(tag="Y1").dam is None


@pytest.mark.parametrize(
    "sires, said",
    [
        ("S1:0.8|S1:0.2", "a sire is named twice"),
        ("S1:0.8|D1:0.4", "the weights sum to 1.2"),
        ("S1:0", "the weight 0 of S1 cannot be"),
        ("S1:much", "is no weight"),
        ("Q7", "no animal has the id 'Q7'"),
        ("D1", "D1 is recorded as female"),
        ("Y1", "Y1 would be its own ancestor through Y1"),
    ],
)
def test_set_parents__refuses_sires(family: dict[str, Animal], sires: str, said: str) -> None:
    before = Change.objects.count()
    with pytest.raises(RecordError, match=said):
        set_parents(family["Y1"], who=WHO, dam="D1", sires=sires)
    assert sires_of(family["Y1"]) == {"S1": 1.0}
    assert Change.objects.count() == before


def test_set_parents__refuses_a_loop_through_several_generations(family: dict[str, Animal], add: Add) -> None:
    add("Y2", sex="male", dam="D1")
    add("Z1", sires="Y2")
    set_parents(Animal.objects.get(tag="Z1"), who=WHO, dam=None, sires="Y2")
    with pytest.raises(RecordError, match="REC-018"):
        set_parents(Animal.objects.get(tag="Y2"), who=WHO, dam="Z1")


def test_set_parents__refuses_a_younger_parent(family: dict[str, Animal], add: Add) -> None:
    add("S9", sex="male", hatched="2024")
    with pytest.raises(RecordError, match="REC-017 animal Y1, field sires: S9 hatched 2024, after Y1"):
        set_parents(family["Y1"], who=WHO, dam="D1", sires="S9")


def test_set_parents__undo_brings_the_old_ones_back(family: dict[str, Animal], add: Add) -> None:
    add("S2", sex="male")
    set_parents(family["Y1"], who=WHO, dam=None, sires="S1:0.5|S2:0.5")
    undo(Change.objects.latest("id").batch, who=WHO)
    assert sires_of(family["Y1"]) == {"S1": 1.0}
    assert Animal.objects.get(tag="Y1").dam == family["D1"]
