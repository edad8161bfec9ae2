"""How well conflicts find records that are known to be wrong: recall, the right answer, false alarms."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from holdback.answers.conflicts.conflict import Conflict
from holdback.answers.conflicts.finding import conflicts_of
from holdback.collection.collection import Collection
from holdback.descent.family import Family
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.reading import evidence_of
from holdback.species.catalogue import Catalogue, load

CONTRADICTIONS = frozenset(
    {"CNF-001", "CNF-002", "CNF-003", "CNF-004", "CNF-010", "CNF-011", "CNF-012", "CNF-020", "CNF-023"}
)
"""Codes that say that some record is wrong; the others ask for completion."""


@dataclass(frozen=True, slots=True)
class WrongRecord:
    """One record that is not as it truly was.

    Parameters
    ----------
    record : str
        Id of the animal or clutch.
    field : str
        "sires", "dam", "clutch", "sex" or "genes".
    true : str
        True value; for parents the id.
    """

    record: str
    field: str
    true: str = ""


@dataclass(frozen=True, slots=True)
class Score:
    """Outcome of one collection.

    Parameters
    ----------
    found : tuple of WrongRecord
        Wrong records that some explanation names.
    named_first : tuple of WrongRecord
        Those that the likeliest explanation of a conflict names.
    answered : tuple of WrongRecord
        Those for which it also has the true value.
    missed : tuple of WrongRecord
        Wrong records of which nothing is told.
    false_alarms : tuple of Conflict
        Contradictions in which no explanation names a wrong record.
    told : int
        Number of contradictions.
    """

    found: tuple[WrongRecord, ...]
    named_first: tuple[WrongRecord, ...]
    answered: tuple[WrongRecord, ...]
    missed: tuple[WrongRecord, ...]
    false_alarms: tuple[Conflict, ...]
    told: int


def score(collection: Collection, truth: Iterable[WrongRecord], *, catalogue: Catalogue | None = None) -> Score:
    """Conflicts of a collection against the records that are known to be wrong.

    Parameters
    ----------
    collection : Collection
        Records with errors.
    truth : iterable of WrongRecord
        All errors.
    catalogue : Catalogue, optional
        Species; that of the collection if none is given.

    Examples
    --------
    >>> from holdback.collection.collection import Collection
    >>> score(Collection.from_frames({"animals": [{"id": "A", "genes": "Clown"}]}), []).told
    0
    """
    species = catalogue or load(collection.species)
    family = Family.from_collection(collection)
    beliefs = infer(family, evidence_of(collection, species, family))
    return scored(conflicts_of(collection, species, beliefs), tuple(truth))


def scored(conflicts: Sequence[Conflict], truth: Sequence[WrongRecord]) -> Score:
    """Score of conflicts that were found already."""
    told = [one for one in conflicts if one.code in CONTRADICTIONS]
    found = tuple(wrong for wrong in truth if any(_names(one, wrong, first=False) for one in conflicts))
    first = tuple(wrong for wrong in found if any(_names(one, wrong, first=True) for one in conflicts))
    answered = tuple(wrong for wrong in first if any(_answers(one, wrong) for one in conflicts))
    alarms = tuple(one for one in told if not any(_names(one, wrong, first=False) for wrong in truth))
    missed = tuple(wrong for wrong in truth if wrong not in found)
    return Score(found, first, answered, missed, alarms, len(told))


def _names(conflict: Conflict, wrong: WrongRecord, *, first: bool) -> bool:
    """Whether an explanation, or the likeliest one, names the wrong record."""
    explanations = conflict.explanations[:1] if first else conflict.explanations
    return any(
        each.field == wrong.field and (each.record.split()[-1] == wrong.record or _is_of(conflict, wrong))
        for each in explanations
    )


def _is_of(conflict: Conflict, wrong: WrongRecord) -> bool:
    """Whether a wrong parent is written on a young of the brood instead of on the clutch."""
    return wrong.field in ("sires", "dam", "clutch") and wrong.record in conflict.animals


def _answers(conflict: Conflict, wrong: WrongRecord) -> bool:
    return _names(conflict, wrong, first=True) and conflict.explanations[0].instead == wrong.true
