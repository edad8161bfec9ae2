"""Invented collections with a line of large animals in them, of which everything is known.

Founders arrive young, some of a line and some of none; for four to seven seasons females are mated as it comes. Half of
the young are sold within four months, some of the others later. Genes lie on chromosomes, so that true shares and true
relationships scatter about those by descent.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import cached_property

import numpy as np
import numpy.typing as npt
from verification.size_genome import Effects, Genome, IntArray
from verification.size_growth import log_mass
from verification.size_scenarios import Hatched, Keeping, Scenario

from holdback.collection.model import Sex
from holdback.descent.genome import GenomeMap
from holdback.species.catalogue import Catalogue

FloatArray = npt.NDArray[np.float64]

YEAR = 365.25
FIRST_YEAR = 2012
SECOND_EFFECT = 0.1
"""What the second line has more than animals of none, where there is one."""
HEAD_EFFECT = 0.05
"""Where heads are measured."""
INCUBATION = 57.0
YOUNG_WANTED = 205
"""Young on record of all seasons."""
SOLD, LEAVES, DOUBTFUL = 0.52, 0.35, 0.15
"""Of the young sold within four months, of the others leaving at 6 to 20 months, of clutches with a doubtful sire."""
HONEST = (0.5, 0.95)
"""Weights of the likelier of two candidate sires."""


@dataclass(frozen=True, slots=True)
class Nature:
    """What holds of one collection; logarithms of gram and of a year.

    Parameters
    ----------
    adult : dict of Sex to float
        Log mass of ordinary grown animals.
    hatching, rate : float
        Log mass at hatching, and log growth rate of ordinary animals.
    adult_sd, heritability : float
        Standard deviation of adult deviations within lines, and the additive genetic part of their variance.
    at_hatching : float
        Part of the adult deviation that shows at hatching.
    effects : tuple of float
        Of each line.
    """

    adult: dict[Sex, float]
    hatching: float
    rate: float
    adult_sd: float
    heritability: float
    at_hatching: float
    effects: tuple[float, ...]


@dataclass
class Snake:
    """One animal with its truth; days are ordinal.

    Parameters
    ----------
    id : str
        Id.
    sex : Sex
        True sex.
    hatched, arrives, leaves : float
        Days on which it hatched, came here, and left (infinite: it is still here).
    haplotypes : int array, shape (2, places)
        Founder haplotypes.
    line : int
        Line of a founder, -1 for none; -1 for all others.
    additive, lasting : float
        Genetic part without the lines, and what its life added for good.
    shares, expected : float array, shape (lines,)
        Realised share of each line, and the expected one.
    at_hatching, rate : float
        Log mass at hatching and log growth rate.
    room : int
        0, or 1 for the room of the line.
    sire, dam, clutch : str
        Empty for founders.
    egg_g : float
        Mass of its egg in gram; 0 for founders.
    """

    id: str
    sex: Sex
    hatched: float
    arrives: float
    haplotypes: IntArray
    additive: float
    lasting: float
    shares: FloatArray
    expected: FloatArray
    line: int = -1
    leaves: float = np.inf
    at_hatching: float = 0.0
    rate: float = 0.0
    room: int = 0
    sire: str = ""
    dam: str = ""
    clutch: str = ""
    egg_g: float = 0.0


@dataclass(frozen=True, slots=True)
class Nest:
    """One clutch.

    Parameters
    ----------
    id, dam : str
        Ids.
    sires : tuple of (str, float)
        Candidates with the weights written down; the true one is the sire of its young.
    laid : float
        Day.
    eggs : int
        Laid; those without a young died.
    """

    id: str
    dam: str
    sires: tuple[tuple[str, float], ...]
    laid: float
    eggs: int


@dataclass
class SizeHerd:
    """A collection with its truth.

    Parameters
    ----------
    scenario : Scenario
        How it was drawn.
    nature : Nature
        What holds of it.
    snakes : dict of str to Snake
        All animals, parents first.
    nests : list of Nest
        All clutches.
    end : float
        Day of the last record.
    """

    scenario: Scenario
    nature: Nature
    snakes: dict[str, Snake] = field(default_factory=dict)
    nests: list[Nest] = field(default_factory=list)
    end: float = 0.0

    def breeding_value(self, snake: Snake) -> float:
        """Genetic part of the adult deviation, lines included."""
        return snake.additive + float(snake.shares @ np.array(self.nature.effects))

    def deviation(self, snake: Snake) -> float:
        """Adult deviation from an ordinary animal kept like it, log scale."""
        return self.breeding_value(snake) + snake.lasting

    def adult(self, snake: Snake) -> float:
        """Log mass grown and empty."""
        return self.nature.adult[snake.sex] + self.scenario.room * snake.room + self.deviation(snake)

    @property
    def head_effect(self) -> float:
        """By how much heads of the line are wider at the same mass, on the log scale."""
        return HEAD_EFFECT if self.scenario.heads else 0.0

    def log_mass(self, snake: Snake, days: FloatArray) -> FloatArray:
        """Log mass, empty, on some days."""
        return log_mass(
            (days - snake.hatched) / YEAR,
            adult=self.adult(snake),
            hatching=snake.at_hatching,
            rate=float(np.exp(snake.rate)),
            curve=self.scenario.curve,
        )

    @cached_property
    def layings(self) -> dict[str, list[float]]:
        """Days of laying by dam."""
        found: dict[str, list[float]] = {}
        for nest in self.nests:
            found.setdefault(nest.dam, []).append(nest.laid)
        return found


def herd(seed: np.random.SeedSequence, scenario: Scenario, effect: float, catalogue: Catalogue) -> SizeHerd:
    """A collection whose line has an effect on log adult mass."""
    return _Drawing(np.random.default_rng(seed), scenario, effect, catalogue).herd()


class _Drawing:
    """A collection while it is drawn."""

    def __init__(self, rng: np.random.Generator, scenario: Scenario, effect: float, catalogue: Catalogue) -> None:
        self.rng = rng
        effects = (effect, SECOND_EFFECT) if scenario.second_line else (effect,)
        nature = Nature(
            {Sex.FEMALE: rng.normal(np.log(1850.0), 0.08), Sex.MALE: rng.normal(np.log(1250.0), 0.08)},
            rng.normal(np.log(65.0), 0.06),
            rng.normal(np.log(1.1), 0.12),
            0.16 * float(np.exp(rng.normal(0.0, 0.2))),
            float(rng.uniform(0.2, 0.6)),
            float(np.clip(rng.normal(0.35, 0.1), 0.0, 0.8)),
            effects,
        )
        chromosomes = GenomeMap.from_catalogue(catalogue)
        self.genome = Genome.of(np.array(chromosomes.lengths), np.array(chromosomes.weights))
        variance = nature.heritability * nature.adult_sd**2
        self.effects = Effects(len(self.genome.switch), variance, effects, rng)
        self.lasting_sd = float(np.hypot(np.sqrt(nature.adult_sd**2 - variance), scenario.feeding_adult))
        self.made = SizeHerd(scenario, nature)
        self.dam_effects: dict[str, tuple[float, float]] = {}

    def herd(self) -> SizeHerd:
        """Founders, seasons, and the end of the records."""
        made, rng = self.made, self.rng
        self._founders()
        seasons = int(rng.integers(4, 8))
        for season in range(seasons):
            opens = date(FIRST_YEAR + season, 3, 1).toordinal()
            if made.scenario.keeping is Keeping.BIGGEST and season:
                self._part_with_small_yearlings(opens)
            self._season(opens, YOUNG_WANTED / seasons)
        made.end = date(FIRST_YEAR + seasons, 1, 15).toordinal()
        return made

    def _founders(self) -> None:
        scenario = self.made.scenario
        of_lines = [0] * int(self.rng.integers(scenario.line_founders[0], scenario.line_founders[1] + 1))
        if scenario.second_line:
            of_lines += [1] * 5
        others = int(self.rng.integers(scenario.other_founders[0], scenario.other_founders[1] + 1))
        for line in of_lines:
            tries = [(self.effects.draw(), self.rng.normal(0.0, self.lasting_sd)) for _ in range(scenario.tries)]
            drawn, lasting = max(tries, key=lambda one: one[0].sum() + one[1])
            self._founder(drawn, lasting, line)
        for _ in range(others):
            self._founder(self.effects.draw(), self.rng.normal(0.0, self.lasting_sd), -1)

    def _founder(self, drawn: FloatArray, lasting: float, line: int) -> None:
        """Add a founder; the first of each kind is a male, the second a female."""
        made, rng = self.made, self.rng
        before = sum(one.line == line for one in made.snakes.values())
        is_male = before == 0 or (before > 1 and rng.random() < 0.35)
        opens = date(FIRST_YEAR, 3, 1).toordinal()
        hatched = opens - rng.uniform(2.6, 5.0) * YEAR
        arrives = hatched + rng.uniform(60.0, 500.0)
        if made.scenario.hatched is Hatched.WILD:
            arrives = max(arrives, opens - rng.uniform(0.3, 0.9) * YEAR)
        haplotypes = self.effects.add(drawn, line)
        shares = self.effects.shares(haplotypes)
        snake = Snake(
            f"F{len(made.snakes) + 1}", Sex.MALE if is_male else Sex.FEMALE, round(hatched), round(arrives),
            haplotypes, float(drawn.sum()), float(lasting), shares, shares, line=line,
        )  # fmt: skip
        snake.room = self._room(shares)
        self._grow_up(snake, nest=rng.normal(0.0, 0.09))
        made.snakes[snake.id] = snake

    def _room(self, expected: FloatArray) -> int:
        """Room that an animal grows up in."""
        if not self.made.scenario.room:
            return 0
        own = int(expected[0] >= 0.5)
        return 1 - own if self.rng.random() < self.made.scenario.swapped else own

    def _grow_up(self, snake: Snake, *, nest: float) -> None:
        """Draw how it hatches and grows; `nest` is what clutch and egg add to its log mass at hatching."""
        nature, scenario = self.made.nature, self.made.scenario
        own = self.rng.normal(0.0, 0.07)
        shown = nature.at_hatching * self.made.deviation(snake)
        snake.at_hatching = float(nature.hatching + shown + nest + own)
        snake.rate = float(nature.rate + self.rng.normal(0.0, np.hypot(0.15, scenario.feeding_rate)))

    def _season(self, opens: float, wanted: float) -> None:
        made, rng = self.made, self.rng
        here = [one for one in made.snakes.values() if one.leaves > opens + 150.0 and one.arrives < opens]
        dams = [one for one in here if one.sex is Sex.FEMALE and opens - one.hatched > 2.5 * YEAR]
        sires = [one for one in here if one.sex is Sex.MALE and opens - one.hatched > 1.4 * YEAR]
        before = len(made.snakes)
        for number in rng.permutation(len(dams)).tolist():
            if len(made.snakes) - before >= wanted:
                break
            dam = dams[number]
            others = [one for one in sires if not _is_close(one, dam)]
            self._clutch(dam, others or sires, sires, opens + float(rng.uniform(30.0, 120.0)))

    def _clutch(self, dam: Snake, matched: list[Snake], sires: list[Snake], laid: float) -> None:
        made, rng = self.made, self.rng
        sire = matched[int(rng.integers(len(matched)))]
        written = self._written(sire, [one for one in sires if one is not sire])
        laid, eggs = round(laid), int(np.clip(rng.normal(6.0, 1.5), 3, 10))
        nest = Nest(f"C{len(made.nests) + 1}", dam.id, written, laid, eggs)
        made.nests.append(nest)
        hatched = round(laid + INCUBATION + rng.normal(0.0, 2.0))
        if dam.id not in self.dam_effects:
            self.dam_effects[dam.id] = rng.normal(0.0, made.scenario.dam_hatching), rng.normal(0.0, 0.08)
        at_hatching, on_eggs = self.dam_effects[dam.id]
        at_hatching += rng.normal(0.0, 0.04)
        for _ in range(eggs):
            if rng.random() < 0.9:
                self._young(sire, dam, nest, hatched, at_hatching, on_eggs + rng.normal(0.0, 0.05))

    def _written(self, sire: Snake, others: list[Snake]) -> tuple[tuple[str, float], ...]:
        """Candidate sires as written down."""
        if self.rng.random() >= DOUBTFUL or not others:
            return ((sire.id, 1.0),)
        other = others[int(self.rng.integers(len(others)))]
        weight = round(float(self.rng.uniform(*HONEST)), 2)
        is_likelier = self.rng.random() < (weight if self.made.scenario.honest_sires else 1.0 - weight)
        pair = (sire.id, other.id) if is_likelier else (other.id, sire.id)
        return ((pair[0], weight), (pair[1], round(1.0 - weight, 2)))

    def _young(self, sire: Snake, dam: Snake, nest: Nest, hatched: float, at_hatching: float, egg: float) -> None:
        made, rng = self.made, self.rng
        haplotypes = np.stack([self.genome.gamete(one.haplotypes, rng) for one in (sire, dam)])
        snake = Snake(
            f"A{len(made.snakes) + 1}", Sex.MALE if rng.random() < 0.5 else Sex.FEMALE, hatched, hatched, haplotypes,
            self.effects.additive(haplotypes), float(rng.normal(0.0, self.lasting_sd)), self.effects.shares(haplotypes),
            (sire.expected + dam.expected) / 2.0, sire=sire.id, dam=dam.id, clutch=nest.id,
        )  # fmt: skip
        snake.room = self._room(snake.expected)
        snake.egg_g = float(np.exp(np.log(85.0) + egg))
        self._grow_up(snake, nest=at_hatching + 0.5 * egg)
        if rng.random() < SOLD:
            snake.leaves = hatched + rng.uniform(40.0, 130.0)
        elif made.scenario.keeping is not Keeping.BIGGEST and rng.random() < LEAVES:
            snake.leaves = hatched + rng.uniform(180.0, 600.0)
        made.snakes[snake.id] = snake

    def _part_with_small_yearlings(self, opens: float) -> None:
        """Of the young of the year before that are still here, the lighter half of each sex leaves."""
        for sex in (Sex.MALE, Sex.FEMALE):
            here = [
                one
                for one in self.made.snakes.values()
                if one.sex is sex and one.clutch and one.leaves == np.inf and 150.0 < opens - one.hatched < 330.0
            ]
            here.sort(key=lambda one: float(self.made.log_mass(one, np.array([opens]))[0]))
            for one in here[: len(here) // 2]:
                one.leaves = opens + 30.0


def _is_close(one: Snake, other: Snake) -> bool:
    """Whether two animals are parent and young, or share a parent."""
    parents, others = {one.sire, one.dam} - {""}, {other.sire, other.dam} - {""}
    return one.id in others or other.id in parents or bool(parents & others)
