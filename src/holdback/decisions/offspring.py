"""The chance that a pair gives a target, and that tries at it will.

All eggs of a clutch, and all clutches of a pair, share the parents. So the chance is held for everything that the
parents may be (`PairLaw.states`), and each question is answered for each and then averaged: never from an averaged
chance.

Notation: t is the chance that an egg that would hatch, its own genes aside, gives the target alive; p the chance that
a paired dam lays; N the number of young of a clutch that is laid, and G(s) = E[s^N].
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.accepted import Accepted
from holdback.decisions.goal import Target
from holdback.decisions.pair_tables import PairTables, Values
from holdback.decisions.stock import FloatArray, Stock
from holdback.season.outlook import CountLaw

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class PairState:
    """Something that a pair may be, and what it gives.

    Parameters
    ----------
    weight : float
        Chance of it.
    male, female : float
        Chance that an egg that would hatch, its own genes aside, gives a living male target, and a living female one.
    living : float
        Chance that it gives a living young at all; 1 unless the genes themselves kill.
    """

    weight: float
    male: float
    female: float
    living: float = 1.0


@dataclass(frozen=True)
class PairLaw:
    """Chance that a pair gives a target, for everything that the two may be together.

    Parameters
    ----------
    states : tuple of PairState
        Weights sum to 1; states that give the same are one.

    Examples
    --------
    A dam that carries a recessive with a chance of two in three, and a visual sire; a clutch of five young:

    >>> law = PairLaw((PairState(2 / 3, 0.25, 0.25), PairState(1 / 3, 0.0, 0.0)))
    >>> five = CountLaw(np.array([0.0, 0.0, 0.0, 0.0, 0.0, 1.0]))
    >>> round(law.per_hatchling, 4), round(law.at_least_one(five), 4), round(law.possible, 4)
    (0.3333, 0.6458, 0.6667)
    """

    states: tuple[PairState, ...]

    @cached_property
    def _arrays(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Weights, and chances of a male and of a female target."""
        return (
            np.array([state.weight for state in self.states]),
            np.array([state.male for state in self.states]),
            np.array([state.female for state in self.states]),
        )

    @property
    def per_hatchling(self) -> float:
        """Chance that one living young is the target, over all that the parents may be."""
        living = math.fsum(state.weight * state.living for state in self.states)
        found = math.fsum(state.weight * (state.male + state.female) for state in self.states)
        return found / living if living > 0.0 else 0.0

    @property
    def possible(self) -> float:
        """Chance that the pair can give the target at all."""
        return math.fsum(state.weight for state in self.states if state.male + state.female > 0.0)

    def at_least_one(self, young: CountLaw) -> float:
        """Chance of at least one target in a clutch that is laid.

        Parameters
        ----------
        young : CountLaw
            Living young of such a clutch, genes aside.
        """
        return self.tries(1, young, 1.0)

    def tries(self, k: int, young: CountLaw, lays: float, *, lays_first: float | None = None) -> float:
        """Chance of at least one target within k seasons of trying: ``1 - sum_m w_m (1 - p + p G(1 - t_m))^k``.

        Parameters
        ----------
        k : int
            Seasons, a clutch each.
        young : CountLaw
            Living young of a clutch that is laid, genes aside.
        lays : float
            Chance that the dam lays in a season.
        lays_first : float, optional
            The same in the first of them, where it differs.

        Notes
        -----
        Levels off below 1 where a parent may carry nothing: retrying a possible carrier is not geometric.
        """
        weights, male, female = self._arrays
        misses = missed(male + female, young, lays) ** k
        if lays_first is not None and k > 0:
            misses = missed(male + female, young, lays_first) * missed(male + female, young, lays) ** (k - 1)
        return float(weights @ (1.0 - misses))

    def lambda_(self, young: CountLaw, lays: float) -> float:
        """``-ln(1 - P)`` of the chance P of one season's try; adds up over pairs that are independent of each other."""
        chance = self.tries(1, young, lays)
        return -math.log1p(-chance) if chance < 1.0 else math.inf

    def both_sexes(self, k: int, young: CountLaw, lays: float) -> float:
        """Chance of at least one male and one female target within k seasons of trying.

        Parameters
        ----------
        k, young, lays
            As in `tries`.
        """
        weights, male, female = self._arrays
        neither = missed(male + female, young, lays) ** k
        return float(weights @ (1.0 - missed(male, young, lays) ** k - missed(female, young, lays) ** k + neither))


