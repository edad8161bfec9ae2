"""What the young of two animals would carry and how inbred they would be, before they are bred."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from holdback.answers.descent.share import LineShare
from holdback.descent.kinship import kinship, offspring_inbreeding
from holdback.descent.paths import Paths, inbreeding_paths

if TYPE_CHECKING:
    from holdback.answers.descent.descent import Descent

NEXT = "?young of the young"
YOUNG = "?young"
_SAME = 1e-12


@dataclass(frozen=True)
class Backcross:
    """The young put back to one of their parents.

    Parameters
    ----------
    parent : str
        Id of the parent used again.
    inbreeding : float
        Inbreeding coefficient of the next young.
    shares : tuple of LineShare
        Lines of the next young.
    """

    parent: str
    inbreeding: float
    shares: tuple[LineShare, ...]


@dataclass(frozen=True)
class SireCase:
    """Inbreeding of the young if a doubtful sire among their ancestors is one male.

    Parameters
    ----------
    brood : str
        Key of the brood whose sire is doubtful.
    sire : str
        Candidate: an id, or a name that begins with ``?`` for a male not on record.
    chance : float
        Chance of this candidate.
    inbreeding : float
        Inbreeding coefficient of the young in that case.
    """

    brood: str
    sire: str
    chance: float
    inbreeding: float


@dataclass(frozen=True)
class YoungDescent:
    """Descent of the young of two animals.

    Parameters
    ----------
    sire, dam : str
        Ids of the parents.
    kinship : float
        Coefficient of kinship of the parents, in [0, 1]; the expectation where a sire among the ancestors is doubtful.
    inbreeding : float
        Inbreeding coefficient of the young: the kinship, unless one animal is named twice, for young without a sire.
    paths : Paths
        Ways over which they are inbred, the costliest first.
    shares : tuple of LineShare
        Lines that run in the young, the largest share first.
    backcrosses : tuple of Backcross
        What putting the young back to each parent would do.
    cases : tuple of SireCase
        Inbreeding by candidate, where a doubtful sire matters.
    """

    sire: str
    dam: str
    kinship: float
    inbreeding: float
    paths: Paths
    shares: tuple[LineShare, ...]
    backcrosses: tuple[Backcross, ...]
    cases: tuple[SireCase, ...]

    def common_ancestors(self) -> tuple[tuple[str, float], ...]:
        """Ids of common ancestors with the inbreeding that each costs, the costliest first."""
        return tuple((self.paths.ids[node], cost) for node, cost in self.paths.by_ancestor.items())

    def as_json(self) -> dict[str, Any]:
        """The keys of `holdback kin A B`."""
        return {
            "kinship": self.kinship,
            "offspring_inbreeding": self.inbreeding,
            "common_ancestors": [{"animal": one, "inbreeding": cost} for one, cost in self.common_ancestors()],
            "not_listed": self.paths.rest,
            "if_sire": [
                {"brood": one.brood, "sire": one.sire, "chance": one.chance, "offspring_inbreeding": one.inbreeding}
                for one in self.cases
            ],
            "shares": {one.line: one.as_json() for one in self.shares},
        }


def young_descent(descent: Descent, sire: str, dam: str) -> YoungDescent:
    """Descent of the young of two animals.

    Parameters
    ----------
    descent : Descent
        Answers.
    sire, dam : str
        Ids; the sexes are not checked here.
    """
    from holdback.answers.descent.descent import shares_at

    pedigree = descent.pedigree
    father, mother = descent.node(sire), descent.node(dam)
    n = len(pedigree)
    bred = pedigree.with_young([(father, mother), (father, n), (n, mother)], [YOUNG, f"{NEXT} 1", f"{NEXT} 2"])
    lines = [line for line in descent.lines if descent.share_bounds(line)[[father, mother], 1].any()]
    by_line = [shares_at(descent, bred, [n, n + 1, n + 2], line) for line in lines]
    shares = tuple(young for young, _, _ in by_line)
    backcrosses = tuple(
        Backcross(parent, offspring_inbreeding(bred, *pair), tuple(found[place] for found in by_line))
        for parent, pair, place in ((sire, (father, n), 1), (dam, (n, mother), 2))
    )
    return YoungDescent(
        sire,
        dam,
        float(kinship(pedigree, [father], [mother])[0, 0]),
        offspring_inbreeding(pedigree, father, mother),
        inbreeding_paths(pedigree, father, mother),
        tuple(sorted(shares, key=lambda one: -one.mean)),
        backcrosses,
        _cases(descent, father, mother),
    )


def _cases(descent: Descent, father: int, mother: int) -> tuple[SireCase, ...]:
    """Inbreeding by each candidate of each doubtful sire among the ancestors, where it is not the same for all."""
    pedigree = descent.pedigree
    found: list[SireCase] = []
    for node in pedigree.ancestors([father, mother]):
        cases = [
            SireCase(
                pedigree.ids[node].removeprefix("?which sire of "),
                pedigree.ids[one],
                chance,
                offspring_inbreeding(pedigree.settled({node: one}), father, mother),
            )
            for one, chance in pedigree.candidates.get(node, ())
        ]
        if cases and max(one.inbreeding for one in cases) - min(one.inbreeding for one in cases) > _SAME:
            found += cases
    return tuple(found)
