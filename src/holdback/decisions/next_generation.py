"""The best that a young of a pair could do for a target: which young to keep, and its best mate at hand.

One generation is looked at beyond the clutch itself, with mates that are at hand. Every young that might be kept is set
beside every mate by mean chances first; the best son and the best daughter are then worked out over all that everyone
may be. The young is taken as independent of its mate, which is exact where the parents are certain.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.decisions.accepted import Accepted
from holdback.decisions.gene_classes import GeneClasses
from holdback.decisions.kinds import Level, LookAt, meets, phase_of_young
from holdback.decisions.offspring import PairLaw, law_of, missed
from holdback.decisions.pair_tables import PairTables
from holdback.decisions.steps import Kind
from holdback.decisions.stock import FloatArray, IntArray, Stock
from holdback.heredity.genotype import ParentsJoint
from holdback.species.model import Pair

_GRID = np.linspace(0.0, 1.0, 513)
"""Chances at which the chance of an empty clutch is held for ranking."""

_NEAR = 0.1
"""Share of the better sex's worth by mean chances below which the other sex is not worked out."""

_DIGITS = 3
"""Figures to which genes of mates are told apart for ranking."""

Couple = Sequence[ParentsJoint]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class NextStep:
    """A young to keep, and what it is for.

    Parameters
    ----------
    kind : Kind
        What it must at least be, as a keeper can know.
    keeps : float
        Chance that this season's try brings one, and not the target itself.
    mate : str
        Id of its best mate at hand.
    first_season : int
        First season in which the two can have young.
    per_hatchling : float
        Chance that a young of the two is the target.
    chance : float
        Chance, once it is kept, of the target by the season wished for; that both live until then is counted in.
    inbreeding : float
        Inbreeding coefficient of their young.
    """

    kind: Kind
    keeps: float
    mate: str
    first_season: int
    per_hatchling: float
    chance: float
    inbreeding: float


@dataclass(frozen=True)
class ClutchYoung:
    """A pair, and what its young are.

    Parameters
    ----------
    parents : (str, str)
        Ids of sire and dam.
    couple : sequence of ParentsJoint
        What they may be together.
    law : PairLaw
        Chance that a young has what the target asks.
    looks : mapping of str to tuple of LookAt
        Looks of the young at each locus.
    is_goal : bool
        Whether a young that has it is the goal; False where it lacks in line.
    """

    parents: tuple[str, str]
    couple: Couple
    law: PairLaw
    looks: Mapping[str, tuple[LookAt, ...]]
    is_goal: bool = True


@dataclass(frozen=True)
class _Option:
    """Looks at a locus that would do, described by the poorest of them."""

    looks: tuple[LookAt, ...]
    poorest: LookAt


@dataclass(frozen=True)
class _Chosen:
    """A young of a sex, by an option at each locus, the place of its mate, and its worth by mean chances."""

    sex: Sex
    options: tuple[_Option, ...]
    mate: int
    worth: float


@dataclass(frozen=True, eq=False)
class _Mates:
    """Animals of a sex in groups that are alike at the loci of the target: places, genes of the groups, who is in."""

    places: IntArray
    genes: tuple[FloatArray, ...]
    is_in: BoolArray


