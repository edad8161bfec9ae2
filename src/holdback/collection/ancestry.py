"""Checks of parents: known, of the right sex, older than their young, and no loop among them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from holdback.collection.clutch_parents import with_clutch_parents
from holdback.collection.model import NO_SIRE, Animal, Records, Sex
from holdback.collection.places import Places
from holdback.errors import Fault

Parents = dict[str, list[str]]


def ancestry_faults(records: Records, places: Places) -> list[Fault]:
    """Everything wrong with the parents of animals and of clutches.

    Notes
    -----
    Loops are found by taking away animals without a parent left, and animals without young left, until nothing moves:
    linear in the number of parent links, and no recursion however deep the pedigree.
    """
    animals = {animal.id: animal for animal in records.animals}
    rows = {animal.id: index for index, animal in enumerate(records.animals)}
    faults: list[Fault] = []
    for index, animal in enumerate(records.animals):
        faults.extend(_parent_faults(animal, ("animals", index), animals, places))
    for index, clutch in enumerate(records.clutches):
        row = ("clutches", index)
        for sire in clutch.sires:
            if sire.animal != NO_SIRE:
                faults.extend(_known(sire.animal, "sires", Sex.MALE, row=row, animals=animals, places=places))
        if clutch.dam is not None:
            faults.extend(_known(clutch.dam, "dam", Sex.FEMALE, row=row, animals=animals, places=places))
    for index, mating in enumerate(records.matings):
        row = ("matings", index)
        faults.extend(_known(mating.dam, "dam", Sex.FEMALE, row=row, animals=animals, places=places))
        faults.extend(_known(mating.sire, "sire", Sex.MALE, row=row, animals=animals, places=places))
    filled = {animal.id: animal for animal in with_clutch_parents(records)}
    for index, animal in enumerate(records.animals):
        faults.extend(_own_clutch_faults(animal, filled[animal.id], ("animals", index), places))
    for loop in _loops(filled):
        what = f"{' < '.join([*loop, loop[0]])}: an animal would be its own ancestor."
        hint = "One of these parents is wrong: correct it, or leave it empty."
        faults.append(places.fault("COL-036", what, hint, row=("animals", rows[loop[0]]), field="sire", animal=loop[0]))
    return faults


def _parent_faults(
    animal: Animal, row: tuple[str, int], animals: Mapping[str, Animal], places: Places
) -> Iterator[Fault]:
    """Faults of the parents of one animal."""
    claims = [("sire", Sex.MALE, one.animal) for one in animal.sires if one.animal != NO_SIRE]
    if animal.dam is not None:
        claims.append(("dam", Sex.FEMALE, animal.dam))
        if animal.dam in {parent for column, _, parent in claims if column == "sire"}:
            what, hint = f"{animal.dam} is recorded as sire and as dam.", "Correct one, or leave it empty."
            yield places.fault("COL-035", what, hint, row=row, field="dam", value=animal.dam, animal=animal.id)
    for column, sex, parent in claims:
        if parent == animal.id:
            what, hint = f"{animal.id} is recorded as its own {column}.", "Correct it, or leave it empty."
            yield places.fault("COL-034", what, hint, row=row, field=column, value=parent, animal=animal.id)
            continue
        yield from _known(parent, column, sex, row=row, animals=animals, places=places, animal=animal.id)
        older = animals.get(parent)
        if older is None or older.hatched is None or animal.hatched is None:
            continue
        if older.hatched.earliest >= animal.hatched.latest:
            what = f"{parent} hatched {older.hatched}, not before {animal.id} ({animal.hatched})."
            hint = f"Correct one date, or leave the {column} empty."
            yield places.fault("COL-037", what, hint, row=row, field=column, value=parent, animal=animal.id)


def _own_clutch_faults(animal: Animal, filled: Animal, row: tuple[str, int], places: Places) -> Iterator[Fault]:
    """Fault of an animal that would be a parent of the clutch it hatched from."""
    if animal.id in _parents(filled) and animal.id not in _parents(animal):
        what = f"{animal.id} is recorded as a parent of {animal.clutch}, the clutch it hatched from."
        hint = "Correct its clutch, or the parents of the clutch."
        yield places.fault("COL-034", what, hint, row=row, field="clutch", value=animal.clutch or "", animal=animal.id)


def _parents(animal: Animal) -> list[str | None]:
    return [*(one.animal for one in animal.sires), animal.dam]


def _known(
    parent: str,
    column: str,
    sex: Sex,
    *,
    row: tuple[str, int],
    animals: Mapping[str, Animal],
    places: Places,
    animal: str = "",
) -> Iterator[Fault]:
    """Fault of a parent that is not there, or of the wrong sex."""
    found = animals.get(parent)
    if found is None:
        what = f"The {_role(column)} {parent} is not in animals.csv."
        hint = "Add it as an animal of its own, or leave the cell empty."
        yield places.fault("COL-031", what, hint, row=row, field=column, value=parent, animal=animal)
    elif found.sex not in (sex, Sex.UNKNOWN):
        what = f"{parent} is recorded as {found.sex} and stands here as the {_role(column)}."
        hint = "Correct its sex, or name another animal."
        yield places.fault("COL-033", what, hint, row=row, field=column, value=parent, animal=animal)


def _role(column: str) -> str:
    return "dam" if column == "dam" else "sire"


def _loops(animals: Mapping[str, Animal]) -> list[list[str]]:
    """Loops of ancestry, each once, as ids from offspring to parent; being one's own parent is no loop here."""
    parents: Parents = {
        animal.id: [
            parent
            for parent in dict.fromkeys(_parents(animal))
            if parent is not None and parent in animals and parent != animal.id
        ]
        for animal in animals.values()
    }
    loops: list[list[str]] = []
    left = _pruned(parents)
    while left:
        found = _walked(left)
        loops.extend(found)
        told = {one for loop in found for one in loop}
        left = _pruned({child: above for child, above in left.items() if child not in told})
    return loops


def _pruned(parents: Parents) -> Parents:
    """The part of a pedigree that lies on loops or between them."""
    for _ in range(2):
        young: Parents = {child: [] for child in parents}
        for child, above in parents.items():
            for parent in above:
                if parent in young:
                    young[parent].append(child)
        waiting = {child: sum(parent in parents for parent in above) for child, above in parents.items()}
        free = [child for child, count in waiting.items() if not count]
        while free:
            for child in young[free.pop()]:
                waiting[child] -= 1
                if not waiting[child]:
                    free.append(child)
        # What is left has a parent left; turned over, the next round asks the same of young.
        parents = {child: [one for one in young[child] if waiting[one]] for child, count in waiting.items() if count}
    return parents


def _walked(parents: Parents) -> list[list[str]]:
    """Loops met by going from each animal to its first parent left; each starts at its lowest id. At least one."""
    loops = []
    seen: dict[str, int] = {}
    for number, start in enumerate(parents):
        path: list[str] = []
        here = start
        while here not in seen:
            seen[here] = number
            path.append(here)
            here = next(parent for parent in parents[here] if parent in parents)
        if seen[here] == number:
            loop = path[path.index(here) :]
            first = loop.index(min(loop))
            loops.append(loop[first:] + loop[:first])
    return loops
