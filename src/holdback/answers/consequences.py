"""What follows from a correction: the answers before it and after it, held against each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from holdback.answers.carried import CarriedGene, carried
from holdback.answers.sires import clutch_sires
from holdback.collection.model import Mating

if TYPE_CHECKING:
    from holdback.answers.answers import Answers
    from holdback.answers.conflicts import Conflict

LEAST = 0.005
"""A chance or a share that moved by less is told as the same: pages show whole percents."""

ABSENT = (1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class GeneShift:
    """A gene of an animal of which another thing is said now.

    Parameters
    ----------
    animal : str
        Id, the one after the correction.
    name : str
        Trade name, the one after where there is one.
    was, now : CarriedGene or None
        What was and is said; None where nothing worth telling.
    """

    animal: str
    name: str
    was: CarriedGene | None
    now: CarriedGene | None

    @property
    def by(self) -> float:
        """How far the chances moved: 0 not at all, 1 from sure to impossible."""
        was = self.was.copies if self.was else ABSENT
        now = self.now.copies if self.now else ABSENT
        return sum(abs(one - other) for one, other in zip(was, now, strict=True)) / 2


@dataclass(frozen=True, slots=True)
class ShareShift:
    """An expected share of a line, in [0, 1], that moved."""

    animal: str
    line: str
    was: float
    now: float

    @property
    def by(self) -> float:
        """How far it moved."""
        return abs(self.now - self.was)


@dataclass(frozen=True, slots=True)
class SireShift:
    """Chance that a male sired a clutch, in [0, 1], that moved."""

    clutch: str
    sire: str
    was: float
    now: float

    @property
    def by(self) -> float:
        """How far it moved."""
        return abs(self.now - self.was)


@dataclass(frozen=True)
class Consequences:
    """What is said otherwise after a correction; within each kind the largest first.

    Parameters
    ----------
    genes : tuple of GeneShift
        Genes of animals.
    shares : tuple of ShareShift
        Shares of lines.
    sires : tuple of SireShift
        Sires of clutches.
    conflicts_new, conflicts_gone : tuple of Conflict or None
        Records that cannot all be true; None where nobody looked.
    matings_gone : tuple of Mating
        Matings that are no longer on record, as they would be of two of one sex.
    n_looked : int
        Animals that were looked at.
    exact : bool
        False where chances are estimates, so that a small shift may be chance.
    standard_error : float
        Largest standard error of a chance; 0 where exact.
    """

    genes: tuple[GeneShift, ...]
    shares: tuple[ShareShift, ...]
    sires: tuple[SireShift, ...]
    conflicts_new: tuple[Conflict, ...] | None
    conflicts_gone: tuple[Conflict, ...] | None
    matings_gone: tuple[Mating, ...]
    n_looked: int
    exact: bool
    standard_error: float

    @property
    def animals(self) -> tuple[str, ...]:
        """Animals of which something else is said, those that moved farthest first."""
        moved: list[GeneShift | ShareShift] = sorted([*self.genes, *self.shares], key=lambda one: -one.by)
        return tuple(dict.fromkeys(one.animal for one in moved))

    @property
    def counts(self) -> dict[str, int]:
        """How many there are of each kind."""
        return {
            "animals": len(self.animals),
            "genes": len(self.genes),
            "shares": len(self.shares),
            "sires": len(self.sires),
            "conflicts_new": len(self.conflicts_new or ()),
            "conflicts_gone": len(self.conflicts_gone or ()),
            "matings_gone": len(self.matings_gone),
        }

    @property
    def is_empty(self) -> bool:
        """Whether nothing is said otherwise."""
        return not any(self.counts.values())

    def as_json(self) -> dict[str, Any]:
        """One JSON object, numbers unrounded."""
        return {
            "counts": self.counts,
            "genes": [
                {"animal": one.animal, "gene": one.name, "was": _copies(one.was), "is": _copies(one.now)}
                for one in self.genes
            ],
            "shares": [{"animal": one.animal, "line": one.line, "was": one.was, "is": one.now} for one in self.shares],
            "sires": [{"clutch": one.clutch, "sire": one.sire, "was": one.was, "is": one.now} for one in self.sires],
            "conflicts_new": _as_json(self.conflicts_new),
            "conflicts_gone": _as_json(self.conflicts_gone),
            "matings_gone": [_mating(one) for one in self.matings_gone],
            "looked_at": self.n_looked,
            "exact": self.exact,
            "standard_error": self.standard_error,
        }


def consequences(
    before: Answers, after: Answers, *, conflicts: bool = True, renamed: Mapping[str, str] | None = None
) -> Consequences:
    """What is said otherwise after a correction.

    Parameters
    ----------
    before, after : Answers
        Over the records before and after it.
    conflicts : bool
        Whether to look for records that cannot be true, which takes far longer than the rest.
    renamed : mapping of str to str, optional
        New id of each animal whose id changed.

    Returns
    -------
    Consequences
        A gene or a share counts where its chance moved by `LEAST` or more, or its name changed. An animal that is only
        on one side is told with all that is said of it.

    Notes
    -----
    Kinship is left out: whoever changes a parent knows that kin change, and there are n² of them.
    """
    names = dict(renamed or {})
    old = {names.get(one, one): one for one in before.collection.animals}
    animals = list(dict.fromkeys([*old, *after.collection.animals]))
    new, gone = _conflicts(before, after, names) if conflicts else (None, None)
    return Consequences(
        genes=_largest(_gene_shifts(before, after, old, animals)),
        shares=_largest(_share_shifts(before, after, old, animals)),
        sires=_largest(_sire_shifts(before, after, names)),
        conflicts_new=new,
        conflicts_gone=gone,
        matings_gone=_matings_gone(before, after, names),
        n_looked=len(animals),
        exact=before.beliefs.exact and after.beliefs.exact,
        standard_error=max(before.beliefs.standard_error, after.beliefs.standard_error),
    )


def _largest(found: Iterable[Any]) -> tuple[Any, ...]:
    """The shifts, the largest first."""
    return tuple(sorted(found, key=lambda one: -one.by))


def _gene_shifts(
    before: Answers, after: Answers, old: Mapping[str, str], animals: Iterable[str]
) -> Iterator[GeneShift]:
    for animal in animals:
        was = _genes(before, old.get(animal, ""))
        now = _genes(after, animal)
        for key in dict.fromkeys([*was, *now]):
            shift = GeneShift(animal, (now.get(key) or was[key]).name, was.get(key), now.get(key))
            renamed = shift.was and shift.now and shift.was.name != shift.now.name
            if shift.by >= LEAST or renamed:
                yield shift


def _genes(answers: Answers, animal: str) -> dict[tuple[str, str], CarriedGene]:
    """Genes of an animal by locus and allele; none where it is not on record."""
    if animal not in answers.collection.animals:
        return {}
    return {(gene.locus, gene.allele): gene for gene in carried(answers, animal)}


def _share_shifts(
    before: Answers, after: Answers, old: Mapping[str, str], animals: Iterable[str]
) -> Iterator[ShareShift]:
    lines = tuple(dict.fromkeys([*before.descent.lines, *after.descent.lines]))
    for line in lines:
        was, now = _means(before, line), _means(after, line)
        for animal in animals:
            shift = ShareShift(animal, line, was.get(old.get(animal, ""), 0.0), now.get(animal, 0.0))
            if shift.by >= LEAST:
                yield shift


def _means(answers: Answers, line: str) -> dict[str, float]:
    """Expected share of a line by animal; empty where no claim names it."""
    if line not in answers.descent.lines:
        return {}
    means = answers.descent.share_means(line)
    return {one: float(means[answers.descent.pedigree.index[one]]) for one in answers.collection.animals}


def _sire_shifts(before: Answers, after: Answers, names: Mapping[str, str]) -> Iterator[SireShift]:
    was, now = _sires(before, names), _sires(after, {})
    for clutch, sire in dict.fromkeys([*was, *now]):
        shift = SireShift(clutch, sire, was.get((clutch, sire), 0.0), now.get((clutch, sire), 0.0))
        if shift.by >= LEAST:
            yield shift


def _sires(answers: Answers, names: Mapping[str, str]) -> dict[tuple[str, str], float]:
    """Chance of each candidate sire of each clutch by all records."""
    return {
        (clutch, names.get(one.sire, one.sire)): one.posterior
        for clutch in answers.collection.clutches
        for one in clutch_sires(answers.beliefs, answers.collection, clutch, each_egg=False).candidates
    }


def _conflicts(
    before: Answers, after: Answers, names: Mapping[str, str]
) -> tuple[tuple[Conflict, ...], tuple[Conflict, ...]]:
    """Conflicts that are new, and those that are gone; one of the same kind, animals and locus is the same."""
    was = {_conflict_key(one, names): one for one in before.conflicts}
    now = {_conflict_key(one, {}): one for one in after.conflicts}
    new = tuple(one for key, one in now.items() if key not in was)
    return new, tuple(one for key, one in was.items() if key not in now)


def _conflict_key(one: Conflict, names: Mapping[str, str]) -> tuple[str, tuple[str, ...], str]:
    return one.code, tuple(sorted(names.get(animal, animal) for animal in one.animals)), one.locus


def _matings_gone(before: Answers, after: Answers, names: Mapping[str, str]) -> tuple[Mating, ...]:
    there = {(one.dam, one.sire, one.together) for one in after.collection.records.matings}
    return tuple(
        one
        for one in before.collection.records.matings
        if (names.get(one.dam, one.dam), names.get(one.sire, one.sire), one.together) not in there
    )


def _copies(gene: CarriedGene | None) -> dict[str, float] | None:
    return gene.as_json() if gene else None


def _as_json(found: tuple[Conflict, ...] | None) -> list[dict[str, Any]] | None:
    return None if found is None else [one.as_json() for one in found]


def _mating(one: Mating) -> dict[str, Any]:
    return {"dam": one.dam, "sire": one.sire, "together": str(one.together or ""), "locks": one.locks}
