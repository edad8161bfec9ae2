"""What a report on a line is made of: its founders, years, pairs, and claims that its parents contradict."""

from __future__ import annotations

from dataclasses import dataclass

from holdback.descent.diversity import FounderStanding


@dataclass(frozen=True)
class FounderLeft:
    """An animal that brought the line in.

    Parameters
    ----------
    animal : str
        Id.
    low, high : float
        Ends of its share by what is said of it.
    ground : str
        Who said so, on what paper.
    is_here : bool
        Whether it can be bred from here.
    standing : FounderStanding
        What is left of it among the carriers that are here.
    through : tuple of str
        Ids of its own young over which it lives on here, without itself.
    """

    animal: str
    low: float
    high: float
    ground: str
    is_here: bool
    standing: FounderStanding
    through: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class YearShare:
    """Young of one year that carry the line.

    Parameters
    ----------
    year : int
        Year of hatching.
    young, kept : int
        Carriers hatched, and those of them that are still here.
    mean, kept_mean : float or None
        Mean expected share of both; None where there are none.
    most : float
        Largest expected share.
    inbreeding : float
        Mean inbreeding coefficient of the young.
    """

    year: int
    young: int
    kept: int
    mean: float
    kept_mean: float | None
    most: float
    inbreeding: float


@dataclass(frozen=True, slots=True)
class LinePair:
    """Two animals that are here and what their young would carry on average.

    Parameters
    ----------
    sire, dam : str
        Ids.
    share : float
        Expected share of the line in the young.
    at_least : float
        The same with every claim at its lower end.
    inbreeding : float
        Inbreeding coefficient of the young.
    grown : int or None
        Year in which both are of breeding age by the species file, or have bred; None where neither is known of one.
    """

    sire: str
    dam: str
    share: float
    at_least: float
    inbreeding: float
    grown: int | None


@dataclass(frozen=True, slots=True)
class Clash:
    """What is said of an animal's share against what its parents make it.

    Parameters
    ----------
    animal : str
        Id.
    said_low, said_high : float
        Ends of the claim.
    by_descent : float
        Expected share by its parents.
    ground : str
        Ground of the claim.
    """

    animal: str
    said_low: float
    said_high: float
    by_descent: float
    ground: str
