"""Clutches, eggs, evidence, readings and places."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Measurement
from holdback.web.records.queries import parents_of
from holdback.web.records.services import (
    add_claim,
    add_clutch,
    add_egg,
    add_line_claim,
    add_look,
    add_mating,
    add_measurement,
    add_observation,
    add_place,
    change_clutch,
    change_egg,
    move_animal,
    set_parents,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
Add = Callable[..., Animal]


def test_add_clutch__gives_its_hatchlings_their_parents(family: dict[str, Animal], add: Add) -> None:
    clutch = add_clutch(who=WHO, tag="C1", dam="D1", sires="S1:0.7", laid="2024-04-01", eggs=7, slugs=1)
    young = add("Y2", clutch="C1", hatched="2024-06-01")
    parents = parents_of(young)
    assert (parents.dam, parents.sires) == (family["D1"], ((family["S1"], 0.7),))
    change_clutch(clutch, who=WHO, sires="none")
    assert parents_of(young).sires == ((None, 1.0),)


def test_add_clutch__all_faults_together(family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError) as error:
        add_clutch(who=WHO, tag="", dam="S1", laid="spring", eggs=5, slugs=6)
    assert [fault.code for fault in error.value.faults] == ["REC-010", "REC-012", "REC-014", "REC-017"]


def test_add_clutch__laid_after_the_dam_hatched(family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError, match="COL-041"):
        add_clutch(who=WHO, tag="C1", dam="D1", laid="2018-04-01")


def test_clutch__its_dam_and_the_dam_of_its_young_agree(family: dict[str, Animal], add: Add) -> None:
    clutch = add_clutch(who=WHO, tag="C1", dam="D1")
    add("D2", sex="female")
    with pytest.raises(RecordError, match="clutch C1 was laid by another dam than D2"):
        set_parents(family["Y1"], who=WHO, dam="D2", clutch="C1")
    set_parents(family["Y1"], who=WHO, dam="D1", clutch="C1")
    with pytest.raises(RecordError, match="COL-038"):
        change_clutch(clutch, who=WHO, dam="D2")


def test_add_egg__and_what_became_of_it(family: dict[str, Animal]) -> None:
    clutch = add_clutch(who=WHO, tag="C1", dam="D1", eggs=1)
    egg = add_egg(clutch, who=WHO, mark="1", mass_g=92.5)
    change_egg(egg, who=WHO, outcome="hatched", animal="Y1")
    assert family["Y1"].egg == egg
    with pytest.raises(RecordError, match="egg 1 of this clutch is there already"):
        add_egg(clutch, who=WHO, mark="1")
    with pytest.raises(RecordError, match="COL-039"):
        add_egg(clutch, who=WHO, mark="2")
    with pytest.raises(RecordError, match="is recorded as slug and has a hatchling"):
        change_egg(egg, who=WHO, outcome="slug")


def test_add_look__by_any_trade_name(add: Add) -> None:
    animal = add("A7")
    assert add_look(animal, who=WHO, allele="YB", copies=1, sure=0.8).allele == "yellow-belly"
    with pytest.raises(RecordError, match="REC-016 animal A7, field allele: no gene is called 'Pastell'"):
        add_look(animal, who=WHO, allele="Pastell")
    with pytest.raises(RecordError, match="REC-014"):
        add_look(animal, who=WHO, allele="pastel", copies=3)


def test_add_claim__chances_sum_to_one(add: Add) -> None:
    animal = add("A7")
    claim = add_claim(animal, who=WHO, allele="clown", copies=(0.5, 0.5, 0.0), said_by="seller", trust=0.9)
    assert (claim.none, claim.one, claim.two, claim.trust) == (0.5, 0.5, 0.0, 0.9)
    with pytest.raises(RecordError, match=r"the three chances sum to 0.9. They must sum to 1"):
        add_claim(animal, who=WHO, allele="clown", copies=(0.5, 0.4, 0.0))


def test_add_line_claim__bounds(add: Add) -> None:
    animal = add("A7")
    assert add_line_claim(animal, who=WHO, line="Marrowfen", share_low=0.5, share_high=1.0).share_low == 0.5
    with pytest.raises(RecordError, match="REC-019"):
        add_line_claim(animal, who=WHO, line="Marrowfen")
    with pytest.raises(RecordError, match="the lower share is above the upper one"):
        add_line_claim(animal, who=WHO, line="Other", share_low=0.6, share_high=0.5)


def test_add_measurement__keeps_what_was_typed(add: Add) -> None:
    animal = add("A7", hatched="2024-07-01")
    add_measurement(animal, who=WHO, date="2024-07-02", value=2.3, unit="oz", typed="2,3", condition="empty")
    found = Measurement.objects.get()
    assert (found.value, found.unit, found.typed, found.trait) == (2.3, "oz", "2,3", "mass")


def test_add_measurement__refuses(add: Add) -> None:
    animal = add("A7", hatched="2024-07-01")
    with pytest.raises(RecordError) as error:
        add_measurement(animal, who=WHO, date="", value=-3, unit="mm")
    assert [fault.code for fault in error.value.faults] == ["REC-012", "REC-014", "REC-013"]
    with pytest.raises(RecordError, match="COL-041"):
        add_measurement(animal, who=WHO, date="2023", value=70)


def test_add_mating__of_a_male_and_a_female(family: dict[str, Animal]) -> None:
    add_mating(who=WHO, dam=family["D1"], sire=family["S1"], together="2023-11", locks=2)
    with pytest.raises(RecordError, match="S1 is recorded as male"):
        add_mating(who=WHO, dam=family["S1"], sire=family["D1"])
    with pytest.raises(RecordError, match="COL-041"):
        add_mating(who=WHO, dam=family["D1"], sire=family["S1"], together="2023-11", apart="2023-10")


def test_add_observation__needs_kind_and_date(add: Add) -> None:
    animal = add("A7")
    add_observation(animal, who=WHO, date="2024-01-01", kind="ultrasound", value=31, unit="mm")
    with pytest.raises(RecordError) as error:
        add_observation(animal, who=WHO)
    assert [fault.code for fault in error.value.faults] == ["REC-012", "REC-010"]


def test_move_animal__one_place_at_a_time(add: Add) -> None:
    animal = add("A7")
    first, second = add_place(who=WHO, name="Tub 1"), add_place(who=WHO, name="Tub 2")
    move_animal(animal, who=WHO, place=first, on=dt.date(2024, 1, 1))
    move_animal(animal, who=WHO, place=second, on=dt.date(2024, 2, 1))
    assert [(stay.place.name, stay.until) for stay in animal.stays.all()] == [
        ("Tub 1", dt.date(2024, 2, 1)),
        ("Tub 2", None),
    ]
    with pytest.raises(RecordError, match="A7 came to Tub 2 on 2024-02-01, after 2024-01-15"):
        move_animal(animal, who=WHO, place=first, on=dt.date(2024, 1, 15))
    with pytest.raises(RecordError, match="REC-019"):
        add_place(who=WHO, name="Tub 1")
    assert move_animal(animal, who=WHO, place=None) is None
