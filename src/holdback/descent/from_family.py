"""The pedigree of a collection: its families, with unknown parents and doubtful sires as nodes of their own."""

from __future__ import annotations

import calendar
from collections.abc import Mapping

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Animal, Candidate, PartialDate, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.descent.pedigree import KEPT_WITHOUT_SIRE, Draft, Pedigree, assembled

NO_WEIGHT = 1e-6
"""Chance below which a candidate sire is taken as ruled out."""


def pedigree_of(
    collection: Collection,
    family: Family,
    *,
    sires: Mapping[str, Mapping[str, float]] | None = None,
    kept: float = KEPT_WITHOUT_SIRE,
) -> Pedigree:
    """Pedigree of a collection.

    Parameters
    ----------
    collection : Collection
        Animals with their hatch dates.
    family : Family
        Who descends from whom.
    sires : mapping of str to mapping of str to float, optional
        By young: chance of each candidate sire (ids, `UNKNOWN_SIRE`, `NO_SIRE`), where more is known than the weights
        on record; the young of one brood agree unless every egg may have a sire of its own.
    kept : float
        Chance that a young without a sire has two different copies where its dam has.

    Returns
    -------
    Pedigree
        Unknown parents are founders named ``?dam of KEY`` and ``?sire of KEY``, one for the brood; where several males
        may be the sire, the node ``?which sire of KEY`` stands for him. A brood whose sire may be missing altogether
        is taken to have one unless it is likelier that it has none.

    Notes
    -----
    Parents of an animal without any recorded parent are not added: it is a founder.
    """
    draft = Draft(dict.fromkeys(collection.animals, (None, None)), dict(family.sexes))
    for number, brood in enumerate(family.broods):
        _add(draft, brood, number, sires or {})
    born = {animal.id: year for animal in collection.animals.values() if (year := _born(animal)) is not None}
    return assembled(draft, born, kept)


def year_of(date: PartialDate) -> float:
    """Year with fraction; the middle of what is known."""
    first, last = date.earliest.toordinal(), date.latest.toordinal()
    middle = date.earliest.fromordinal((first + last) // 2)
    days = 366 if calendar.isleap(middle.year) else 365
    return middle.year + (middle.timetuple().tm_yday - 0.5) / days


def _born(animal: Animal) -> float | None:
    return year_of(animal.hatched) if animal.hatched else None


def _add(draft: Draft, brood: Brood, number: int, sires: Mapping[str, Mapping[str, float]]) -> None:
    """Put the young of a brood under their parents."""
    dam = brood.dam or _founder(draft, f"?dam of {brood.key}", Sex.FEMALE)
    nests = [(young,) for young in brood.young] if brood.each_egg else [brood.young]
    for young in nests:
        name = f"{brood.key} {young[0]}" if brood.each_egg else brood.key
        chances = _chances(brood, sires.get(young[0]))
        if chances.get(NO_SIRE, 0.0) > sum(chances.values()) / 2.0:
            sire: str | None = dam
        else:
            chances.pop(NO_SIRE, None)
            sire = _sire(draft, name, chances)
        for one in young:
            draft.parents[one] = (sire, dam)
            draft.broods[one] = number


def _chances(brood: Brood, told: Mapping[str, float] | None) -> dict[str, float]:
    """Chance of each candidate that is not ruled out."""
    found: dict[str, float] = {}
    listed = [Candidate(sire, weight) for sire, weight in told.items()] if told else brood.sires
    for one in listed:
        if one.weight > NO_WEIGHT:
            found[one.animal] = found.get(one.animal, 0.0) + one.weight
    return found


def _sire(draft: Draft, name: str, chances: dict[str, float]) -> str:
    """Node of a brood's sire: the male, an unknown one, or one of several."""
    named = {
        _founder(draft, f"?sire of {name}", Sex.MALE) if sire == UNKNOWN_SIRE else sire: chance
        for sire, chance in chances.items()
    }
    if len(named) == 1:
        return next(iter(named))
    node = f"?which sire of {name}"
    total = sum(named.values())
    draft.parents[node] = (None, None)
    draft.off_record.add(node)
    draft.sexes[node] = Sex.MALE
    draft.candidates[node] = tuple((sire, chance / total) for sire, chance in named.items())
    return node


def _founder(draft: Draft, name: str, sex: Sex) -> str:
    """An unknown animal, added as a founder."""
    draft.parents[name] = (None, None)
    draft.off_record.add(name)
    draft.sexes[name] = sex
    return name