def missed(q: FloatArray, young: CountLaw, lays: float) -> FloatArray:
    """Chance that one season's try brings nothing: ``1 - p + p G(1 - q)``.

    Parameters
    ----------
    q : float array, any shape
        Chance that a young is what is wanted.
    young : CountLaw
        Living young of a clutch that is laid.
    lays : float
        Chance that it is laid.
    """
    none = (1.0 - np.asarray(q))[..., None] ** np.arange(len(young.chances)) @ young.chances
    return np.asarray(1.0 - lays + lays * none, dtype=np.float64)


def law_of(states: Mapping[Values, float], tables: PairTables, sexes: tuple[bool, bool]) -> PairLaw:
    """Law from the values of `PairTables.states`; `sexes` says which sex of young will do."""
    male = tables.sexes.index(Sex.MALE)
    found: dict[tuple[float, float, float], float] = {}
    for values, weight in states.items():
        halves = [0.5 * values[sex] if sexes[sex] else 0.0 for sex in (0, 1)]
        key = (halves[male], halves[1 - male], 0.5 * (values[2] + values[3]))
        found[key] = found.get(key, 0.0) + weight
    total = math.fsum(found.values())
    return PairLaw(tuple(PairState(weight / total, *key) for key, weight in found.items()))


def pair_law(stock: Stock, sire: str, dam: str, tables: PairTables, *, accepted: Accepted | None = None) -> PairLaw:
    """Chance that two animals at hand give a target.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    sire, dam : str
        Ids of a male and a female.
    tables : PairTables
        Of the target.
    accepted : Accepted, optional
        What will do instead of the target, at the same loci.
    """
    wanted = accepted or tables.wanted
    return law_of(tables.states(stock.genes.couple(sire, dam, tables.loci), wanted), tables, wanted.sexes)


def pair_laws(
    stock: Stock, target: Target, catalogue: Catalogue, *, season: int | None = 0
) -> dict[tuple[str, str], PairLaw]:
    """Law of every pair that can be made.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    target : Target
        What is wanted; its share of a line is not asked about.
    catalogue : Catalogue
        Species.
    season : int or None
        Season for which both must be ready; None takes all animals.

    Returns
    -------
    dict of (str, str) to PairLaw
        By sire and dam.
    """
    tables = PairTables(target, catalogue)
    males, females = (
        [stock.animals[place] for place in stock.of_sex(sex) if season is None or stock.ready[place] <= season]
        for sex in (Sex.MALE, Sex.FEMALE)
    )
    return {(sire, dam): pair_law(stock, sire, dam, tables) for sire in males for dam in females}


def several(stock: Stock, sire: str, dams: Sequence[str], tables: PairTables, *, k: int = 1) -> float:
    """Chance that one sire over several dams gives at least one target within k seasons of trying.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    sire : str
        Id of a male.
    dams : sequence of str
        Ids of females, each with a clutch a season where she lays.
    tables : PairTables
        Of the target.
    k : int
        Seasons.

    Notes
    -----
    What the sire may be is shared by all clutches and mixed over; given that, dams are taken as independent, also
    sisters.
    """
    misses: dict[object, list[float]] = {}
    weights: dict[object, float] = {}
    for dam in dams:
        place = stock.index(dam)
        couple = stock.genes.couple(sire, dam, tables.loci)
        for state, values in tables.by_sire(couple, tables.wanted).items():
            law = law_of(values, tables, tables.wanted.sexes)
            chance = law.tries(k, stock.young[place], float(stock.lays[place]))
            misses.setdefault(state, []).append(1.0 - chance)
            weights.setdefault(state, math.fsum(values.values()))
    return 1.0 - math.fsum(weight * math.prod(misses[state]) for state, weight in weights.items())
