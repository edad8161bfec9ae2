"""Eggs in their boxes since 2024: where they lay, what candling showed, when each ended, and how warm it was."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import season_2026
from barn import Barn, Nest, Oval
from chance import Chance
from plan import END, YOUNG_IN_EGG

from holdback.collection.housing import Place
from holdback.collection.model import Egg, EggLook, EggOutcome, EggState, PartialDate, Temperature

FIRST_YEAR = 2024
"""Before it nobody wrote of boxes."""

OLD, NEW = "egg room / incubator 2", "egg room / incubator 1"
BOX_OF = {
    "24-01": f"{NEW} / box 1",
    "24-03": f"{NEW} / box 2",
    "24-04": f"{NEW} / box 3",
    "24-05": f"{NEW} / box 4",
    "24-06": f"{OLD} / box 1",
    "24-08": f"{OLD} / box 2",
    "24-07": f"{NEW} / box 1",
    "25-01": f"{NEW} / box 1",
    "25-02": f"{NEW} / box 2",
    "25-03": f"{NEW} / box 3",
    "25-04": f"{NEW} / box 4",
    "25-05": f"{OLD} / box 1",
    "25-10": f"{OLD} / box 2",
    "26-01": f"{NEW} / box 1",
    "26-02": f"{NEW} / box 2",
}
SPIKE = (dt.date(2025, 8, 11), 36.8)
"""Day and warmth at which the thermostat of the old incubator stuck."""
SET_ASIDE = {"25-10": "36.8 °C on 11 August 2025, the thermostat stuck"}

MEAN_C, SD_C = 30.9, 0.25
"""What the incubators hold; 59 days to hatching go with it."""
CANDLED = (7, 14, 30)
CAUSES = ("went mouldy", "dented and yellow", "dead at term")

PLACES = (
    Place("egg room", "room"),
    Place(NEW, "incubator", notes="Four boxes of nine eggs."),
    *(Place(f"{NEW} / box {number}", "box", 9) for number in (1, 2, 3, 4)),
    Place(OLD, "incubator", notes="Its thermostat stuck in August 2025.", closed=PartialDate(2025, 9, 1)),
    *(Place(f"{OLD} / box {number}", "box", closed=PartialDate(2025, 9, 1)) for number in (1, 2)),
)


def eggs(barn: Barn, wrong_dam: dict[str, str]) -> Iterator[Egg]:
    """Every egg of the clutches that were written down; some were not weighed."""
    for nest in barn.nests.values():
        for egg in nest.eggs if nest.recorded else ():
            clutch = nest.plan.id
            mass = egg.mass if Chance("egg scale", clutch).happens(0.75) else None
            animal = "" if egg.animal in wrong_dam else egg.animal or YOUNG_IN_EGG.get((clutch, egg.mark), "")
            ended, cause = _end(nest, egg, barn)
            yield Egg(
                clutch, egg.mark, mass, EggOutcome(egg.outcome), animal or None,
                BOX_OF.get(clutch, ""), _date(ended) if ended else None, cause,
            )  # fmt: skip
    for clutch, weighed in season_2026.EGGS.items():
        for number, (grams, outcome) in enumerate(weighed, start=1):
            day, cause = season_2026.LOST.get((clutch, str(number)), ("", ""))
            if outcome == "slug":
                day = _laid_2026(clutch).isoformat()
            ended_on = PartialDate.parse(day) if day else None
            yield Egg(
                clutch, str(number), float(grams), EggOutcome(outcome or "unknown"),
                None, BOX_OF[clutch], ended_on, cause,
            )  # fmt: skip


def _end(nest: Nest, egg: Oval, barn: Barn) -> tuple[dt.date | None, str]:
    """Day on which an egg ended, and why it was lost; nothing before boxes were written of."""
    laid = nest.plan.laid
    if laid.year < FIRST_YEAR:
        return None, ""
    if egg.outcome == "hatched":
        return barn.snakes[egg.animal].hatched, ""
    if egg.outcome == "slug":
        return laid, ""
    chance = Chance("lost", nest.plan.id, egg.mark)
    if (nest.plan.id, egg.mark) in YOUNG_IN_EGG:
        return nest.hatched + dt.timedelta(days=2), "dead at term, opened"
    if egg.genome is not None and egg.genome.dies:
        return laid + dt.timedelta(days=22 + chance.below(5)), "stopped growing"
    return laid + dt.timedelta(days=10 + chance.below(45)), chance.pick(CAUSES[:2])


def looks(barn: Barn) -> Iterator[EggLook]:
    """Candling on days 7, 14 and 30, and the look at which an egg was found lost."""
    for nest in barn.nests.values():
        if nest.recorded and nest.plan.laid.year >= FIRST_YEAR:
            for egg in nest.eggs:
                ended, _ = _end(nest, egg, barn)
                assert ended is not None, "eggs of these years have an end"
                clutch = nest.plan.id
                yield from _looks_at(clutch, egg.mark, egg.outcome, nest.plan.laid, ended, Chance("look", clutch))
    for clutch, weighed in season_2026.EGGS.items():
        laid = _laid_2026(clutch)
        for number, (_, outcome) in enumerate(weighed, start=1):
            lost = season_2026.LOST.get((clutch, str(number)))
            ended = dt.date.fromisoformat(lost[0]) if lost else END
            yield from _looks_at(clutch, str(number), outcome, laid, ended, Chance("look", clutch))


def _looks_at(clutch: str, mark: str, outcome: str, laid: dt.date, ended: dt.date, chance: Chance) -> Iterator[EggLook]:
    """Looks at one egg, oldest first."""
    if outcome == "slug":
        yield EggLook(clutch, mark, _date(laid), EggState.SLUG)
        return
    weak_from = season_2026.WEAK.get((clutch, mark), 99 if outcome != "died" else 14)
    for after in CANDLED:
        day = laid + dt.timedelta(days=after)
        if day < ended:
            is_weak = after >= weak_from
            yield EggLook(clutch, mark, _date(day), EggState.WEAK if is_weak else EggState.VEINS)
    if outcome == "died":
        yield EggLook(clutch, mark, _date(ended), EggState.LOST)


def temperatures(barn: Barn) -> Iterator[Temperature]:
    """One reading a day of each incubator while eggs lay in it."""
    for place in (NEW, OLD):
        for day in sorted(_days_in_use(barn, place)):
            chance = Chance("warmth", place, day)
            celsius, note = round(chance.normal(MEAN_C, SD_C), 1), ""
            if place == OLD and day == SPIKE[0]:
                celsius, note = SPIKE[1], "in the evening; the lid was opened at once"
            yield Temperature(place, _date(day), celsius, "20:00" if note else "08:00", note)


def _days_in_use(barn: Barn, place: str) -> set[dt.date]:
    """Days on which eggs lay in a place."""
    days: set[dt.date] = set()
    for clutch, box in BOX_OF.items():
        if box.startswith(place):
            nest = barn.nests.get(clutch)
            first, last = (nest.plan.laid, nest.hatched) if nest else (_laid_2026(clutch), END)
            days.update(first + dt.timedelta(days=step) for step in range((last - first).days + 1))
    return days


def _laid_2026(clutch: str) -> dt.date:
    return next(dt.date.fromisoformat(laid) for name, _, _, laid in season_2026.CLUTCHES if name == clutch)


def _date(day: dt.date) -> PartialDate:
    return PartialDate(day.year, day.month, day.day)
