"""Clutches whose recorded young leave eggs out: ratios and lethal genes look wrong where they do."""

from __future__ import annotations

from collections.abc import Iterator

from holdback.answers.conflicts.candidates import Breeders
from holdback.answers.conflicts.conflict import Conflict, Explanation, Kind
from holdback.answers.conflicts.wording import listed
from holdback.collection.collection import Collection
from holdback.collection.model import Clutch, EggOutcome
from holdback.descent.family import Family

_NEAR_DAYS = 7


def tally_conflicts(collection: Collection, family: Family, breeders: Breeders) -> Iterator[Conflict]:
    """One question for each hatched clutch with eggs of which nothing is written."""
    for clutch in collection.clutches.values():
        missing = _missing(clutch, collection)
        if missing > 0:
            yield _question(clutch, missing, collection, family, breeders)


def _missing(clutch: Clutch, collection: Collection) -> int:
    """Eggs that are neither slugs, nor written as dead, nor on record as hatched; 0 where it cannot be said."""
    young = len(collection.clutch_mates(clutch.id))
    if clutch.eggs is None or (not young and clutch.hatched is None):
        return 0
    eggs = collection.eggs_of(clutch.id)
    slugs = clutch.slugs if clutch.slugs is not None else sum(egg.outcome is EggOutcome.SLUG for egg in eggs)
    died = sum(egg.outcome is EggOutcome.DIED for egg in eggs)
    return clutch.eggs - slugs - died - young


def _question(clutch: Clutch, missing: int, collection: Collection, family: Family, breeders: Breeders) -> Conflict:
    young = [animal.id for animal in collection.clutch_mates(clutch.id)]
    eggs = collection.eggs_of(clutch.id)
    died = sum(egg.outcome is EggOutcome.DIED for egg in eggs)
    message = (
        f"Clutch {clutch.id}: {_counted(clutch.eggs or 0, 'egg')}, {_counted(clutch.slugs or 0, 'slug')}, "
        f"{died} dead in the egg and {len(young)} young on record leave {missing} out."
    )
    loose = _loose(clutch, collection, family, breeders)
    questions = [f"What became of {'it' if missing == 1 else 'them'}: dead in the egg, sold, or not hatched?"]
    found = []
    if loose:
        questions.insert(0, f"First: does {listed(loose)}, hatched at that time without a clutch, belong here?")
        words = f"{loose[0]} is of this clutch and is not written so."
        fix = f"If so, write {clutch.id} as the clutch of {loose[0]} and {clutch.dam} as its dam."
        found.append(Explanation(Kind.NOT_WRITTEN, words, 0.5, fix, f"animal {loose[0]}", "clutch", clutch.id))
    fix = f"Write every egg of clutch {clutch.id} with what became of it."
    words = "Some young or dead eggs are not written down; ratios and lethal genes look wrong then."
    found.append(Explanation(Kind.NOT_WRITTEN, words, 1.0, fix, f"clutch {clutch.id}", "eggs"))
    return Conflict("CNF-040", (*loose, *young), "", message, 1.0, tuple(found), tuple(questions))


def _loose(clutch: Clutch, collection: Collection, family: Family, breeders: Breeders) -> list[str]:
    """Animals without a clutch that hatched within a week of this one."""
    brood = next((one for one in family.broods if one.key == clutch.id), None)
    day = breeders.day_of(brood) if brood else clutch.hatched.earliest if clutch.hatched else None
    return [
        animal.id
        for animal in collection.animals.values()
        if animal.clutch is None
        and day is not None
        and animal.hatched is not None
        and animal.hatched.day
        and abs((animal.hatched.earliest - day).days) <= _NEAR_DAYS
        and family.brood_of(animal.id) is not None
    ]


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
