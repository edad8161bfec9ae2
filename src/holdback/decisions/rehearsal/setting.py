"""A stock and a plan as arrays: what stays the same in all runs of a rehearsal.

Slots: the animals at hand that the plan names come first, then one slot for each young to be held back, by group. A
group is what one step keeps of one sex. The sex of a slot never changes.

Axes: S slots (A of them at hand), G genes of the target, L loci.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Costs:
    """What things cost, in the keeper's own currency.

    Parameters
    ----------
    pairing : float
        A female put to a male.
    egg : float
        An egg laid and kept warm.
    tub_year : float
        A year of a young held back.
    """

    pairing: float = 0.0
    egg: float = 0.0
    tub_year: float = 0.0


@dataclass(frozen=True, slots=True)
class Limits:
    """What a rehearsal keeps to; infinite where there is no limit.

    Parameters
    ----------
    inbreeding : float
        Largest inbreeding coefficient of any young.
    tubs : float
        Young held back and not grown, at one time.
    eggs, money : float
        In all, until the goal.
    """

    inbreeding: float = 1.0
    tubs: float = float("inf")
    eggs: float = float("inf")
    money: float = float("inf")


@dataclass(frozen=True, eq=False)
class Level:
    """What an animal must at least be, on arrays.

    Parameters
    ----------
    least : float32 array, shape (G, 2)
        As `Kind.genes`.
    share : float
        Least expected share of the line.
    """

    least: npt.NDArray[np.float32]
    share: float


@dataclass(frozen=True, eq=False)
class Group:
    """Slots of one kind and sex of young to be held back.

    Parameters
    ----------
    level : Level
        What is held back.
    sex : Sex
        Male or female.
    step : int
        Step that keeps them.
    first, count : int
        Slots.
    opens : bool
        Whether the step is tried for as long as one is missing; False for young that are only kept as they come.
    bred_by : bool array, shape (steps + 1,)
        Whether young of each step may be kept for it; last those of a cross that was made before.
    """

    level: Level
    sex: Sex
    step: int
    first: int
    count: int
    opens: bool
    bred_by: BoolArray

    @property
    def slots(self) -> slice:
        """Slots of the group."""
        return slice(self.first, self.first + self.count)


@dataclass(frozen=True, eq=False)
class Side:
    """One side of a step on arrays.

    Parameters
    ----------
    slots : int array, shape (k,)
        Slots of the right sex, those that the plan counts on first.
    level : Level
        What is needed.
    counted_on : bool array, shape (k,)
        At hand and named: will do as long as it lives.
    own : bool array, shape (k,)
        Bred for this: will do until its chance has fallen to half of what is needed.
    step : int
        Step that breeds it; -1 where it is at hand.
    """

    slots: IntArray
    level: Level
    counted_on: BoolArray
    own: BoolArray
    step: int


@dataclass(frozen=True, eq=False)
class Move:
    """One step of the plan on arrays.

    Parameters
    ----------
    number : int
        Of the step.
    sire, dam : Side
        The two sides.
    first_season : int
        Season from which it is tried.
    thing : int
        What its luck belongs to: a column of the counts of tries.
    keep : Level
        What it is to give.
    sex : Sex
        Sex of goal animals; unknown where either will do, and for other steps, whose groups have the sex.
    is_goal : bool
        Whether its young are the goal.
    """

    number: int
    sire: Side
    dam: Side
    first_season: int
    thing: int
    keep: Level
    sex: Sex
    is_goal: bool


@dataclass(frozen=True, eq=False)
class Made:
    """A cross of season 0 that is made: slots of dam and males (-1 one not on record), law, and thing of its luck."""

    dam: int
    sires: IntArray
    up_to: FloatArray
    law: int
    thing: int


@dataclass(frozen=True, eq=False)
class Genes:
    """Genes and loci of the target.

    Parameters
    ----------
    loci : tuple of str
        L keys.
    locus, code : int array, shape (G,)
        Locus of each gene and the number that its alleles have there; 0 stands for all other alleles.
    copies : int array, shape (G,)
        As `GoalGene.copies`.
    looks : bool array, shape (G, 3, 3)
        Whether two numbers of copies look the same.
    linked : float array, shape (L,)
        Recombination fraction with the sex region; nan at an autosomal locus.
    male_is_hetero : bool
        Whether males are the heterogametic sex.
    deaths : float array, shape (L, codes, codes)
        Chance that a young with two such alleles dies of it.
    two_die : bool array, shape (G,)
        Whether two carriers of a gene are never paired.
    codes : tuple of mapping of str to int
        For each locus, allele keys that count as a gene of the target.
    """

    loci: tuple[str, ...]
    locus: IntArray
    code: IntArray
    copies: IntArray
    looks: BoolArray
    linked: FloatArray
    male_is_hetero: bool
    deaths: FloatArray
    two_die: BoolArray
    codes: tuple[dict[str, int], ...]

    @property
    def refused(self) -> BoolArray:
        """Genes that must not be there, shape (G,)."""
        found: BoolArray = self.copies == 0
        return found


@dataclass(frozen=True, eq=False)
class Setting:
    """Everything that stays the same in all runs.

    Parameters
    ----------
    names : tuple of str
        Ids of the A animals at hand.
    genes : Genes
        What is asked about.
    moves : tuple of Move
        Steps, the goal first.
    groups : tuple of Group
        What is kept, what is nearest to the goal first.
    made : tuple of Made
        Crosses of season 0 that are made.
    is_male : bool array, shape (S,)
        Sex of each slot.
    usable : bool array, shape (A,)
        Whether an animal at hand may be put to another; a parent of a cross that is made may only be there for that.
    ready, cap : int array, shape (S,)
        First season, and clutches in a season (of a bred slot the ordinary cap).
    lays, lays_first : float array, shape (S,)
        Chance of a clutch of a paired female; first: in her first season.
    law : int array, shape (S,)
        Row of the laws of each female.
    eggs_up_to, young_up_to : float array, shape (n_laws, most + 1)
        Cumulated chances of numbers of eggs and young.
    belief : float32 array, shape (A, G, 3)
        Chances of no, one and two copies as the keeper knows them.
    phase : float array, shape (A, L)
        Chance that the second allele of a sorted pair is on the sex-limited chromosome.
    kinship : float32 array, shape (A, A)
    share : float32 array, shape (A,)
    size_mean, size_sd : float array, shape (A,)
        Breeding value of ln adult mass.
    additive_sd, environment_sd : float
        As of `Breeding`; 0 where size is not followed.
    size_low, size_high : float
        Band of ln(adult mass / ordinary) wished; (-inf, inf) where none.
    bigger : bool
        Whether bigger is better.
    matures : (int, int)
        Seasons from hatching to first own young of females and of males.
    lives : (float, float)
        Chance of living through the first year, and through any other.
    sexes_told : bool
        Whether sex is known when young are chosen.
    things : uint64 array
        Number of everything that luck belongs to.
    slot_words : uint64 array, shape (S,)
        The same for each slot.
    limits : Limits
    costs : Costs
    number : int
        Goal animals wanted.
    seasons : int
        Seasons played at most.
    wished : int
        Season by which the goal is wished.
    map_lengths, map_weights : float array, shape (c,)
        Chromosomes in Morgan and parts of the whole; empty where segments are not followed.
    """

    names: tuple[str, ...]
    genes: Genes
    moves: tuple[Move, ...]
    groups: tuple[Group, ...]
    made: tuple[Made, ...]
    is_male: BoolArray
    usable: BoolArray
    ready: IntArray
    cap: IntArray
    lays: FloatArray
    lays_first: FloatArray
    law: IntArray
    eggs_up_to: FloatArray
    young_up_to: FloatArray
    belief: npt.NDArray[np.float32]
    phase: FloatArray
    kinship: npt.NDArray[np.float32]
    share: npt.NDArray[np.float32]
    size_mean: FloatArray
    size_sd: FloatArray
    additive_sd: float
    environment_sd: float
    size_low: float
    size_high: float
    bigger: bool
    matures: tuple[int, int]
    lives: tuple[float, float]
    sexes_told: bool
    things: npt.NDArray[np.uint64]
    slot_words: npt.NDArray[np.uint64]
    limits: Limits
    costs: Costs
    number: int
    seasons: int
    wished: int
    map_lengths: FloatArray
    map_weights: FloatArray

    @property
    def n_slots(self) -> int:
        """Number of slots."""
        return len(self.is_male)

    @property
    def n_steps(self) -> int:
        """Number of steps of the plan."""
        return len(self.moves)

    @property
    def n_hand(self) -> int:
        """Number of animals at hand."""
        return len(self.names)

    @property
    def selects_size(self) -> bool:
        """Whether young are chosen by size too."""
        return self.additive_sd > 0.0 and (self.bigger or self.size_low > -np.inf or self.size_high < np.inf)
