"""A keeper who follows a route with true animals: one at a time, in plain Python, apart from the rehearsal.

It plays routes of one or two crosses whose young can be told for sure by eye: visuals, carriers of a gene that shows,
and young of a visual, which carry what it shows. Others are left to other checks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from verification.plan_herds import GENES, Genotype, child

from holdback.collection.model import Sex
from holdback.decisions.steps import Kind, Plan, Side, Step
from holdback.decisions.stock import Stock
from holdback.season.outlook import CountLaw

LOCI = tuple(key for key, _ in GENES)


@dataclass
class Snake:
    """An animal: what it truly is, and when it can have young."""

    name: str
    genotype: Genotype
    is_male: bool
    ready: int
    parents: tuple[str, str] = ("", "")
    kept_for: int = -1
    is_alive: bool = True
    age: int = 9
    has_bred: bool = False


def can_be_played(plan: Plan) -> bool:
    """Whether a keeper tells all that is kept for sure, and one named male stands on each side at hand."""
    if len(plan.steps) > 2 or any(len(one.sire.animals) > 1 for one in plan.steps):
        return False
    first = plan.steps[0]
    return len(plan.steps) == 1 or (first.keep.sex is not Sex.UNKNOWN and _is_told(first.keep))


def _is_told(kind: Kind) -> bool:
    return all(chance in (0.0, 1.0) for level in kind.genes for chance in level)


class PlanKeeper:
    """Follows one route.

    Parameters
    ----------
    stock : Stock
        Laying, clutches, deaths and kinship are as it says.
    plan : Plan
        The route.
    genotypes : mapping of str to Genotype
        What the animals at hand truly are.
    inbreeding : float
        Largest kinship of a pair.
    rng : numpy.random.Generator
        Luck.
    """

    def __init__(
        self, stock: Stock, plan: Plan, genotypes: dict[str, Genotype], inbreeding: float, rng: np.random.Generator
    ) -> None:
        self.stock, self.plan, self.inbreeding, self.rng = stock, plan, inbreeding, rng
        named = dict.fromkeys(one for step in plan.steps for one in (*step.sire.animals, *step.dam.animals))
        self.snakes = [
            Snake(name, genotypes[name], stock.sexes[at] is Sex.MALE, int(stock.ready[at]))
            for name in named
            for at in [stock.index(name)]
        ]

    def season_of_goal(self, seasons: int) -> int:
        """First season with a goal animal; `seasons` where there is none."""
        for season in range(seasons):
            if self._season(season):
                return season
            self._deaths()
        return seasons

    def _season(self, season: int) -> bool:
        used: dict[str, int] = {}
        clutches: list[tuple[Step, list[Snake]]] = []
        for step in reversed(self.plan.steps):
            if season >= step.first_season and (step.is_goal or self._missing(step) > 0):
                for sire, dam in self._pairs(step, season, used):
                    clutches.append((step, list(self._clutch(sire, dam, season))))
        young = [one for _, some in clutches for one in some]
        if any(self._is_goal(one) for one in young):
            return True
        for step in self.plan.steps[:-1]:
            for one in young:
                if self._missing(step) > 0 and self._is_kept(one, step.keep):
                    one.kept_for = step.number
                    self.snakes.append(one)
        return False

    def _missing(self, step: Step) -> int:
        return step.count - sum(one.is_alive and one.kept_for == step.number for one in self.snakes)

    def _pairs(self, step: Step, season: int, used: dict[str, int]) -> Iterator[tuple[Snake, Snake]]:
        for dam in self._of_side(step.dam, season, is_male=False):
            for sire in self._of_side(step.sire, season, is_male=True):
                is_free = used.get(sire.name, 0) < self._cap(sire) and not used.get(dam.name, 0)
                if is_free and self._kinship(sire, dam) <= self.inbreeding + 1e-9:
                    used[sire.name], used[dam.name] = used.get(sire.name, 0) + 1, 1
                    yield sire, dam
                    break

    def _of_side(self, side: Side, season: int, *, is_male: bool) -> list[Snake]:
        return [
            one
            for one in self.snakes
            if one.is_alive
            and one.is_male is is_male
            and one.ready <= season
            and (one.name in side.animals or (side.step is not None and one.kept_for == side.step))
        ]

    def _cap(self, sire: Snake) -> int:
        at_hand = sire.name in self.stock.animals
        return int(self.stock.clutches[self.stock.index(sire.name)]) if at_hand else self.stock.breeding.male_clutches

    def _kinship(self, one: Snake, other: Snake) -> float:
        """Kinship of an animal at hand with another, or with a young of two at hand."""
        if one.kept_for >= 0 and other.kept_for >= 0:
            return 1.0
        if one.kept_for >= 0:
            one, other = other, one
        return float(
            np.mean(
                [self._at_hand(one.name, parent) for parent in other.parents if parent]
                or [self._at_hand(one.name, other.name)]
            )
        )

    def _at_hand(self, one: str, other: str) -> float:
        return float(self.stock.kinship[self.stock.index(one), self.stock.index(other)])

    def _clutch(self, sire: Snake, dam: Snake, season: int) -> Iterator[Snake]:
        breeding = self.stock.breeding
        lays, law = (breeding.lays if dam.has_bred else breeding.lays_first), breeding.young
        if dam.name in self.stock.animals:
            at = self.stock.index(dam.name)
            lays, law = float(self.stock.lays[at]), self.stock.young[at]
        dam.has_bred = True
        if self.rng.random() < lays:
            for _ in range(self._drawn(law)):
                is_male = bool(self.rng.random() < 0.5)
                wait = breeding.male_matures if is_male else breeding.female_matures
                genotype = child(self.rng, sire.genotype, dam.genotype)
                yield Snake("", genotype, is_male, season + wait, (sire.name, dam.name), age=0)

    def _drawn(self, law: CountLaw) -> int:
        return int(self.rng.choice(len(law.chances), p=law.chances / law.chances.sum()))

    def _is_goal(self, one: Snake) -> bool:
        wanted = {gene.locus: gene.copies for gene in self.plan.target.genes}
        enough = all(sum(one.genotype[LOCI.index(locus)]) >= copies for locus, copies in wanted.items())
        return enough and self.plan.target.sex in (Sex.UNKNOWN, Sex.MALE if one.is_male else Sex.FEMALE)

    def _is_kept(self, one: Snake, keep: Kind) -> bool:
        if (keep.sex is Sex.MALE) is not one.is_male:
            return False
        return all(
            self._is_known(one, gene.locus, level, is_hidden=gene.is_hidden)
            for gene, level in zip(self.plan.target.genes, keep.genes, strict=True)
        )

    def _is_known(self, one: Snake, locus: str, level: tuple[float, float], *, is_hidden: bool) -> bool:
        """Whether a keeper knows a young to have so many copies: by eye, or as a young of a visual."""
        at = LOCI.index(locus)
        copies = sum(one.genotype[at])
        if level[1] > 0.0:
            return copies == 2
        if level[0] > 0.0 and is_hidden:
            parents = [each for each in self.snakes if each.name in one.parents]
            return copies == 2 or any(sum(each.genotype[at]) == 2 for each in parents)
        return copies >= 1 or level[0] == 0.0

    def _deaths(self) -> None:
        lives = self.stock.breeding
        for one in self.snakes:
            chance = lives.young_lives if one.age == 0 else lives.adult_lives
            one.is_alive = one.is_alive and bool(self.rng.random() < chance)
            one.age += 1
