"""Parents that an animal's own row leaves out and its clutch names."""

from __future__ import annotations

from dataclasses import replace

from holdback.collection.model import Animal, Clutch, Records


def with_clutch_parents(records: Records) -> tuple[Animal, ...]:
    """Animals in record order; a dam, or sires, that an animal's own row leaves out are those of its clutch.

    Parameters
    ----------
    records : Records
        Everything as recorded.

    Returns
    -------
    tuple of Animal
        The same objects where nothing is to be filled in.
    """
    clutches = {clutch.id: clutch for clutch in records.clutches}
    return tuple(_filled(animal, clutches.get(animal.clutch or "")) for animal in records.animals)


def _filled(animal: Animal, clutch: Clutch | None) -> Animal:
    if clutch is None:
        return animal
    dam, sires = animal.dam or clutch.dam, animal.sires or clutch.sires
    return animal if (dam, sires) == (animal.dam, animal.sires) else replace(animal, dam=dam, sires=sires)
