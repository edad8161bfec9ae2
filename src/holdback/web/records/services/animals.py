"""Add, change, rename and remove an animal, and set its sex."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from typing import Any, TypedDict, Unpack

from django.utils import timezone

from holdback.collection.model import Origin, Sex
from holdback.collection.status import lives
from holdback.errors import Fault
from holdback.web.records import clock
from holdback.web.records.derive import derive
from holdback.web.records.models import Animal, AnimalName, Clutch, SexDetermination
from holdback.web.records.parents import Sires, parent_faults
from holdback.web.records.queries import parents_of, young_of
from holdback.web.records.rules import date_faults, length_faults, refuse, tag_faults, word_faults
from holdback.web.records.services.deed import Deed, deed
from holdback.web.records.services.parents import write_parents


class AnimalFields(TypedDict, total=False):
    """What is said of an animal; a field left out is not said."""

    tag: str
    name: str
    species: str
    sex: str
    hatched: str
    origin: str
    status: str
    genes: str
    notes: str


class NewAnimal(AnimalFields, total=False):
    """What is said of a new animal, its parents included."""

    dam: Animal | str | None
    sires: Sires
    clutch: Clutch | str | None


COLUMNS = {"genes": "genes_text"}
"""Field of a service to column, where the two differ."""


def add_animal(*, who: str, batch: uuid.UUID | None = None, **fields: Unpack[NewAnimal]) -> Animal:
    """A new animal.

    Parameters
    ----------
    who : str
        Who adds it.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``tag`` (needed), ``name``, ``species``, ``sex``, ``hatched`` (2024, 2024-07, 2024-07-18), ``origin``,
        ``status``, ``genes`` (trade shorthand), ``notes``, ``dam`` (animal or tag), ``sires`` (``A7:0.8|B2:0.2``,
        ``none``), ``clutch`` (clutch or tag).

    Raises
    ------
    RecordError
        REC-010 to REC-019, all faults of the fields together.
    """
    dam, sires, clutch = fields.pop("dam", None), fields.pop("sires", ""), fields.pop("clutch", None)
    values = columns(fields)
    animal = Animal(**{"tag": "", **values})
    with deed("add animal", who=who, batch=batch) as done:
        refuse(field_faults({"tag": animal.tag, **values}, tag=animal.tag))
        refuse(taken_faults(animal))
        done.make(animal)
        _keep_history(done, animal, values)
        if dam or sires or clutch:
            write_parents(done, animal, dam=dam, sires=sires, clutch=clutch)
        derive([animal])
    return animal


def change_animal(
    animal: Animal, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[AnimalFields]
) -> Animal:
    """The animal with some fields changed; the fields are those of `add_animal` without the parents.

    Raises
    ------
    RecordError
        REC-010 to REC-019, all faults together.
    """
    values = columns(fields)
    with deed("change animal", who=who, batch=batch) as done:
        write_fields(done, animal, values)
    return animal


def write_fields(done: Deed, animal: Animal, values: dict[str, Any]) -> None:
    """Check and write columns of an animal within a deed."""
    refuse(field_faults(values, tag=animal.tag))
    changed = {name for name in values if values[name] != getattr(animal, name)}
    refuse(taken_faults(animal, **{name: values[name] for name in changed & {"tag", "status"}}))
    if not done.change(animal, **values):
        return
    if changed & {"sex", "hatched", "species"}:
        refuse(family_faults(animal))
    _keep_history(done, animal, {name: values[name] for name in changed})
    if changed & {"genes_text", "species"}:
        derive([animal])


def rename_animal(animal: Animal, *, who: str, name: str, batch: uuid.UUID | None = None) -> Animal:
    """The animal with another calling name; the old one stays in its history."""
    with deed("rename animal", who=who, batch=batch) as done:
        write_fields(done, animal, {"name": name.strip()})
    return animal


class Finding(TypedDict, total=False):
    """How the sex was found."""

    method: str
    date: str
    found_by: str


def set_sex(
    animal: Animal, *, who: str, sex: str, batch: uuid.UUID | None = None, **how: Unpack[Finding]
) -> SexDetermination:
    """A new finding of the animal's sex, which counts from now on.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    sex : str
        male, female or unknown.
    batch : UUID, optional
        Batch that the change belongs to.
    **how
        ``method`` ("probed", "popped", "by offspring"), ``date``, ``found_by``.

    Raises
    ------
    RecordError
        REC-012, REC-013, or REC-017 where the animal is a parent of the other sex.
    """
    with deed("set sex", who=who, batch=batch) as done:
        refuse([*word_faults(sex, Sex, field="sex"), *date_faults(how.get("date", ""), field="date")])
        finding = SexDetermination(animal=animal, sex=sex, **how)
        done.make(finding)
        if done.change(animal, sex=sex):
            refuse(family_faults(animal))
    return finding


def remove_animal(animal: Animal, *, who: str, batch: uuid.UUID | None = None) -> Animal:
    """The animal, taken out of the lists; its rows stay, and undo brings it back."""
    with deed("remove animal", who=who, batch=batch) as done:
        refuse(
            Fault(
                "REC-003",
                f"{animal.tag} is still named as a parent of {young.tag}.",
                "Change the parents of its young first, or set its status instead.",
                animal=animal.tag,
            )
            for young in young_of(animal)[:20]
        )
        done.change(animal, removed_at=timezone.now())
        derive([animal])
    return animal


def columns(fields: Any) -> dict[str, Any]:
    """Columns and their values, texts without space around them."""
    return {
        COLUMNS.get(name, name): value.strip() if isinstance(value, str) else value for name, value in fields.items()
    }


def field_faults(values: dict[str, Any], *, tag: str = "") -> Iterator[Fault]:
    """Faults of the values as they stand, without a look at other records."""
    for name, most in (("name", 120), ("status", 60), ("species", 64)):
        yield from length_faults(values.get(name, ""), most, field=name, animal=tag)
    if "tag" in values:
        yield from tag_faults(values["tag"])
    if "sex" in values:
        yield from word_faults(values["sex"], Sex, field="sex", animal=tag)
    if "origin" in values:
        yield from word_faults(values["origin"], Origin, field="origin", animal=tag)
    yield from date_faults(values.get("hatched", ""), field="hatched", animal=tag)


def taken_faults(animal: Animal, *, tag: str | None = None, status: str | None = None) -> Iterator[Fault]:
    """REC-019 where another living animal has the tag that this one has, or is about to get."""
    name = animal.tag if tag is None else tag
    if animal.removed_at or not lives(animal.status if status is None else status):
        return
    others = Animal.objects.filter(tag=name, living=True, removed_at__isnull=True).exclude(pk=animal.pk)
    if others.exists():
        yield Fault(
            "REC-019",
            f"the id {name!r} belongs to another living animal.",
            "Choose another id, or change that animal.",
            field="tag",
            value=name,
            animal=name,
        )


def family_faults(animal: Animal) -> list[Fault]:
    """Faults of the animal as it stands now, as a young of its parents and as a parent of its young."""
    faults: list[Fault] = []
    parents = parents_of(animal)
    if parents.dam:
        faults += parent_faults(animal, parents.dam, sex=Sex.FEMALE, field="dam")
    for sire, _ in parents.sires:
        if sire:
            faults += parent_faults(animal, sire, sex=Sex.MALE, field="sires")
    for young in young_of(animal).select_related("clutch")[:50]:
        is_dam = animal.pk in {young.dam_id, young.clutch.dam_id if young.clutch and not young.dam_id else None}
        faults += parent_faults(
            young, animal, sex=Sex.FEMALE if is_dam else Sex.MALE, field="dam" if is_dam else "sires"
        )
    return faults


def _keep_history(done: Deed, animal: Animal, values: dict[str, Any]) -> None:
    """Rows for a name and a sex that are new."""
    if values.get("name"):
        done.make(AnimalName(animal=animal, name=animal.name, since=clock.today()))
    if values.get("sex", Sex.UNKNOWN.value) != Sex.UNKNOWN.value:
        done.make(SexDetermination(animal=animal, sex=animal.sex))
