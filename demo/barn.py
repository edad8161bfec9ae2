"""Founders and clutches come to life: true genomes, eggs, hatchlings, and who stays."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field

from chance import Chance
from genome import Genome, founder, young
from plan import BOUGHT, CLUTCHES, END, WITH_DEFECT, YOUNG_IN_EGG, Keep, Laid


@dataclass
class Snake:
    """One animal: what it truly is, and what was written."""

    id: str
    name: str
    genome: Genome
    origin: str
    hatched: dt.date
    """True or, for founders, assumed day of hatching; sizes go by it."""
    written_hatched: str
    written_sex: str
    status: str
    notes: str = ""
    dam: str = ""
    sire: str = ""
    clutch: str = ""
    egg_mass: float = 90.0
    kept: bool = True
    left: dt.date | None = None
    arrived: dt.date | None = None
    """Day it came, where that lies after the racks were built."""
    written_genes: str = ""
    hets: dict[str, float] = field(default_factory=dict)
    """Chance of one copy that the keeper counts on, by recessive allele; 2 is shown."""

    @property
    def last_day(self) -> dt.date:
        """Last day it was in the barn."""
        return self.left or END


@dataclass
class Oval:
    """One egg."""

    mark: str
    mass: float
    outcome: str
    genome: Genome | None = None
    animal: str = ""


@dataclass
class Nest:
    """A clutch with its eggs."""

    plan: Laid
    eggs: list[Oval]
    hatched: dt.date
    recorded: bool = True


@dataclass
class Barn:
    """Everything, by id."""

    snakes: dict[str, Snake] = field(default_factory=dict)
    nests: dict[str, Nest] = field(default_factory=dict)


def barn() -> Barn:
    """The barn at the end of the records."""
    everything = Barn()
    for bought in BOUGHT:
        year = bought.hatched[:4] or str(2000 + int(bought.id[:2]) - 3)
        month = int(bought.hatched[5:7] or 7)
        everything.snakes[bought.id] = Snake(
            bought.id,
            bought.name,
            founder(bought.sex, bought.genes, of_line=bought.of_line, chance=Chance("founder", bought.id)),
            bought.origin,
            dt.date(int(year), month, 15),
            bought.hatched,
            bought.sex,
            bought.status,
            bought.notes,
            arrived=dt.date.fromisoformat(bought.arrived) if bought.arrived else None,
            written_genes=bought.written,
        )
    for plan in CLUTCHES:
        _lay(plan, everything)
    return everything


def _lay(plan: Laid, barn: Barn) -> None:
    """Draw a clutch until it holds what the story asks for, then hatch it."""
    attempt = 0
    while True:
        chance = Chance("clutch", plan.id, attempt)
        eggs = _eggs(plan, barn, chance)
        chosen = _chosen(plan, eggs)
        if chosen is not None:
            break
        attempt += 1
    hatched = plan.laid + dt.timedelta(days=57 + chance.below(5) if plan.id != "22-04" else 60)
    barn.nests[plan.id] = Nest(plan, eggs, hatched, recorded=not plan.only_kept)
    for egg in eggs:
        if (plan.id, egg.mark) in YOUNG_IN_EGG:
            snake = _dead_in_egg(egg, plan, hatched)
            barn.snakes[snake.id] = snake
        if egg.genome is None or egg.outcome != "hatched":
            continue
        keep = chosen.get(egg.mark)
        if keep is None and plan.only_kept:
            continue
        snake = _hatchling(egg, keep, plan, hatched)
        egg.animal = snake.id
        barn.snakes[snake.id] = snake


def _eggs(plan: Laid, barn: Barn, chance: Chance) -> list[Oval]:
    """Eggs of one clutch: about one slug in ten, and one good egg in nine that dies."""
    dam = barn.snakes[plan.dam].genome
    sire = None if plan.sire == "none" else barn.snakes[plan.sire].genome
    size = 88 * 2.718281828 ** (0.45 * dam.size)
    eggs = []
    for number in range(1, (plan.eggs or 5 + chance.below(3)) + 1):
        mass = round(chance.normal(size, 0.06 * size))
        if chance.happens(0.3 if sire is None else 0.09):
            eggs.append(Oval(str(number), round(0.6 * mass), "slug"))
            continue
        genome = young(dam, sire, chance)
        died = genome.dies or chance.happens(0.11)
        eggs.append(Oval(str(number), mass, "died" if died else "hatched", genome))
    return eggs


def _chosen(plan: Laid, eggs: list[Oval]) -> dict[str, Keep] | None:
    """Egg to the young that was kept, or None if the clutch does not hold them all."""
    alive = {egg.mark: egg.genome for egg in eggs if egg.genome is not None and egg.outcome == "hatched"}
    for mark, needs in plan.needs.items():
        if mark not in alive or not _meets(alive[mark], needs):
            return None
    chosen: dict[str, Keep] = {}
    for keep in plan.keep:
        fit = [
            mark
            for mark, genome in alive.items()
            if mark not in chosen and genome.sex == keep.sex and _meets(genome, keep.needs)
        ]
        if keep.id == "22-11":
            fit = [mark for mark in fit if mark == "3"]
        if not fit:
            return None
        chosen[fit[0]] = keep
    return chosen if alive else None


def _meets(genome: Genome, needs: str) -> bool:
    """Whether an animal has what is asked for."""
    return all(genome.copies(allele) == int(count) for allele, count in _pairs(needs))


def _pairs(needs: str) -> Iterator[tuple[str, str]]:
    for word in needs.split():
        allele, _, count = word.partition("=")
        yield allele, count


def _dead_in_egg(egg: Oval, plan: Laid, hatched: dt.date) -> Snake:
    """Young that died in the egg, opened two days after the others came out; it was never weighed."""
    assert egg.genome is not None, "a slug holds no young"
    return Snake(
        YOUNG_IN_EGG[plan.id, egg.mark], "", egg.genome, "captive bred", hatched + dt.timedelta(days=2), "", "unknown",
        "died in egg", "Dead at term, opened.",
        dam=plan.dam, sire=plan.sire, clutch=plan.id, egg_mass=egg.mass, kept=False, left=hatched,
    )  # fmt: skip


def _hatchling(egg: Oval, keep: Keep | None, plan: Laid, hatched: dt.date) -> Snake:
    """Animal from an egg, with what was written of it at first."""
    assert egg.genome is not None, "a slug does not hatch"
    identity = keep.id if keep else f"{plan.id}-{egg.mark}"
    chance = Chance("hatchling", identity)
    day = hatched + dt.timedelta(days=0 if keep and keep.id == "22-11" else chance.below(3))
    sex = egg.genome.sex
    left, status, notes = None, keep.status if keep else "sold", keep.notes if keep else ""
    if keep is None:
        left = day + dt.timedelta(days=60 + chance.below(120))
        if day.year == 2025 and chance.happens(0.4):
            left, status = None, "for sale"
        if chance.happens(0.04):
            left, status, notes = day + dt.timedelta(days=20 + chance.below(60)), "died", "Would not eat."
        elif chance.happens(0.02):
            sex, notes = ("male" if sex == "female" else "female"), "Popped once, not sure."
        elif chance.happens(0.25 if day.year == 2025 else 0.07):
            sex = "unknown"
    if identity == WITH_DEFECT:
        left, status = None, "holdback"
    written = day.isoformat() if not chance.happens(0.06) or keep else day.isoformat()[: 4 + 3 * chance.below(2)]
    name = keep.name if keep else ""
    return Snake(
        identity, name, egg.genome, "captive bred", day, written, sex, status, notes,
        dam=plan.dam, sire=plan.sire, clutch=plan.id, egg_mass=egg.mass, kept=keep is not None, left=left,
    )  # fmt: skip
