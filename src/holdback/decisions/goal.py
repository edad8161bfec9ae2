"""What a keeper wants to have bred, by when, and within which limits."""

from __future__ import annotations

from dataclasses import dataclass, field

from holdback.collection.model import Sex
from holdback.collection.projects import SizeAim

__all__ = ["Budget", "Goal", "GoalGene", "SizeAim", "SizeWish", "Target"]


@dataclass(frozen=True, slots=True)
class SizeWish:
    """What is wanted of adult size.

    Parameters
    ----------
    aim : SizeAim
        Which kind of wish.
    low_g, high_g : float
        Adult mass in gram between which `SizeAim.BAND` lies; ``inf`` leaves the upper end open.
    """

    aim: SizeAim = SizeAim.NONE
    low_g: float = 0.0
    high_g: float = float("inf")


@dataclass(frozen=True, slots=True)
class Budget:
    """What a project may use; None is no limit.

    Parameters
    ----------
    eggs : int or None
        Eggs in all, until the goal.
    tubs : int or None
        Young held back at one time.
    money : float or None
        In the keeper's own currency, until the goal.
    """

    eggs: int | None = None
    tubs: int | None = None
    money: float | None = None


@dataclass(frozen=True, slots=True)
class Goal:
    """One project, as the keeper said it.

    Parameters
    ----------
    name : str
        What the project is called.
    want : str
        What an animal must show or carry, all of it, in trade shorthand: "female Clown Enchi", "het Pied".
    some_of : tuple of str
        Genes in shorthand of which at least `some_least` must be there too.
    some_least : int
        See `some_of`; 0 where there are none.
    none_of : str
        Genes in shorthand that it must not carry.
    line : str
        Name of a founder line; empty for none.
    share_at_least : float
        Least expected share of the line, in [0, 1].
    size : SizeWish
        Wish for adult size.
    number : int
        Animals wanted.
    by : int
        Last season, by the year of hatching, in which the goal should be there; 0 where nobody said.
    inbreeding_at_most : float
        Largest inbreeding coefficient of any young that is bred for it; 1 is no limit.
    accepted : frozenset of str
        Cautions that the keeper has spoken for, by code; pairings with others of level "stop", and those that bring a
        welfare flag or deaths, are not planned.
    budget : Budget
        Eggs, tubs, money.
    worth_eggs : float
        What reaching the goal is worth, counted in eggs of any pairing that the keeper would give for it.
    year_worth_eggs : float
        What having it a year sooner is worth, counted in eggs.
    animals : tuple of str
        Animals kept for this project only: no other project may use them. Empty leaves all to all.
    least_pairings : int
        Pairings that it is to have in a season, where it can.
    """

    name: str
    want: str
    some_of: tuple[str, ...] = ()
    some_least: int = 0
    none_of: str = ""
    line: str = ""
    share_at_least: float = 0.0
    size: SizeWish = field(default_factory=SizeWish)
    number: int = 1
    by: int = 0
    inbreeding_at_most: float = 0.125
    accepted: frozenset[str] = frozenset()
    budget: Budget = field(default_factory=Budget)
    worth_eggs: float = 60.0
    year_worth_eggs: float = 10.0
    animals: tuple[str, ...] = ()
    least_pairings: int = 0


@dataclass(frozen=True, slots=True)
class GoalGene:
    """One gene that a goal asks for, or refuses.

    Parameters
    ----------
    locus : str
        Locus key.
    alleles : frozenset of str
        Allele keys that count as it: names held to be the same.
    copies : int
        1: at least one copy; 2: two; 0: none.
    name : str
        Trade name.
    is_hidden : bool
        Whether one copy does not show.
    tells_two : bool
        Whether two copies can be told by eye from one.
    two_die : bool
        Whether young with two copies do not live: no plan pairs two animals that both carry it.
    """

    locus: str
    alleles: frozenset[str]
    copies: int
    name: str
    is_hidden: bool
    tells_two: bool
    two_die: bool = False


@dataclass(frozen=True, slots=True)
class Target:
    """A goal as the engine reads it; one of several where a goal leaves a choice (`Goal.some_of`).

    Parameters
    ----------
    genes : tuple of GoalGene
        What is asked for or refused; no two name the same alleles.
    sex : Sex
        Sex wanted; unknown where either will do.
    line : str
        Line of which a share is asked; empty for none.
    share : float
        Least expected share of it, in [0, 1].
    """

    genes: tuple[GoalGene, ...]
    sex: Sex = Sex.UNKNOWN
    line: str = ""
    share: float = 0.0

    @property
    def loci(self) -> tuple[str, ...]:
        """Keys of the loci asked about, each once, in the order of the genes."""
        return tuple(dict.fromkeys(gene.locus for gene in self.genes))
