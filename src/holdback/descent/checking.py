"""Faults of a pedigree given as parents by id: loops, own parents, wrong sexes, parents that are not older."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from holdback.collection.model import Sex
from holdback.errors import Fault, PedigreeError

Parents = Mapping[str, tuple[str | None, str | None]]


def check_parents(parents: Parents, *, sexes: Mapping[str, Sex], born: Mapping[str, float]) -> None:
    """Refuse a pedigree that cannot be.

    Parameters
    ----------
    parents : mapping of str to (sire, dam)
        Every animal by id; None is unknown, the same id twice is no sire at all.
    sexes : mapping of str to Sex
        Recorded sexes; an animal left out may be either.
    born : mapping of str to float
        Birth year with fraction; an animal left out may be of any age.

    Raises
    ------
    PedigreeError
        PED-001 for a loop, PED-002 for an own parent, PED-003 for a wrong sex, PED-004 for a parent that is not older;
        all faults together.
    """
    faults = [fault for animal in parents for fault in _faults_of(animal, parents, sexes, born)]
    faults += [
        Fault(
            "PED-001",
            f"{' < '.join([*loop, loop[0]])}: an animal would be its own ancestor.",
            "One of these parents is wrong: correct it, or leave it empty.",
            animal=loop[0],
        )
        for loop in _loops(parents)
    ]
    if faults:
        raise PedigreeError(faults)


def _faults_of(animal: str, parents: Parents, sexes: Mapping[str, Sex], born: Mapping[str, float]) -> Iterator[Fault]:
    """Faults of one animal's parents."""
    sire, dam = parents[animal]
    for side, parent, wrong in (("sire", sire, Sex.FEMALE), ("dam", dam, Sex.MALE)):
        if parent is None:
            continue
        if parent == animal:
            yield Fault(
                "PED-002",
                f"{animal} is its own {side}.",
                "Correct it, or leave it empty.",
                field=side,
                value=parent,
                animal=animal,
            )
        if sexes.get(parent) is wrong and not (side == "sire" and sire == dam):
            yield Fault(
                "PED-003",
                f"{parent} is recorded as {wrong} and stands here as the {side}.",
                "Correct its sex, or name another animal.",
                field=side,
                value=parent,
                animal=animal,
            )
        if parent in born and animal in born and born[parent] >= born[animal]:
            yield Fault(
                "PED-004",
                f"{parent} was born in {born[parent]:.1f}, not before {animal} ({born[animal]:.1f}).",
                f"Correct one date, or leave the {side} empty.",
                field=side,
                value=parent,
                animal=animal,
            )


def _loops(parents: Parents) -> Iterator[list[str]]:
    """Loops of ancestry, each once, from young to parent, beginning at the lowest id; an own parent is none here."""
    done: set[str] = set()
    for start in parents:
        if start in done:
            continue
        path: list[str] = [start]
        place = {start: 0}
        stack = [_above(start, parents)]
        while stack:
            parent = next(stack[-1], None)
            if parent is None:
                stack.pop()
                gone = path.pop()
                del place[gone]
                done.add(gone)
            elif parent in place:
                loop = path[place[parent] :]
                first = loop.index(min(loop))
                yield loop[first:] + loop[:first]
            elif parent not in done:
                place[parent] = len(path)
                path.append(parent)
                stack.append(_above(parent, parents))


def _above(animal: str, parents: Parents) -> Iterator[str]:
    return iter([one for one in dict.fromkeys(parents[animal]) if one is not None and one != animal])
