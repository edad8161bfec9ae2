"""Labels of the search: animals at hand, and young that could be bred, each with when it can breed.

A *type* is a sex, a level at each locus of the goal, and the share of the line in eighths, rounded down. A *label* is a
type with a law of the season from which it can breed, how many females it stands for, and whose young it is. Labels are
never changed: a plan found may point at one for good.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.route.chances import Chances
from holdback.decisions.route.levels import Law, Locus, held
from holdback.decisions.route.tries import Laying, Tries, mean_season
from holdback.decisions.stock import Breeding, Stock

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

EIGHTHS = 8
SINGLES = 3
"""Animals of a group of like ones without kin that stand for themselves, where inbreeding has a limit."""
MALE, FEMALE = 0, 1
_NEAR = 1e-6
"""Chances that differ by less are held to be the same."""
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Label:
    """See the module.

    Parameters
    ----------
    sex : int
        `MALE` or `FEMALE`.
    profiles : tuple of int
        What is known at each locus, as a number of `Space.profiles`.
    levels : tuple of int
        The same, rounded down to a level.
    share : float
        Expected share of the line.
    ready : float array, shape (H + 1,)
        Chance that it can breed from each season on.
    count : float
        Females that it stands for, of bred ones the expected number; 1 for males.
    laying : int
        How they lay; a number of `Tries.layings`.
    clutches : int
        Most clutches of a male in a season.
    mean : float
        Mean season from which it can breed, those beyond `Space.aim` counted as that.
    founders : int
        Bits of the labels at hand that it goes back to; 0 where nobody asks.
    animals : tuple of int
        Places in the stock; empty where it is to be bred.
    sire, dam : int
        Labels of its parents.
    product : int
        Chance of such a young; see `chances`.
    only : int
        Place in `Stock.under_way` of the one cross that it stands for, else -1.
    """

    sex: int
    profiles: tuple[int, ...]
    levels: tuple[int, ...]
    share: float
    ready: FloatArray
    count: float
    laying: int
    clutches: int
    mean: float
    founders: int = 0
    animals: tuple[int, ...] = ()
    sire: int = -1
    dam: int = -1
    product: int = -1
    only: int = -1

    @property
    def is_bred(self) -> bool:
        """Whether it is still to be bred."""
        return not self.animals

    @property
    def first(self) -> int:
        """First season in which it may breed."""
        return int(np.argmax(self.ready > 0))


@dataclass(eq=False)
class Space:
    """What a search is made of: loci, profiles and chances.

    Parameters
    ----------
    target : Target
        What is wanted.
    breeding : Breeding
        What is counted on of bred animals.
    horizon : int
        Last season looked at.
    aim : int
        Season up to which waiting counts: the search wants the least mean of the season, later ones counted as
        this one. The horizon, or the season after the wished one.
    """

    target: Target
    breeding: Breeding
    horizon: int
    aim: int
    chances: Chances = field(init=False)
    tries: Tries = field(init=False)
    profiles: list[list[Law]] = field(init=False)
    bred_laying: int = field(init=False)

    def __post_init__(self) -> None:
        self.chances = Chances()
        self.tries = Tries(self.chances, self.horizon, self.aim)
        self.profiles = [list(locus.levels) for locus in self.loci]
        young = _plain(self.breeding.young.chances)
        self.bred_laying = self.tries.laying(Laying(self.breeding.lays_first, self.breeding.lays, young, young))

    @cached_property
    def loci(self) -> tuple[Locus, ...]:
        """Loci of the goal with their genes."""
        genes: dict[str, list[GoalGene]] = {}
        for gene in self.target.genes:
            genes.setdefault(gene.locus, []).append(gene)
        return tuple(Locus(tuple(found)) for found in genes.values())

    @cached_property
    def wants_share(self) -> bool:
        """Whether a share of a line is asked for."""
        return self.target.share > 0

    @property
    def n_types(self) -> int:
        """Number of types of either sex."""
        shares = EIGHTHS + 1 if self.wants_share else 1
        return shares * math.prod(len(locus.levels) for locus in self.loci)

    def kinds(self, levels: IntArray, share: FloatArray) -> IntArray:
        """Number of a type for each row of levels and shares."""
        found = eighths(share)
        for locus, own in enumerate(self.loci):
            found = found * len(own.levels) + levels[:, locus]
        return found

    def waits(self, sex: int) -> int:
        """Seasons from hatching to the first own young."""
        return self.breeding.male_matures if sex == MALE else self.breeding.female_matures

    def profile(self, locus: int, law: Law) -> int:
        """Number of a law at a locus."""
        known = self.profiles[locus]
        for number, other in enumerate(known):
            if max(abs(a - b) for a, b in zip(law, other, strict=True)) < _NEAR:
                return number
        known.append(law)
        return len(known) - 1

    def level(self, locus: int, profile: int) -> int:
        """Level of a profile."""
        own = self.loci[locus]
        return profile if profile < len(own.levels) else own.rounded_down(self.profiles[locus][profile])

    def states(self, locus: int, profile: int) -> Law:
        """Chances of the states that such an animal may have."""
        return held(self.profiles[locus][profile])


def eighths(share: FloatArray) -> IntArray:
    """Shares in eighths, rounded down."""
    return np.floor(EIGHTHS * share + _ROUNDING).astype(np.int64)


def at_hand(stock: Stock, space: Space, *, apart: bool, banned: Collection[tuple[str, str]] = ()) -> list[Label]:
    """Labels of the animals at hand that can breed within the horizon, and of crosses under way.

    Parameters
    ----------
    apart : bool
        Whether like animals stand each for itself too: wanted where inbreeding has a limit.
    banned : collection of (str, str)
        Sires and dams that must not be paired.

    Notes
    -----
    Chances of hidden genes stay as they are for the crosses of the animal itself; only what is bred of it is rounded.
    """
    groups: dict[tuple[object, ...], list[int]] = {}
    profiles = {place: _profiles(stock, space, place) for place in range(len(stock.animals))}
    for place in range(len(stock.animals)):
        ready = _ready(stock, place)
        if ready > space.horizon or stock.clutches[place] < 1:
            continue
        bans = tuple(sorted(pair for pair in banned if stock.animals[place] in pair))
        key = (
            stock.sexes[place],
            profiles[place],
            round(_share(stock, space, place), 6),
            ready,
            _laying(stock, space, place),
            int(stock.clutches[place]),
            tuple(other for pair in bans for other in pair if other != stock.animals[place]),
        )
        groups.setdefault(key, []).append(place)
    gathered = [part for places in groups.values() for part in (_parts(stock, places) if apart else [places])]
    found = [_of(stock, space, places, profiles[places[0]]) for places in gathered]
    found += _under_way(stock, space, profiles)
    if not apart:
        return found
    return [replace(label, founders=sum(1 << place for place in label.animals)) for label in found]


def kinship_at_hand(stock: Stock, labels: Sequence[Label]) -> FloatArray:
    """Kinship of labels at hand, the largest of any two animals that they stand for; shape (labels, labels)."""
    members = [list(label.animals) for label in labels]
    rows = np.array([stock.kinship[own].max(axis=0) for own in members])
    return np.array([rows[:, own].max(axis=1) for own in members])


def _parts(stock: Stock, places: list[int]) -> list[list[int]]:
    """Like animals, together and each by itself; of those that are kin of nobody a few by themselves will do."""
    if len(places) == 1:
        return [places]
    free = [place for place in places if np.count_nonzero(stock.kinship[place]) <= 1]
    alone = [[place] for place in places if place not in free] + [[place] for place in free[:SINGLES]]
    return alone if stock.sexes[places[0]] is Sex.MALE else [*alone, places]


def _of(
    stock: Stock, space: Space, places: list[int], profiles: tuple[int, ...], *, only: int = -1, laying: int = -1
) -> Label:
    first = places[0]
    male = stock.sexes[first] is Sex.MALE
    ready = 0 if only >= 0 else _ready(stock, first)
    by_season = (np.arange(space.horizon + 1) >= ready).astype(float)
    return Label(
        sex=MALE if male else FEMALE,
        profiles=profiles,
        levels=tuple(space.level(locus, profile) for locus, profile in enumerate(profiles)),
        share=_share(stock, space, first),
        ready=by_season,
        count=1 if male else len(places),
        laying=laying if laying >= 0 else _laying(stock, space, first),
        clutches=int(stock.clutches[first]),
        mean=mean_season(by_season[: space.aim + 1]),
        animals=tuple(places),
        only=only,
    )


def _under_way(stock: Stock, space: Space, profiles: dict[int, tuple[int, ...]]) -> list[Label]:
    """A sire and a dam for each cross that is made; males that are not at hand any more are left out."""
    found = []
    for number, cross in enumerate(stock.under_way):
        if cross.dam not in stock.animals:
            continue
        dam = stock.index(cross.dam)
        again = float(stock.lays[dam]) if stock.ready[dam] <= space.horizon else 0.0
        for sire, chance in cross.sires:
            if sire not in stock.animals:
                continue
            place = stock.index(sire)
            law = Laying(chance, again, _plain(cross.young.chances), _plain(stock.young[dam].chances))
            only = number * len(stock.animals) + place
            found += [
                _of(stock, space, [place], profiles[place], only=only),
                _of(stock, space, [dam], profiles[dam], only=only, laying=space.tries.laying(law)),
            ]
    return found


def _ready(stock: Stock, place: int) -> int:
    used = any(cross.dam == stock.animals[place] for cross in stock.under_way)
    return max(int(stock.ready[place]), int(used))


def _profiles(stock: Stock, space: Space, place: int) -> tuple[int, ...]:
    return tuple(
        space.profile(number, locus.law_of(stock.genes.at(stock.animals[place], locus.genes[0].locus)))
        for number, locus in enumerate(space.loci)
    )


def _share(stock: Stock, space: Space, place: int) -> float:
    return float(stock.shares[space.target.line][place]) if space.wants_share else 0.0


def _laying(stock: Stock, space: Space, place: int) -> int:
    if stock.sexes[place] is Sex.MALE:
        return space.bred_laying
    lays, young = float(stock.lays[place]), _plain(stock.young[place].chances)
    return space.tries.laying(Laying(lays, lays, young, young))


def _plain(chances: FloatArray) -> tuple[float, ...]:
    return tuple(float(chance) for chance in chances)
