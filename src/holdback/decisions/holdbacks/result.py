"""What is said of the hatchlings: in which order, why, what waiting would tell, and what may be said of those sold."""

from __future__ import annotations

from dataclasses import dataclass

from holdback.collection.estimate import Estimate
from holdback.collection.model import Sex
from holdback.decisions.steps import Plan


@dataclass(frozen=True, slots=True)
class ProjectGain:
    """What one hatchling does for one project, beside those ranked before it that are kept.

    Parameters
    ----------
    project : str
        Name.
    year : int
        Wished year, or the last one rehearsed.
    before, after : float
        Chance that the goal is there by then, in percent.
    gain : Estimate
        Points between the two, in ``%``, with its range from the rehearsal.
    seasons : Estimate
        Seasons saved.
    is_goal : bool
        Whether the hatchling is what the project wants.
    """

    project: str
    year: int
    before: float
    after: float
    gain: Estimate
    seasons: Estimate
    is_goal: bool = False


@dataclass(frozen=True, slots=True)
class Ranked:
    """One hatchling in order.

    Parameters
    ----------
    animal, clutch : str
        Ids.
    rank : int
        From 1.
    is_kept : bool
        Whether it is among those to hold back.
    sex : Sex
        Unknown where it is not as good as known.
    score : Estimate
        What it adds in eggs, over all projects, the cost of its tub taken off: of those kept beside the ones before it,
        of the others beside all kept.
    alone : Estimate
        What it would add if it alone were held back.
    gains : tuple of ProjectGain
        Project by project.
    shows, carries : str
        In trade words.
    shares : tuple of (str, float)
        Lines asked for, with its expected share, in [0, 1].
    hatch_mass_g : float or None
        Mass at hatching.
    beyond_egg : Estimate or None
        The same beyond what egg and clutch explain, in percent.
    reasons : tuple of str
        Sentences.
    equal_to : tuple of str
        Others that cannot be told from it by what they add.
    """

    animal: str
    clutch: str
    rank: int
    is_kept: bool
    sex: Sex
    score: Estimate
    alone: Estimate
    gains: tuple[ProjectGain, ...]
    shows: str
    carries: str
    shares: tuple[tuple[str, float], ...]
    hatch_mass_g: float | None
    beyond_egg: Estimate | None
    reasons: tuple[str, ...]
    equal_to: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """What it would be worth to decide later.

    Parameters
    ----------
    what : str
        ``sex``, ``carrier`` or ``size``.
    animals : tuple of str
        Those that would be told more of.
    until : str
        When, in words: "the first shed".
    changes : float
        Chance that it changes the choice, in [0, 1].
    gain : Estimate
        Expected gain, in eggs, or in percent of adult mass for ``size``.
    text : str
        A sentence with its cost.
    """

    what: str
    animals: tuple[str, ...]
    until: str
    changes: float
    gain: Estimate
    text: str


@dataclass(frozen=True, slots=True)
class Mind:
    """One thing to mind: a head and a sentence, and the animals it is about."""

    head: str
    text: str
    animals: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ForSale:
    """A hatchling suggested for sale, and what may be said of it.

    Parameters
    ----------
    animal : str
        Id.
    statement : str
        Trade shorthand that says no more than the records support.
    notes : tuple of str
        Sentences on what it rests on, and on what may not be said.
    """

    animal: str
    statement: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HoldBacks:
    """Hatchlings in order, those to hold back first.

    Parameters
    ----------
    year : int
        Year of season 0.
    tubs : int
        Young that can be held back.
    hatchlings : tuple of Ranked
        All of them.
    kept : tuple of str
        Those to hold back, at most as many as there are tubs.
    proof : str
        How well the choice is proved, in a sentence.
    is_best_of_all : bool
        Whether every set was tried.
    one_more : str
        What one tub more would add, in a sentence; empty where nothing is left.
    lede : tuple of str
        The advice in sentences.
    waiting : tuple of Waiting
        What later knowledge would be worth, the most telling first.
    mind : tuple of Mind
        Cautions.
    for_sale : tuple of ForSale
        The others.
    plans : tuple of (str, Plan)
        Names of the projects and the plan that each has with those kept.
    runs : int
        Rehearsals of each plan; 1 where they are worked out exactly.
    n_tried : int
        Sets compared.
    assumptions : tuple of str
        Sentences.
    """

    year: int
    tubs: int
    hatchlings: tuple[Ranked, ...]
    kept: tuple[str, ...]
    proof: str
    is_best_of_all: bool
    one_more: str
    lede: tuple[str, ...]
    waiting: tuple[Waiting, ...]
    mind: tuple[Mind, ...]
    for_sale: tuple[ForSale, ...]
    plans: tuple[tuple[str, Plan], ...]
    runs: int
    n_tried: int
    assumptions: tuple[str, ...]
