"""Hatchlings that may be held back, the projects they are weighed for, and what keeping costs."""

from __future__ import annotations

from dataclasses import dataclass, field

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal, Target
from holdback.heredity.genotype import GenotypeBelief
from holdback.size.evaluation import Hatchling

SURE_OF_SEX = 0.95
"""A sex at least this likely is taken as known: a look at hatching errs now and then. Assumed."""


@dataclass(frozen=True, eq=False)
class Candidate:
    """A hatchling that may be held back; its genes, kinship, shares and breeding value stand in the `Stock`.

    Parameters
    ----------
    animal : str
        Id.
    clutch : str
        Clutch id; empty where not known.
    female : float
        Chance that it is female, in [0, 1].
    male_ready, female_ready : int
        First season in which it can have young as a male, and as a female.
    shows, carries : str
        What is seen, and what is carried unseen, in trade words.
    belief : GenotypeBelief
        What the records say of its genes, for the statement when it is sold.
    parents : str
        Its parents in words: "Ledger with Umber".
    size : Hatchling or None
        Its size beside its clutch mates; None where it was not weighed.
    flags : tuple of str
        Sentences on genes with a burden on welfare.
    troubles : tuple of str
        Sentences on what is wrong with it: a kink, no meal taken yet.
    """

    animal: str
    clutch: str = ""
    female: float = 0.5
    male_ready: int = 2
    female_ready: int = 4
    shows: str = ""
    carries: str = ""
    belief: GenotypeBelief = field(default_factory=GenotypeBelief)
    parents: str = ""
    size: Hatchling | None = None
    flags: tuple[str, ...] = ()
    troubles: tuple[str, ...] = ()

    @property
    def sexes(self) -> tuple[tuple[Sex, float], ...]:
        """Sexes it may be with their chances; one alone where it is as good as known."""
        if self.female >= SURE_OF_SEX:
            return ((Sex.FEMALE, 1.0),)
        if self.female <= 1.0 - SURE_OF_SEX:
            return ((Sex.MALE, 1.0),)
        return ((Sex.MALE, 1.0 - self.female), (Sex.FEMALE, self.female))

    @property
    def sex(self) -> Sex:
        """Its sex, unknown where it is not as good as known."""
        return self.sexes[0][0] if len(self.sexes) == 1 else Sex.UNKNOWN

    def ready(self, sex: Sex) -> int:
        """First season in which it can have young."""
        return self.female_ready if sex is Sex.FEMALE else self.male_ready

    @property
    def beyond_egg(self) -> float:
        """Hatching mass beyond what egg and clutch explain, in percent; 0 where not weighed."""
        return self.size.hatching.mean if self.size else 0.0


@dataclass(frozen=True, slots=True)
class Project:
    """A goal with the targets that would meet it (`holdback.decisions.wanting.targets_of`)."""

    goal: Goal
    targets: tuple[Target, ...]


@dataclass(frozen=True, slots=True)
class Keeping:
    """Room, and what it costs.

    Parameters
    ----------
    tubs : int
        Young that can be held back.
    year_eggs : float
        What a tub for a year is worth to the keeper, counted in eggs as `Goal.worth_eggs`; 0 where nobody said.
    year_money : float or None
        What a young costs in a year (tub, warmth, prey), in the keeper's own currency; None where nobody said.
    most_sets : int
        Most sets of young to try one by one; where there are more, one is added at a time and then swapped.
    """

    tubs: int
    year_eggs: float = 0.0
    year_money: float | None = None
    most_sets: int = 300
