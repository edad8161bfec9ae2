"""Ways in which a look may be passed on, and the tables that each implies.

One locus with a normal allele and the odd one. A state is the sex of an animal and its copies, in the heterogametic sex
also which of its two sex chromosomes bears them:

    0, 1, 2     homogametic sex with no, one, two copies
    3, 4, 5, 6  heterogametic sex: none, on the shared chromosome (X), on the sex-limited one (Y), on both

For a locus that is not sex-linked the recombination fraction is 0.5, and the chromosome does not matter.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from holdback.collection.model import Sex
from holdback.errors import CrossError, Fault
from holdback.heredity.proving.trials import Look

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

FloatArray = NDArray[np.float64]

N_STATES = 7
COPIES = np.array([0, 1, 2, 0, 1, 1, 2])
"""Copies of the odd allele in each state, shape (7,)."""
IS_HETEROGAMETIC = np.array([0, 0, 0, 1, 1, 1, 1], dtype=bool)
"""Whether a state is of the heterogametic sex, shape (7,)."""
OPPOSITE = IS_HETEROGAMETIC[:, None] != IS_HETEROGAMETIC[None, :]
"""Whether two states are of opposite sexes, shape (7, 7)."""

_MUTATION = 1e-12
"""So rare that it counts only where nothing else explains the odd animal (normal parents of a dominant)."""


class Mode(StrEnum):
    """How the look is passed on."""

    RECESSIVE = "recessive"
    INCOMPLETE_DOMINANT = "incomplete dominant"
    DOMINANT = "dominant"
    SEX_LINKED = "sex-linked incomplete dominant"
    NOT_INHERITED = "not inherited"


PRIOR: dict[Mode, float] = {
    Mode.NOT_INHERITED: 0.6,
    Mode.RECESSIVE: 0.15,
    Mode.INCOMPLETE_DOMINANT: 0.15,
    Mode.DOMINANT: 0.05,
    Mode.SEX_LINKED: 0.05,
}
"""Assumed, from memory, no source: most odd animals prove nothing."""

_TRUE_LOOK: dict[Mode, tuple[Look, Look, Look]] = {
    Mode.RECESSIVE: (Look.NORMAL, Look.NORMAL, Look.ODD),
    Mode.INCOMPLETE_DOMINANT: (Look.NORMAL, Look.ODD, Look.STRONGER),
    Mode.DOMINANT: (Look.NORMAL, Look.ODD, Look.ODD),
    Mode.SEX_LINKED: (Look.NORMAL, Look.ODD, Look.STRONGER),
    Mode.NOT_INHERITED: (Look.NORMAL, Look.NORMAL, Look.NORMAL),
}
"""Look of no, one and two copies."""


@dataclass(frozen=True, slots=True)
class Assumptions:
    """What `weigh` takes for given.

    Parameters
    ----------
    missed : float
        Chance that a look is taken for the next weaker one; assumed.
    imagined : float
        Chance that a look is taken for the next stronger one; assumed.
    frequency : float
        Frequency of the odd allele among unrelated animals; assumed small.
    same : float
        Chance that another odd animal held to be the same has the same allele; assumed.
    r : float
        Recombination between a sex-linked locus and the sex-determining region, in [0, 0.5].
    heterogametic : Sex
        Male in an XY species, female in a ZW species.
    """

    missed: float = 0.02
    imagined: float = 0.01
    frequency: float = 0.001
    same: float = 0.9
    r: float = 0.07
    heterogametic: Sex = Sex.MALE

    def __post_init__(self) -> None:
        """Refuse rates that cannot be."""
        bounds = {
            "missed": 0.0 < self.missed < 0.5,
            "imagined": 0.0 < self.imagined < 0.5,
            "frequency": 0.0 < self.frequency < 0.5,
            "same": 0.0 <= self.same <= 1.0,
            "r": 0.0 <= self.r <= 0.5,
        }
        faults = [
            Fault("PRV-007", f"{getattr(self, name)} cannot be.", _BOUNDS_HINT, field=name)
            for name, fits in bounds.items()
            if not fits
        ]
        if faults:
            raise CrossError(faults)

    @classmethod
    def from_species(cls, catalogue: Catalogue) -> Assumptions:
        """Assumptions with the sex system of a species, and the mean r of its sex-linked loci."""
        known = [locus.sex_linkage.r.value for locus in catalogue.loci.values() if locus.sex_linkage is not None]
        heterogametic = Sex.MALE if catalogue.is_heterogametic(Sex.MALE) else Sex.FEMALE
        return cls(r=sum(known) / len(known) if known else cls().r, heterogametic=heterogametic)

    def as_json(self) -> dict[str, Any]:
        """Every rate with its name, and what they mean in words."""
        return {**asdict(self), "says": list(self.sentences)}

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is assumed, in words."""
        return (
            f"A look is missed in {100.0 * self.missed:.1f} % of young and imagined in {100.0 * self.imagined:.1f} % "
            "(assumed).",
            f"Among unrelated animals the allele has a frequency of {self.frequency:g} (assumed).",
            f"Another odd animal held to be the same is so with a chance of {100.0 * self.same:.0f} % (assumed).",
            f"A sex-linked gene recombines with the sex-determining region at r = {self.r:g}.",
            "One copy of an incomplete dominant makes the odd look. No genotype dies more often than another: a "
            "gene of which two copies never live looks dominant here.",
        )


