"""From a stock and a plan to the arrays of a rehearsal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.decisions.goal import SizeAim, SizeWish, Target
from holdback.decisions.kinds import SURE
from holdback.decisions.rehearsal.luck import number_of
from holdback.decisions.rehearsal.setting import (
    BoolArray,
    Costs,
    FloatArray,
    Group,
    Level,
    Limits,
    Made,
    Move,
    Setting,
    Side,
)
from holdback.decisions.rehearsal.stand_ins import Source, StandIns
from holdback.decisions.rehearsal.target_genes import belief_of, genes_of
from holdback.decisions.steps import Kind, Plan, Step
from holdback.decisions.steps import Side as PlanSide
from holdback.decisions.stock import NEVER, Stock
from holdback.descent.genome import GenomeMap
from holdback.errors import DecisionError, Fault
from holdback.season.outlook import CountLaw
from holdback.species.catalogue import Catalogue

_SEXES = (Sex.MALE, Sex.FEMALE)


@dataclass(frozen=True, slots=True)
class Rules:
    """How a plan is to be played.

    Parameters
    ----------
    seasons : int
        Seasons played at most.
    wished : int
        Season by which the goal is wished.
    number : int
        Goal animals wanted.
    limits, costs
        Limits and prices.
    size : SizeWish
        Wish for size.
    ordinary_g : float
        Adult mass in gram that a breeding value of 0 stands for; nan where nobody said: then a band is not followed.
    """

    seasons: int
    wished: int
    number: int = 1
    limits: Limits = field(default_factory=Limits)
    costs: Costs = field(default_factory=Costs)
    size: SizeWish = field(default_factory=SizeWish)
    ordinary_g: float = float("nan")


def setting_of(
    stock: Stock, plan: Plan, rules: Rules, *, catalogue: Catalogue | None = None, genome: GenomeMap | None = None
) -> Setting:
    """Arrays of a rehearsal.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    plan : Plan
        What to play.
    rules : Rules
        How to play it.
    catalogue : Catalogue, optional
        For sex linkage and for genes of which young die; without it there is neither.
    genome : GenomeMap, optional
        Follow the segments of the line too.

    Raises
    ------
    DecisionError
        DEC-070 if a plan has no step that is the goal, DEC-071 if it names an animal that is not at hand.
    """
    _checked(stock, plan)
    return _Layout(stock, plan, rules, catalogue, genome).setting()


def _checked(stock: Stock, plan: Plan) -> None:
    faults = []
    if not any(step.is_goal for step in plan.steps):
        faults.append(
            Fault("DEC-070", "The plan has no step whose young are the goal.", "Give a plan that ends with the goal.")
        )
    here = set(stock.animals)
    for step in plan.steps:
        for animal in (*step.sire.animals, *step.dam.animals):
            if animal not in here:
                what = f"Step {step.number + 1} of the plan names {animal}, which is not among the animals at hand."
                faults.append(Fault("DEC-071", what, "Plan anew, or take the animal in.", animal=animal))
    if faults:
        raise DecisionError(*faults)


class _Layout:
    """Slots, groups and steps in the making."""

    def __init__(
        self, stock: Stock, plan: Plan, rules: Rules, catalogue: Catalogue | None, genome: GenomeMap | None
    ) -> None:
        self.stock, self.plan, self.rules, self.catalogue = stock, plan, rules, catalogue
        self.genome = genome if plan.target.line else None
        self.stand_ins = StandIns(stock, plan, rules.limits.inbreeding)
        self.target = plan.target
        self.genes = genes_of(plan.target, catalogue)
        self.named = tuple(dict.fromkeys(one for step in plan.steps for one in self._animals(step)))
        parents = [one for made in stock.under_way for one in (made.dam, *(sire for sire, _ in made.sires))]
        self.names = tuple(dict.fromkeys((*self.named, *parents)))
        self.things: list[str] = []
        self.laws: dict[int, tuple[int, tuple[CountLaw, CountLaw]]] = {}
        self.groups = tuple(self._groups())
        self.is_male = np.array(
            [self._sex(name) is Sex.MALE for name in self.names]
            + [group.sex is Sex.MALE for group in self.groups for _ in range(group.count)],
            dtype=np.bool_,
        )

    def _animals(self, step: Step) -> Iterator[str]:
        for side, sex in ((step.sire, Sex.MALE), (step.dam, Sex.FEMALE)):
            yield from self._at_hand(side, sex)

    def _at_hand(self, side: PlanSide, sex: Sex) -> tuple[str, ...]:
        """Animals at hand that a side counts on: those named, else any that will do where none is to be bred."""
        if side.animals or side.step is not None:
            return side.animals
        level = _level(side.kind, self.target)
        return tuple(
            self.stock.animals[place]
            for place in self.stock.of_sex(sex)
            if _will_do(belief_of(self.stock, self.stock.animals[place], self.target), level, self.genes.refused)
        )

    def _sex(self, name: str) -> Sex:
        if name in self.stock.animals:
            return self.stock.sexes[self.stock.index(name)]
        return Sex.FEMALE if name in {made.dam for made in self.stock.under_way} else Sex.MALE

    def _groups(self) -> Iterator[Group]:
        """What is kept, nearest to the goal first."""
        first = len(self.names)
        for step in reversed(self.plan.steps):
            wanted = [] if step.is_goal else [(step.keep, sex, step.count, True) for sex in self._sexes(step)]
            wanted += [(kind, sex, 1, False) for kind in step.also for sex in _sexes_of(kind)]
            for kind, sex, count, opens in wanted:
                yield Group(_level(kind, self.target), sex, step.number, first, count, opens, self._bred_by(step))
                first += count

    def _bred_by(self, step: Step) -> BoolArray:
        """Steps whose young may be kept for a step."""
        found = np.ones(len(self.plan.steps) + 1, dtype=np.bool_)
        for other in self.plan.steps:
            found[other.number] = self.stand_ins.may_be_kept(step.number, other.number)
        return found

    def _sexes(self, step: Step) -> tuple[Sex, ...]:
        """Sexes that a step is to give: its own, and those that later steps take from it."""
        found = {step.keep.sex} - {Sex.UNKNOWN}
        for later in self.plan.steps:
            found |= {Sex.MALE} if later.sire.step == step.number else set()
            found |= {Sex.FEMALE} if later.dam.step == step.number else set()
        return tuple(sex for sex in _SEXES if sex in found) or _SEXES

    def thing(self, name: str) -> int:
        """Column of what luck belongs to."""
        if name not in self.things:
            self.things.append(name)
        return self.things.index(name)

    def law(self, eggs: CountLaw, young: CountLaw) -> int:
        """Row of a pair of laws."""
        return self.laws.setdefault(id(young), (len(self.laws), (eggs, young)))[0]

    def moves(self) -> tuple[Move, ...]:
        """Steps, the goal first."""
        return tuple(
            Move(
                number=step.number,
                sire=self._side(step, step.sire, Sex.MALE),
                dam=self._side(step, step.dam, Sex.FEMALE),
                first_season=step.first_season,
                thing=self.thing(_thing(step)),
                keep=_level(self._asked(step), self.target),
                sex=self._goal_sex(step) if step.is_goal else Sex.UNKNOWN,
                is_goal=step.is_goal,
            )
            for step in reversed(self.plan.steps)
        )

    def _asked(self, step: Step) -> Kind:
        """What a step is to give; of the goal also the share that the target asks for."""
        return replace(step.keep, share=max(step.keep.share, self.target.share)) if step.is_goal else step.keep

    def _goal_sex(self, step: Step) -> Sex:
        return self.target.sex if self.target.sex is not Sex.UNKNOWN else step.keep.sex

    def _side(self, step: Step, side: PlanSide, sex: Sex) -> Side:
        counted = [self.names.index(one) for one in self._at_hand(side, sex)]
        own = [
            slot
            for group in self.groups
            if side.step is not None and group.step == side.step and group.sex is sex and group.opens
            for slot in range(group.first, group.first + group.count)
        ]
        others = [
            slot
            for slot in np.flatnonzero(self.is_male == (sex is Sex.MALE)).tolist()
            if slot not in counted and slot not in own and (slot >= len(self.names) or self.names[slot] in self.named)
        ]
        others = [slot for slot in others if self.stand_ins.will_do(step.number, sex, self._source(slot))]
        slots = np.array([*own, *counted, *others], np.int64)
        return Side(
            slots=slots,
            level=_level(side.kind, self.target),
            counted_on=np.isin(slots, counted),
            own=np.isin(slots, own),
            step=-1 if side.step is None else side.step,
        )

    def _source(self, slot: int) -> Source:
        """Where the animal of a slot is from: at hand, or of which step."""
        if slot < len(self.names):
            return (self.names[slot],)
        return next(group.step for group in self.groups if group.first <= slot < group.first + group.count)

    def made(self) -> tuple[Made, ...]:
        """Crosses that are made."""
        found = []
        for one in self.stock.under_way:
            chances = np.array([chance for _, chance in one.sires] + [1.0])
            up_to = np.minimum(np.cumsum(chances), 1.0)
            up_to[-1] = 1.0
            sires = np.array([*(self.names.index(sire) for sire, _ in one.sires), -1], np.int64)
            thing = self.thing(f"under way {one.dam}")
            found.append(Made(self.names.index(one.dam), sires, up_to, self.law(one.eggs, one.young), thing))
        return tuple(found)

    def setting(self) -> Setting:
        """All of it."""
        rules, breeding = self.rules, self.stock.breeding
        moves, made = self.moves(), self.made()
        hand, n_bred = self._hand(), len(self.is_male) - len(self.names)
        bred_law = self.law(breeding.eggs, breeding.young)
        eggs, young = (_up_to(laws) for laws in zip(*(both for _, both in self.laws.values()), strict=True))
        low, high = _band(rules)
        return Setting(
            names=self.names,
            genes=self.genes,
            moves=moves,
            groups=self.groups,
            made=made,
            is_male=self.is_male,
            usable=np.array([name in self.named for name in self.names], dtype=np.bool_),
            ready=np.array([one.ready for one in hand] + [NEVER] * n_bred, np.int64),
            cap=np.array([one.cap for one in hand] + [breeding.male_clutches] * n_bred, np.int64),
            lays=np.array([one.lays for one in hand] + [breeding.lays] * n_bred),
            lays_first=np.array([one.lays for one in hand] + [breeding.lays_first] * n_bred),
            law=np.array([one.law for one in hand] + [bred_law] * n_bred, np.int64),
            eggs_up_to=eggs,
            young_up_to=young,
            belief=np.array([one.belief for one in hand], np.float32).reshape(len(hand), -1, 3),
            phase=np.array([one.phase for one in hand]).reshape(len(hand), -1),
            kinship=self._kinship(),
            share=np.array([one.share for one in hand], np.float32),
            size_mean=np.array([one.size_mean for one in hand]),
            size_sd=np.array([one.size_sd for one in hand]),
            additive_sd=breeding.additive_sd,
            environment_sd=breeding.environment_sd,
            size_low=low,
            size_high=high,
            bigger=rules.size.aim is SizeAim.BIGGER,
            matures=(breeding.female_matures, breeding.male_matures),
            lives=(breeding.young_lives, breeding.adult_lives),
            sexes_told=breeding.sexes_told,
            things=np.array([number_of(name) for name in self.things], np.uint64),
            slot_words=self._slot_words(),
            limits=rules.limits,
            costs=rules.costs,
            number=rules.number,
            seasons=rules.seasons,
            wished=min(rules.wished, rules.seasons - 1),
            map_lengths=np.array(self.genome.lengths if self.genome else ()),
            map_weights=np.array(self.genome.weights if self.genome else ()),
        )

    def _hand(self) -> list[_Hand]:
        return [self._of(name) for name in self.names]

    def _of(self, name: str) -> _Hand:
        stock, target = self.stock, self.target
        belief = belief_of(stock, name, target)
        phase = [stock.genes.phase(name, locus) for locus in self.genes.loci]
        if name not in stock.animals:
            return _Hand(NEVER, 0, 0.0, 0, belief, phase, 0.0, 0.0, stock.breeding.additive_sd)
        place = stock.index(name)
        is_male = stock.sexes[place] is Sex.MALE
        share = stock.shares.get(target.line)
        mean, sd = float(stock.size_mean[place]), float(stock.size_sd[place])
        return _Hand(
            ready=int(stock.ready[place]),
            cap=int(stock.clutches[place]),
            lays=0.0 if is_male else float(stock.lays[place]),
            law=0 if is_male else self.law(stock.eggs[place], stock.young[place]),
            belief=belief,
            phase=phase,
            share=0.0 if share is None else float(share[place]),
            size_mean=0.0 if np.isnan(mean) else mean,
            size_sd=stock.breeding.additive_sd if np.isnan(sd) else sd,
        )

    def _kinship(self) -> npt.NDArray[np.float32]:
        found = np.diag(np.full(len(self.names), 0.5, np.float32))
        for row, one in enumerate(self.names):
            for column, other in enumerate(self.names):
                if one in self.stock.animals and other in self.stock.animals:
                    found[row, column] = self.stock.kinship[self.stock.index(one), self.stock.index(other)]
        return found

    def _slot_words(self) -> npt.NDArray[np.uint64]:
        """Number of each slot: of an animal its name, of a young what it is kept for and its place there."""
        things = [f"animal {name}" for name in self.names]
        steps = {step.number: step for step in self.plan.steps}
        for group in self.groups:
            what = f"{_thing(steps[group.step])} {group.sex.value} {group.opens}"
            things += [f"{what} {number}" for number in range(group.count)]
        return np.array([number_of(thing) for thing in things], np.uint64)


@dataclass(frozen=True, slots=True)
class _Hand:
    """One animal at hand; fields as those of `Setting`."""

    ready: int
    cap: int
    lays: float
    law: int
    belief: FloatArray
    phase: Sequence[float]
    share: float
    size_mean: float
    size_sd: float


def _thing(step: Step) -> str:
    """What the luck of a step belongs to: the goal, or the kind of young that it is to give."""
    if step.is_goal:
        return "goal"
    levels = ", ".join(f"{one:.2f} {two:.2f}" for one, two in step.keep.genes)
    return f"young {levels} share {round(8 * step.keep.share)}"


def _sexes_of(kind: Kind) -> tuple[Sex, ...]:
    return _SEXES if kind.sex is Sex.UNKNOWN else (kind.sex,)


def _level(kind: Kind, target: Target) -> Level:
    return Level(np.array(kind.genes, np.float32).reshape(-1, 2), kind.share if target.line else 0.0)


def _will_do(belief: FloatArray, level: Level, refused: BoolArray) -> bool:
    one = np.where(refused, belief[:, 0], 1.0 - belief[:, 0])
    return bool((one >= level.least[:, 0] - SURE).all() and (belief[:, 2] >= level.least[:, 1] - SURE).all())


def _up_to(laws: Sequence[CountLaw]) -> FloatArray:
    """Cumulated chances, one law a row."""
    most = max(len(law.chances) for law in laws)
    found = np.ones((len(laws), most))
    for row, law in enumerate(laws):
        found[row, : len(law.chances)] = np.cumsum(law.chances)
    found[found > 1.0 - 1e-12] = 1.0
    return found


def _band(rules: Rules) -> tuple[float, float]:
    """Band of ln(adult mass / ordinary) that is wished."""
    if rules.size.aim is not SizeAim.BAND or np.isnan(rules.ordinary_g):
        return -np.inf, np.inf
    with np.errstate(divide="ignore"):
        low, high = np.log(np.array([rules.size.low_g, rules.size.high_g]) / rules.ordinary_g)
    return float(low), float(high)
