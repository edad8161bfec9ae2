"""A year through all services: every deed is taken back alone and in a row, leaves nothing half done, and goes out."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps

from holdback.bridge import collection_of_records
from holdback.collection.collection import Collection
from holdback.web.records import services as do
from holdback.web.records.clock import today
from holdback.web.records.hatching_rules import Young
from holdback.web.records.models import (
    Animal,
    Change,
    Claim,
    Clutch,
    Egg,
    Look,
    Mating,
    Measurement,
    Observation,
    Place,
)
from holdback.web.records.models.base import Record

pytestmark = pytest.mark.django_db
Step = Callable[[uuid.UUID], object]
WHO = "Wren"
DERIVED = {Claim, Look}
"""Read anew from what was typed of an animal, under new keys."""
START = today() - dt.timedelta(days=300)
LAID = START + dt.timedelta(days=120)
OUT = LAID + dt.timedelta(days=58)


def day(number: int) -> dt.date:
    return START + dt.timedelta(days=number)


def animal(tag: str) -> Animal:
    return Animal.objects.get(tag=tag)


def egg(mark: str) -> Egg:
    return Egg.objects.get(mark=mark)


def place(name: str) -> Place:
    return Place.objects.get(name=name)


def seen(kind: str) -> Observation:
    return Observation.objects.filter(kind=kind).latest("date")


def step(service: Callable[..., object], *given: Callable[[], object], **named: Any) -> Step:
    """One deed; what is callable is looked up when it is done."""

    def done(batch: uuid.UUID) -> object:
        values = {name: value() if callable(value) else value for name, value in named.items()}
        return service(*(one() for one in given), who=WHO, batch=batch, **values)

    return done


def dam() -> Animal:
    return animal("D1")


def sire() -> Animal:
    return animal("S1")


def other() -> Animal:
    return animal("D2")


def year() -> list[Step]:
    """All deeds of a year, in their order."""
    return [*until_laying(), *from_laying()]


def until_laying() -> list[Step]:
    """Animals, places, weights, meals, matings, signs."""
    mating = Mating.objects.get
    return [
        step(do.add_animal, tag="D1", sex="female", hatched="2019-06", genes="Pastel"),
        step(do.add_animal, tag="S1", sex="male", hatched="2018"),
        step(do.add_animal, tag="D2", sex="unknown", hatched="2020"),
        step(do.correct_sex, other, sex="female", method="probed"),
        step(do.rename_animal, other, name="Sedge"),
        step(do.add_rack, name="Rack A", tubs=("1", "2")),
        step(do.add_incubator, name="Incubator", capacity=20),
        step(do.add_boxes, lambda: place("Incubator"), lambda: ["Box 1"]),
        step(do.move_animal, dam, place=lambda: place("1"), on=day(0)),
        step(do.move_animal, other, place=lambda: place("2"), on=day(0)),
        step(do.swap_animals, dam, other, on=day(2)),
        step(do.weigh, dam, typed="1,800", on=day(3)),
        step(do.change_measurement, Measurement.objects.get, value=1810.0, typed="1810"),
        step(do.log_meal, dam, taken=None, on=day(4), prey_g=90),
        step(do.log_meal, dam, taken=True, on=day(5)),
        step(do.put_together, dam=dam, sire=sire, on=day(10)),
        step(do.log_lock, dam=dam, on=day(11)),
        step(do.log_lock, dam=dam, on=day(12)),
        step(do.change_observation, lambda: seen("lock"), date=str(day(13))),
        step(do.part, mating, on=day(14)),
        step(do.change_mating, mating, notes="calm"),
        step(do.log_lock, dam=other, sire=sire, on=day(20)),
        step(do.log_event, dam, kind="ultrasound", on=day(40), value=28.0),
        step(do.log_event, dam, kind="ovulation", on=day(80)),
        step(do.log_event, dam, kind="shed before laying", on=day(95)),
    ]  # fmt: skip


def from_laying() -> list[Step]:
    """Clutch, eggs, young, loans, a sale, a death."""
    clutch = Clutch.objects.get
    return [
        step(
            do.lay_clutch,
            dam=dam,
            laid=LAID,
            eggs=5,
            slugs=["5"],
            masses=[90.0, 91.0, 92.0, 93.0, 40.0],
            dam_mass_g=1300.0,
            box=lambda: place("Box 1"),
        ),
        step(do.log_warmth, lambda: place("Incubator"), value="31,5", date=LAID),
        step(do.look_at_eggs, clutch, lambda: {"1": ("veins", ""), "3": ("weak", "small")}, date=day(130)),
        step(do.lose_egg, lambda: egg("3"), date=day(150), cause="dried out"),
        step(do.lose_egg, lambda: egg("4"), date=day(170), cause="", genes="Pastel", defect="kinked"),
        step(do.put_in_box, lambda: [egg("1")], lambda: None),
        step(do.hatch_eggs, clutch, lambda: [Young("1", sex="male", method="popped", mass_g=61.0)], date=OUT),
        step(do.hatch_eggs, clutch, lambda: [Young("2", mass_g=59.0, defect="no eye")], date=OUT),
        step(do.close_clutch, clutch),
        step(do.open_clutch_again, clutch),
        step(do.set_clutch_aside, clutch, lambda: "a spike of heat"),
        step(do.quarantine, other, on=day(200), until=str(day(230))),
        step(do.lent, other, on=day(240), to="Finch"),
        step(do.returned, other, on=day(250)),
        step(do.co_owned, other, on=day(252), by="Finch", percent=50.0),
        step(do.sold, sire, on=day(260), to="Finch", price_text="400"),
        step(do.died, other, on=day(270), cause="unknown", opened=False),
        step(do.change_observation, lambda: seen("died"), date=str(day(272))),
    ]  # fmt: skip


def records() -> dict[str, list[dict[str, Any]]]:
    """Every row of every record, without what the log keeps beside them."""
    models = [model for model in apps.get_app_config("records").get_models() if issubclass(model, Record)]
    found: dict[str, list[dict[str, Any]]] = {}
    for model in models:
        columns = [one.attname for one in model._meta.concrete_fields if model not in DERIVED or one.attname != "id"]
        found[model.__name__] = sorted(model._default_manager.values(*columns), key=str)
    return found


def test_year__every_deed_is_taken_back_at_once_and_all_in_a_row() -> None:
    states, batches = [records()], []
    for step in year():
        batch = uuid.uuid4()
        step(batch)
        after = records()
        assert after != states[-1]
        back, again = uuid.uuid4(), uuid.uuid4()
        do.undo(batch, who=WHO, batch=back)
        assert records() == states[-1]
        do.undo(back, who=WHO, batch=again)
        assert records() == after
        states.append(after)
        batches.append(again)
    for batch, before in zip(batches[::-1], states[-2::-1], strict=True):
        back = uuid.uuid4()
        do.undo(batch, who=WHO, batch=back)
        assert records() == before


def test_year__a_deed_that_breaks_leaves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(*_: object) -> None:
        raise RuntimeError("power is gone")

    for step in year():
        before, logged = records(), Change.objects.count()
        with monkeypatch.context() as patch:
            patch.setattr(import_module("holdback.web.records.services.deed"), "refuse_contradictions", breaks)
            with pytest.raises(RuntimeError):
                step(uuid.uuid4())
        assert (records(), Change.objects.count()) == (before, logged)
        step(uuid.uuid4())


def test_year__out_and_in_again_is_the_same_and_doubles_nothing(tmp_path: Path) -> None:
    for step in year():
        step(uuid.uuid4())
    before, out = records(), collection_of_records()
    out.to_folder(tmp_path)
    read = Collection.from_folder(tmp_path)
    assert read.digest == out.digest
    do.write_records(read.records, who=WHO)
    assert records() == before
