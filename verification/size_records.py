"""The records of a drawn collection as a keeper would have written them, and nothing of its truth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

import numpy as np
import numpy.typing as npt
from verification.size_growth import laying_change
from verification.size_herds import YEAR, Nest, SizeHerd, Snake
from verification.size_scenarios import Hatched, Keeping, Laying

from holdback.collection.collection import Collection
from holdback.collection.model import (
    Animal,
    Candidate,
    Clutch,
    Egg,
    EggOutcome,
    Event,
    LineClaim,
    Measurement,
    Origin,
    PartialDate,
    Records,
    Sex,
    Trait,
)

FloatArray = npt.NDArray[np.float64]

LINES = ("Alder", "Brack")
ROOMS = ("Long room", "Stone room")
GROWN = 2.2 * YEAR
FAR_OFF = 5.0
"""A careless weight is off by so many of the usual deviations."""
STRUCK = 0.3
"""Of the grown animals without young, the part struck from the records where small ones are."""


@dataclass
class _Book:
    """Rows while they are written."""

    measurements: list[Measurement] = field(default_factory=list)
    events: list[Event] = field(default_factory=list)


def written(made: SizeHerd, seed: np.random.SeedSequence) -> Collection:
    """Collection of the records of a herd."""
    rng = np.random.default_rng(seed)
    struck = _struck(made)
    kept = [one for one in made.snakes.values() if one.id not in struck]
    book = _Book()
    for snake in kept:
        _weigh(made, snake, book, rng)
        if made.scenario.room and made.scenario.room_on_record:
            book.events.append(Event(snake.id, _day(snake.arrives), "moved", note=ROOMS[snake.room]))
    nests = {nest.id: nest for nest in made.nests}
    records = Records(
        animals=tuple(_animal(made, one, nests, is_unsexed=_is_unsexed(one, rng)) for one in kept),
        lines=tuple(
            LineClaim(one.id, LINES[one.line], 1.0, 1.0, "said by the seller") for one in kept if one.line >= 0
        ),
        measurements=tuple(book.measurements),
        clutches=tuple(_clutch(made, nest) for nest in made.nests),
        eggs=tuple(_eggs(made, struck, rng)),
        events=tuple(book.events),
    )
    return Collection.from_records(records)


def _struck(made: SizeHerd) -> set[str]:
    """Ids of small grown animals without young whose records are not kept."""
    if made.scenario.keeping is not Keeping.NO_SMALL:
        return set()
    parents = {parent for one in made.snakes.values() for parent in (one.sire, one.dam)}
    named = parents | {sire for nest in made.nests for sire, _ in nest.sires}
    grown = [one for one in made.snakes.values() if one.leaves == np.inf and made.end - one.hatched > GROWN]
    small: set[str] = set()
    for sex in (Sex.MALE, Sex.FEMALE):
        of_sex = sorted((one for one in grown if one.sex is sex), key=made.adult)
        small |= {one.id for one in of_sex[: round(STRUCK * len(of_sex))]}
    return small - named


def _weigh(made: SizeHerd, snake: Snake, book: _Book, rng: np.random.Generator) -> None:
    """Write down the weights of an animal, and its head where heads are measured."""
    days = np.array(list(_days(made, snake, rng)))
    if not len(days):
        return
    noise = rng.normal(0.0, made.scenario.noise, len(days))
    noise *= np.where(rng.random(len(days)) < made.scenario.wild_noise, FAR_OFF, 1.0)
    change, codes = _laying(made, snake, days)
    masses = np.exp(made.log_mass(snake, days) + change + noise)
    for day, mass, code in zip(days.tolist(), masses.tolist(), codes, strict=True):
        book.measurements.append(Measurement(snake.id, _day(day), Trait.MASS, max(1.0, round(mass)), "g", code))
    age = days[-1] - snake.hatched
    if made.scenario.heads and age > GROWN and rng.random() < 0.5:
        mass = made.log_mass(snake, days[-1:])[0]
        width = np.log(2.4) + 0.3 * (mass - np.log(1200.0)) + made.head_effect * snake.shares[0]
        width += rng.normal(0.0, 0.03) + rng.normal(0.0, 0.02)
        value = round(float(np.exp(width)), 2)
        book.measurements.append(Measurement(snake.id, _day(days[-1]), Trait.HEAD_WIDTH, value, "cm"))


def _days(made: SizeHerd, snake: Snake, rng: np.random.Generator) -> Iterator[float]:
    """Days on which an animal is weighed: often while young, once or twice if it is sold soon."""
    last = min(snake.leaves, made.end)
    day = snake.arrives + float(rng.integers(2, 10))
    if snake.leaves - snake.hatched < 140.0:
        if day <= last:
            yield day
        if rng.random() < 0.5 and last > day + 20.0:
            yield np.floor(last)
        return
    while day <= last:
        yield day
        age = day - snake.hatched
        day += np.ceil(rng.uniform(0.6, 1.4) * (30.0 if age < 200.0 else 50.0 if age < 800.0 else 75.0))


def _laying(made: SizeHerd, snake: Snake, days: FloatArray) -> tuple[FloatArray, list[str]]:
    """What laying changes in the log mass on some days, and the condition written down."""
    change = np.zeros(len(days))
    is_before = np.zeros(len(days), dtype=np.bool_)
    for laid in made.layings.get(snake.id, ()):
        here = laying_change(days - laid)
        is_before |= (here != 0.0) & (days < laid)
        change = np.where(here != 0.0, here, change)
    if made.scenario.laying is not Laying.CODES:
        return change, [""] * len(days)
    usual = "empty" if snake.sex is Sex.FEMALE else ""
    codes = np.where(change == 0.0, usual, np.where(is_before, "gravid", "after laying"))
    return change, codes.tolist()


def _is_unsexed(snake: Snake, rng: np.random.Generator) -> bool:
    """Whether nobody looked: one in twenty of the young sold soon."""
    return snake.leaves - snake.hatched < 140.0 and bool(rng.random() < 0.05)


def _animal(made: SizeHerd, snake: Snake, nests: dict[str, Nest], *, is_unsexed: bool) -> Animal:
    known = made.scenario.hatched
    hatched: PartialDate | None = _day(snake.hatched)
    if hatched and known is Hatched.YEAR:
        hatched = PartialDate(hatched.year)
    if known is Hatched.WILD and not snake.clutch:
        hatched = None
    origin = Origin.WILD_CAUGHT if hatched is None else Origin.CAPTIVE_BRED
    sires = tuple(Candidate(*one) for one in nests[snake.clutch].sires) if snake.clutch else ()
    return Animal(
        snake.id, sex=Sex.UNKNOWN if is_unsexed else snake.sex, hatched=hatched, origin=origin, sires=sires,
        dam=snake.dam or None, clutch=snake.clutch or None, status="breeder" if snake.leaves == np.inf else "sold",
    )  # fmt: skip


def _clutch(made: SizeHerd, nest: Nest) -> Clutch:
    laid = None if made.scenario.laying is Laying.NOTHING or made.scenario.hatched is Hatched.YEAR else _day(nest.laid)
    return Clutch(
        nest.id, dam=nest.dam, sires=tuple(Candidate(*one) for one in nest.sires), laid=laid, eggs=nest.eggs, slugs=0
    )  # fmt: skip


def _eggs(made: SizeHerd, struck: set[str], rng: np.random.Generator) -> Iterator[Egg]:
    """Eggs that hatched; of a third of the clutches none was weighed."""
    is_weighed = {nest.id: bool(rng.random() < 0.67) for nest in made.nests}
    for snake in made.snakes.values():
        if snake.clutch and snake.id not in struck:
            mass = round(snake.egg_g, 1) if is_weighed[snake.clutch] else None
            yield Egg(snake.clutch, snake.id, mass, EggOutcome.HATCHED, snake.id)


def _day(day: float) -> PartialDate:
    on = date.fromordinal(int(day))
    return PartialDate(on.year, on.month, on.day)