_BOUNDS_HINT = "Rates and the frequency lie above 0 and below 0.5; r between 0 and 0.5; a chance between 0 and 1."


@dataclass(frozen=True, eq=False)
class ModeTables:
    """Tables of one mode.

    Parameters
    ----------
    founder : float array, shape (7,)
        Unrelated animals, not looked at; sums to 1.
    birth : float array, shape (7, 7, 7)
        P(state of a young | states of its parents), symmetric in the parents; 0 for parents of one sex.
    first_birth : float array, shape (7, 7, 7)
        The same, with a rare new mutation.
    seen : float array, shape (7, 3)
        P(look as recorded | state).
    normal, odd : bool array, shape (7,)
        States of an animal that surely looks normal, and states that the odd animal may have.
    by_class : float array, shape (7, 7, 3, 2)
        P(recorded look and sex of a young | states of its parents); the last axis is homogametic, heterogametic.
    """

    founder: FloatArray
    birth: FloatArray
    first_birth: FloatArray
    seen: FloatArray
    normal: NDArray[np.bool_]
    odd: NDArray[np.bool_]
    by_class: FloatArray


@lru_cache(maxsize=64)
def mode_tables(mode: Mode, given: Assumptions) -> ModeTables:
    """Tables of a mode under assumptions.

    Notes
    -----
    A look is taken for the next weaker or the next stronger one with the rates of `Assumptions`, for one two steps away
    with the square of the rate.
    """
    inherited = mode is not Mode.NOT_INHERITED
    r = given.r if mode is Mode.SEX_LINKED else 0.5
    looks = [_TRUE_LOOK[mode][copies] for copies in COPIES]
    seen = _seen_given_look(given.missed, given.imagined)[looks]
    birth = _births(r, 0.0)
    by_sex = np.stack([~IS_HETEROGAMETIC, IS_HETEROGAMETIC], axis=1).astype(float)
    return ModeTables(
        founder=_founder(given.frequency if inherited else 0.0),
        birth=birth,
        first_birth=_births(r, _MUTATION) if inherited else birth,
        seen=seen,
        normal=np.array([look is Look.NORMAL for look in looks]),
        odd=np.array([look is Look.ODD or not inherited for look in looks]),
        by_class=np.einsum("abc,cl,cs->abls", birth, seen, by_sex),
    )


def _founder(frequency: float) -> FloatArray:
    """Hardy-Weinberg shares in either sex, the sexes equally likely."""
    q, p = frequency, 1.0 - frequency
    return 0.5 * np.array([p * p, 2.0 * p * q, q * q, p * p, p * q, p * q, q * q])


def _seen_given_look(missed: float, imagined: float) -> FloatArray:
    """P(look as recorded | look), shape (3, 3)."""
    m, i = missed, imagined
    return np.array([[1.0 - i - i * i, i, i * i], [m, 1.0 - m - i, i], [m * m, m, 1.0 - m - m * m]])


def _births(r: float, mutation: float) -> FloatArray:
    """P(state of a young | states of its parents)."""
    shares = np.array([0.0, 0.5, 1.0])
    shared, limited = np.array([0.0, 1.0, 0.0, 1.0]), np.array([0.0, 0.0, 1.0, 1.0])
    from_homogametic = _mutated(shares, mutation)
    to_heterogametic = _mutated((1.0 - r) * limited + r * shared, mutation)
    to_homogametic = _mutated((1.0 - r) * shared + r * limited, mutation)
    table = np.zeros((N_STATES, N_STATES, N_STATES))
    for one, egg in enumerate(from_homogametic):
        for other in range(4):
            x, y = to_homogametic[other], to_heterogametic[other]
            daughters = (1.0 - egg) * (1.0 - x), egg * (1.0 - x) + (1.0 - egg) * x, egg * x
            sons = (1.0 - egg) * (1.0 - y), egg * (1.0 - y), (1.0 - egg) * y, egg * y
            table[one, 3 + other] = table[3 + other, one] = 0.5 * np.array((*daughters, *sons))
    return table


def _mutated(share: FloatArray, mutation: float) -> FloatArray:
    """Share of gametes with the odd allele after mutation of the normal one."""
    return share + (1.0 - share) * mutation
