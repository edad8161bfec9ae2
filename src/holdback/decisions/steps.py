"""Steps of a plan over several seasons: what routes give, rehearsals play and pages draw.

Seasons count from 0, the season that the plan starts in (`Stock.year`); young of a season hatch in its year.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from holdback.collection.model import Sex
from holdback.decisions.goal import Target


@dataclass(frozen=True, slots=True)
class Kind:
    """What an animal must at least be, as far as a keeper can know.

    Parameters
    ----------
    genes : tuple of (float, float)
        For each gene of the target the least chance of at least one copy, and the least chance of two; for a gene that
        is refused (`GoalGene.copies` 0) the least chance of no copy, and 0. A certain carrier is ``(1, 0)``, one that
        shows a recessive ``(1, 1)``, a 66 % possible het ``(2 / 3, 0)``, anything at all ``(0, 0)``.
    sex : Sex
        Unknown where either will do.
    share : float
        Least expected share of the target's line, in [0, 1].
    """

    genes: tuple[tuple[float, float], ...]
    sex: Sex = Sex.UNKNOWN
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Side:
    """Who stands on one side of a cross.

    Parameters
    ----------
    kind : Kind
        What is needed; any animal that is at least this good will do.
    animals : tuple of str
        Animals at hand that the plan names, the first the one it counts on; empty where they are to be bred.
    step : int or None
        Step that breeds them; None where they are at hand.
    """

    kind: Kind
    animals: tuple[str, ...] = ()
    step: int | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One cross of a plan.

    Parameters
    ----------
    number : int
        From 0; a step comes after those that it rests on.
    sire, dam : Side
        The two sides. The number of dams at work is the number of `dam.animals`, or what the step that breeds them
        keeps.
    keep : Kind
        What is held back of the young.
    count : int
        Young of each wanted sex to hold back.
    first_season : int
        Season from which it can be tried.
    per_hatchling : float
        Chance that a young is such a one, mixed over what the parents may be.
    per_season : float
        Chance that the first season of trying gives at least one.
    is_goal : bool
        Whether its young are the goal.
    also : tuple of Kind
        Further young that the plan can use, kept as they come.
    """

    number: int
    sire: Side
    dam: Side
    keep: Kind
    count: int
    first_season: int
    per_hatchling: float
    per_season: float
    is_goal: bool
    also: tuple[Kind, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """Crosses that lead from the animals at hand to a target.

    Parameters
    ----------
    target : Target
        What it leads to.
    steps : tuple of Step
        In an order in which they can be made, the goal last.
    by_season : tuple of float
        Chance that the goal has been hatched by each season from 0, as the search counts it: luck of the steps taken
        as independent, no deaths; `rehearse` says what is to be expected.
    seasons : float
        Mean season of the goal, those beyond the horizon counted as the horizon.
    inbreeding : float
        Inbreeding coefficient of the goal's young, worked out on the plan.
    largest_inbreeding : float
        The same, the largest of all steps.
    share : float
        Expected share of the line in the goal's young.
    is_best : bool
        False where the search was cut short, or its space was too large to look at whole.
    notes : tuple of str
        What a keeper should know: which branch turns on a possible het, what was left out.
    """

    target: Target
    steps: tuple[Step, ...]
    by_season: tuple[float, ...]
    seasons: float
    inbreeding: float
    largest_inbreeding: float
    share: float
    is_best: bool = True
    notes: tuple[str, ...] = field(default=())
