"""An odd animal and its test matings, as counted.

An odd animal has a look of no known gene. A trial is one mating of it, or of its young, with the young sorted by look.
Partners that bear one key are one animal, in all trials.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum

from holdback.collection.model import Sex


class Look(IntEnum):
    """What a young shows; the number is its column in tables."""

    NORMAL = 0
    ODD = 1
    """The look of the odd animal."""
    STRONGER = 2
    """A new look, more extreme than that of the odd animal."""


class Kind(StrEnum):
    """What a partner is to the odd animal."""

    ITSELF = "the odd animal"
    UNRELATED = "unrelated normal mate"
    YOUNG = "young of a trial"
    SIB = "full sib"
    PARENT = "parent"
    OTHER_ODD = "another odd animal held to be the same"


@dataclass(frozen=True, slots=True)
class SexCounts:
    """Young of one look, by sex.

    Parameters
    ----------
    males, females : int
        Young of known sex.
    unknown : int
        Hatched, sex not known.
    dead : int
        Dead in the egg, opened and looked at; sex not known. Eggs that nobody looked into do not count.
    """

    males: int = 0
    females: int = 0
    unknown: int = 0
    dead: int = 0

    @property
    def total(self) -> int:
        """All young of this look."""
        return self.males + self.females + self.unknown + self.dead

    def of(self, sex: Sex) -> int:
        """Young counted under a sex; under `Sex.UNKNOWN` those of unknown sex and the dead."""
        if sex is Sex.UNKNOWN:
            return self.unknown + self.dead
        return self.males if sex is Sex.MALE else self.females


NOBODY = SexCounts()
"""No young of a look."""


@dataclass(frozen=True, slots=True)
class Partner:
    """One parent of a trial.

    Parameters
    ----------
    kind : Kind
        What it is to the odd animal.
    key : str
        One animal has one key in all trials; empty: an animal that is in this trial only.
    sex : Sex
        Sex; inferred from its partner where not known.
    look : Look
        What it shows; read for young of a trial and sibs.
    trial : int or None
        For a young: index of the trial it hatched in, from 0.
    """

    kind: Kind
    key: str = ""
    sex: Sex = Sex.UNKNOWN
    look: Look = Look.NORMAL
    trial: int | None = None

    @classmethod
    def unrelated(cls, key: str = "", sex: Sex = Sex.UNKNOWN) -> Partner:
        """Normal-looking animal that is unrelated to the odd one."""
        return cls(Kind.UNRELATED, key, sex)

    @classmethod
    def young(cls, trial: int, key: str = "", *, look: Look = Look.NORMAL, sex: Sex = Sex.UNKNOWN) -> Partner:
        """Young of an earlier trial; it stays counted among the young of that trial."""
        return cls(Kind.YOUNG, key, sex, look, trial)

    @classmethod
    def sib(cls, key: str = "", *, look: Look = Look.NORMAL, sex: Sex = Sex.UNKNOWN) -> Partner:
        """Full sib of the odd animal."""
        return cls(Kind.SIB, key, sex, look)

    @classmethod
    def parent(cls, sex: Sex) -> Partner:
        """Sire (male) or dam (female) of the odd animal."""
        return cls(Kind.PARENT, sex=sex)

    @classmethod
    def other_odd(cls, key: str = "", sex: Sex = Sex.UNKNOWN) -> Partner:
        """Another odd animal, unrelated, held to be the same."""
        return cls(Kind.OTHER_ODD, key, sex, Look.ODD)


ITSELF = Partner(Kind.ITSELF)
"""The odd animal as a partner."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One mating and the looks of its young.

    Parameters
    ----------
    mate : Partner
        One parent.
    odd, stronger, normal : SexCounts
        Young by look; a young that is put to use later stays counted here.
    parent : Partner
        The other parent; the odd animal unless said otherwise.
    label : str
        Clutch id, or what the keeper calls it.
    """

    mate: Partner
    odd: SexCounts = NOBODY
    stronger: SexCounts = NOBODY
    normal: SexCounts = NOBODY
    parent: Partner = ITSELF
    label: str = ""

    def counts(self, look: Look) -> SexCounts:
        """Young of one look."""
        return (self.normal, self.odd, self.stronger)[look]

    @property
    def can_show_two_copies(self) -> bool:
        """Whether both parents show the look."""
        return all(one.kind is Kind.ITSELF or one.look is not Look.NORMAL for one in (self.mate, self.parent))

    @property
    def can_show_recessive(self) -> bool:
        """Whether both parents may carry what the odd animal has."""
        return Kind.UNRELATED not in (self.mate.kind, self.parent.kind)


@dataclass(frozen=True, slots=True)
class OddAnimal:
    """An animal with a look of no known gene.

    Parameters
    ----------
    key : str
        Id.
    sex : Sex
        Its sex.
    sire_normal, dam_normal : bool
        Whether the parent is known to look normal; False where nobody knows. If a parent shows the odd look, that
        parent is the odd animal to start from.
    sibs : tuple of SexCounts, shape (3,)
        Full sibs by `Look`, the animal itself left out.
    """

    key: str = "odd"
    sex: Sex = Sex.UNKNOWN
    sire_normal: bool = True
    dam_normal: bool = True
    sibs: tuple[SexCounts, SexCounts, SexCounts] = (NOBODY, NOBODY, NOBODY)