class NextGeneration:
    """What young of pairs could do with mates at hand.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    tables : PairTables
        Of the target.
    by_season : int
        Last season in which the target counts.
    inbreeding_at_most : float
        Largest inbreeding coefficient of the young.
    may_pair : callable, optional
        Whether nothing but kinship speaks against young of an animal with another one (ids).
    """

    def __init__(
        self,
        stock: Stock,
        tables: PairTables,
        *,
        by_season: int,
        inbreeding_at_most: float,
        may_pair: Callable[[str, str], bool] | None = None,
    ) -> None:
        self._stock, self._tables = stock, tables
        self._by, self._limit, self._may_pair = by_season, inbreeding_at_most, may_pair
        self._classes = tuple(GeneClasses(locus, tables) for locus in tables.target.loci)
        self._by_sex = any(part.sex_linked for part in tables.young.parts)
        self._share = stock.shares.get(tables.target.line, np.zeros(len(stock.animals)))
        self._empty = missed(_GRID, stock.breeding.young, 1.0)

    def best(self, clutch: ClutchYoung, season: int) -> NextStep | None:
        """Best young to keep from a pair's clutch of a season, and its mate.

        Parameters
        ----------
        clutch : ClutchYoung
            The pair.
        season : int
            Season of the clutch.

        Returns
        -------
        NextStep or None
            None where no young with a mate at hand leads to the target in time.
        """
        target = None
        if clutch.is_goal:
            target = sum(state.weight * (state.male + state.female) for state in clutch.law.states)
        both = [self._chosen(sex, clutch.looks, target, clutch.parents, season) for sex in (Sex.MALE, Sex.FEMALE)]
        chosen = [one for one in both if one is not None]
        most = max((one.worth for one in chosen), default=0.0)
        found = [self._worked_out(one, clutch, season) for one in chosen if one.worth >= _NEAR * most]
        return max(found, key=lambda step: step.keeps * step.chance, default=None)

    def first_season(self, sex: Sex, season: int) -> int:
        """First season in which young of a season and a sex can have young of their own."""
        breeding = self._stock.breeding
        return season + (breeding.male_matures if sex is Sex.MALE else breeding.female_matures)

    @cached_property
    def _mates(self) -> Mapping[Sex, _Mates]:
        return {sex: self._grouped(np.array(self._stock.of_sex(sex), np.int64)) for sex in (Sex.MALE, Sex.FEMALE)}

    def _grouped(self, places: IntArray) -> _Mates:
        loci = self._tables.target.loci
        laws = [
            np.array(
                [classes.law(self._stock.genes.at(self._stock.animals[place], locus)) for place in places]
            ).reshape(len(places), -1)
            for locus, classes in zip(loci, self._classes, strict=True)
        ]
        every = np.round(np.hstack([np.zeros((len(places), 1)), *laws]), _DIGITS)
        _, first, group = np.unique(every, axis=0, return_index=True, return_inverse=True)
        is_in = group.reshape(-1) == np.arange(len(first))[:, None]
        return _Mates(places, tuple(law[first] for law in laws), is_in)

    def _allowed(self, parents: tuple[str, str], first: int) -> BoolArray:
        """Animals that young of the parents may be put to, shape (n_animals,)."""
        stock, target = self._stock, self._tables.target
        share = (self._share_of(parents) + self._share) / 2
        close = self._kinship(parents) > self._limit + 1e-12
        allowed: BoolArray = ~close & (stock.ready <= first) & (share >= target.share - 1e-9)
        return allowed

    def _kinship(self, parents: tuple[str, str]) -> FloatArray:
        sire, dam = (self._stock.index(one) for one in parents)
        rows: FloatArray = 0.5 * (self._stock.kinship[sire] + self._stock.kinship[dam])
        return rows

    def _share_of(self, parents: tuple[str, str]) -> float:
        sire, dam = (self._stock.index(one) for one in parents)
        return 0.5 * float(self._share[sire] + self._share[dam])

    def _chosen(
        self,
        sex: Sex,
        looks: Mapping[str, tuple[LookAt, ...]],
        target: float | None,
        parents: tuple[str, str],
        season: int,
    ) -> _Chosen | None:
        """Best young of a sex with its mate, by mean chances."""
        first = self.first_season(sex, season)
        mates = self._mates[Sex.FEMALE if sex is Sex.MALE else Sex.MALE]
        is_open = mates.is_in & self._allowed(parents, first)[mates.places]
        groups = np.flatnonzero(is_open.any(axis=1))
        options = [_options(looks[locus], self._tables.sexes.index(sex)) for locus in self._tables.target.loci]
        if first > self._by or not len(groups) or not all(options):
            return None
        genes = [each[groups] for each in mates.genes]
        worth = self._worth(sex, options, genes, target, self._by - first + 1)
        while worth.max() > 0.0:
            choice, column = np.unravel_index(int(worth.argmax()), worth.shape)
            mate = self._best_of(mates.places[is_open[groups[column]]], parents)
            if mate is not None:
                picked = np.unravel_index(int(choice), [len(each) for each in options]) if options else ()
                chosen = tuple(each[int(place)] for each, place in zip(options, picked, strict=True))
                return _Chosen(sex, chosen, mate, float(worth[choice, column]))
            worth[:, column] = 0.0
        return None

    def _worth(
        self,
        sex: Sex,
        options: Sequence[Sequence[_Option]],
        genes: Sequence[FloatArray],
        target: float | None,
        tries: int,
    ) -> FloatArray:
        """Mean worth of every choice of options with every group of mates, shape (n_choices, n_groups)."""
        index = self._tables.sexes.index(sex)
        wanted = self._tables.wanted
        keep, both = np.ones(1), np.ones(1)
        n_groups = len(genes[0]) if genes else 1
        young = [np.ones((1, n_groups)) for _ in range(2 if self._by_sex else 1)]
        for each, classes, mates in zip(options, self._classes, genes, strict=True):
            here = np.array([sum(look.chance[index] for look in option.looks) for option in each])
            hits = np.array([_hits(option, wanted, index) for option in each])
            keep, both = np.outer(keep, here).ravel(), np.outer(both, hits).ravel()
            laws = np.array([classes.law(option.poorest.beliefs[index]) for option in each])
            for grand in range(len(young)):
                chances = laws @ classes.gives[int(sex is Sex.FEMALE)][grand] @ mates.T
                young[grand] = (young[grand][:, None, :] * chances[None]).reshape(-1, n_groups)
        per_young = np.zeros_like(young[0])
        for grand in (0, 1):
            per_young += 0.5 * young[grand if self._by_sex else 0] * wanted.sexes[grand]
        kept = 0.5 * keep
        if target is not None:
            kept = kept + target - (0.5 * both if wanted.sexes[index] else 0.0)
        brings = np.interp(target or 0.0, _GRID, self._empty) - np.interp(kept, _GRID, self._empty)
        hit = self._stock.breeding.lays * (1.0 - np.interp(per_young, _GRID, self._empty))
        worth: FloatArray = np.atleast_1d(brings)[:, None] * (1.0 - (1.0 - hit) ** tries)
        return worth

    def _best_of(self, places: IntArray, parents: tuple[str, str]) -> int | None:
        """Of mates alike the one that lays most surely and is least related."""
        stock = self._stock
        kinship = self._kinship(parents)
        order = sorted(places, key=lambda place: (-np.nan_to_num(stock.lays[place]), kinship[place], place))
        for place in order:
            mate = stock.animals[place]
            if self._may_pair is None or all(self._may_pair(one, mate) for one in parents):
                return int(place)
        return None

    def _worked_out(self, chosen: _Chosen, clutch: ClutchYoung, season: int) -> NextStep:
        """A young and its mate with their chances mixed over what everyone may be."""
        stock = self._stock
        first = self.first_season(chosen.sex, season)
        law = self._next_law(chosen, clutch.couple)
        years = first - season
        lives = stock.breeding.young_lives * stock.breeding.adult_lives ** (2 * years - 1)
        return NextStep(
            kind=self._kind(chosen, clutch.parents),
            keeps=self._keeps(chosen, clutch),
            mate=stock.animals[chosen.mate],
            first_season=first,
            per_hatchling=law.per_hatchling,
            chance=lives * self._hits(chosen, law, self._by - first + 1),
            inbreeding=float(self._kinship(clutch.parents)[chosen.mate]),
        )

    def _next_law(self, chosen: _Chosen, couple: Couple) -> PairLaw:
        """What the young gives with its mate."""
        tables = self._tables
        index = tables.sexes.index(chosen.sex)
        beliefs = {option.poorest.locus: option.poorest.beliefs[index] for option in chosen.options}
        if len(beliefs) < len(tables.loci):
            for locus, mean in tables.mean_young(couple).items():
                total = sum(chances[index] for chances in mean.values())
                beliefs.setdefault(locus, {alleles: chances[index] / total for alleles, chances in mean.items()})
        mate = self._stock.animals[chosen.mate]
        joint = {
            locus: _together(belief, self._stock.genes.at(mate, locus), is_sire=chosen.sex is Sex.MALE)
            for locus, belief in beliefs.items()
        }
        together = ParentsJoint(1.0, joint, self._phase(chosen, couple) if self._by_sex else {})
        return law_of(tables.states((together,), tables.wanted), tables, tables.wanted.sexes)

    def _phase(self, chosen: _Chosen, couple: Couple) -> dict[str, float]:
        """Phase at the sex-linked loci of that one of a young and its mate that has both sex chromosomes."""
        linked = [locus for part in self._tables.young.parts for locus in part.sex_linked]
        if chosen.sex is self._tables.sexes[0]:
            return {locus: phase_of_young(couple, locus, self._tables) for locus in linked}
        return {locus: self._stock.genes.phase(self._stock.animals[chosen.mate], locus) for locus in linked}

    def _hits(self, chosen: _Chosen, law: PairLaw, tries: int) -> float:
        stock, breeding = self._stock, self._stock.breeding
        if chosen.sex is Sex.MALE:
            return law.tries(tries, stock.young[chosen.mate], float(stock.lays[chosen.mate]))
        return law.tries(tries, breeding.young, breeding.lays, lays_first=breeding.lays_first)

    def _keeps(self, chosen: _Chosen, clutch: ClutchYoung) -> float:
        """Chance that a season's try brings such a young, and not the goal."""
        tables, place = self._tables, self._stock.index(clutch.parents[1])
        index = tables.sexes.index(chosen.sex)
        pairs = {
            option.poorest.locus: frozenset(one for look in option.looks for one in look.pairs)
            for option in chosen.options
        }
        kept = Accepted((pairs, pairs), tables.of_sex(chosen.sex))
        values = tables.states(clutch.couple, tables.wanted, kept, tables.wanted.and_too(kept))
        table = np.array(list(values))
        weights = np.array(list(values.values()))
        target = table[:, :2] @ (0.5 * clutch.is_goal * np.array(tables.wanted.sexes))
        is_both = clutch.is_goal and tables.wanted.sexes[index]
        more = 0.5 * (table[:, 2 + index] - (table[:, 4 + index] if is_both else 0.0))
        young, lays = self._stock.young[place], float(self._stock.lays[place])
        return float(weights @ (missed(target, young, lays) - missed(target + more, young, lays)))

    def _kind(self, chosen: _Chosen, parents: tuple[str, str]) -> Kind:
        index = self._tables.sexes.index(chosen.sex)
        levels = {option.poorest.locus: list(option.poorest.levels[index]) for option in chosen.options}
        genes: list[Level] = [levels[gene.locus].pop(0) for gene in self._tables.target.genes]
        return Kind(tuple(genes), chosen.sex, self._share_of(parents))


def _options(looks: Sequence[LookAt], index: int) -> tuple[_Option, ...]:
    """Ways to ask for a look or better at one locus, each level once."""
    come = [look for look in looks if look.beliefs[index]]
    found: dict[tuple[Level, ...], _Option] = {}
    for look in come:
        levels = tuple((round(some, 6), round(two, 6)) for some, two in look.levels[index])
        if levels not in found:
            better = [other for other in come if all(map(meets, other.levels[index], look.levels[index]))]
            found[levels] = _Option(tuple(better), look)
    return tuple(found.values())


def _hits(option: _Option, wanted: Accepted, index: int) -> float:
    """Chance that a young has one of the looks, and at this locus what is wanted."""
    accepted = wanted.pairs[index][option.poorest.locus]
    return sum(
        look.chance[index] * sum(chance for alleles, chance in look.beliefs[index].items() if alleles in accepted)
        for look in option.looks
    )


def _together(
    young: Mapping[Pair, float], mate: Mapping[Pair, float], *, is_sire: bool
) -> dict[tuple[Pair, Pair], float]:
    if is_sire:
        return {(mine, other): a * b for mine, a in young.items() for other, b in mate.items()}
    return {(other, mine): a * b for mine, a in young.items() for other, b in mate.items()}
