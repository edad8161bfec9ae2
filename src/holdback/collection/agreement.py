"""Checks between records: ids once, ids known, eggs that add up, dates in order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from holdback.collection.columns import TABLES
from holdback.collection.egg_looks import looks_faults
from holdback.collection.model import Animal, Candidate, Clutch, Egg, EggOutcome, PartialDate, Records
from holdback.collection.places import Places
from holdback.collection.projects import named_faults
from holdback.collection.status import lives
from holdback.errors import Fault


def agreement_faults(records: Records, places: Places) -> list[Fault]:
    """Everything in which records contradict each other, apart from parents of animals."""
    known = _Known(
        {animal.id: animal for animal in records.animals}, {clutch.id: clutch for clutch in records.clutches}
    )
    return [
        *_repeats(records, places),
        *_strangers(records, known, places),
        *_clutch_mates(records, known, places),
        *_tallies(records, places),
        *_hatchlings(records, known, places),
        *_orders(records, known, places),
        *looks_faults(records, places),
        *_never_out(records, places),
        *named_faults(records, places),
    ]


@dataclass(frozen=True, slots=True)
class _Known:
    """Animals and clutches by id."""

    animals: Mapping[str, Animal]
    clutches: Mapping[str, Clutch]


def _repeats(records: Records, places: Places) -> Iterator[Fault]:
    """Rows whose key stood before."""
    for table in TABLES:
        if not table.key:
            continue
        seen: dict[tuple[str, ...], int] = {}
        fields = [column.field for name in table.key for column in table.columns if column.name == name]
        for index, record in enumerate(getattr(records, table.name)):
            key = tuple(str(getattr(record, name)) for name in fields)
            first = seen.setdefault(key, index)
            if first == index or not all(key):
                continue
            lines = places.lines.get(table.name, ())
            before = f", first in line {lines[first]}" if lines else ""
            if table.key == ("id",):
                code, what = "COL-030", f"The id {key[0]} is used twice{before}."
                hint = "Give one of them an id of its own; a tub or a name is no id."
            else:
                code, what = "COL-042", f"{' '.join(key)} stands here again{before}."
                hint = "Leave one of the rows out, or correct what names it."
            animal = key[0] if table.name in ("animals", "lines", "origins") else ""
            yield places.fault(
                code, what, hint, row=(table.name, index), field=table.key[-1], value=key[-1], animal=animal
            )  # fmt: skip


def _strangers(records: Records, known: _Known, places: Places) -> Iterator[Fault]:
    """References to animals and clutches that are not there; parents are checked with the ancestry."""
    projects = {project.id: project for project in records.projects}
    ids: dict[str, Mapping[str, object]] = {
        "animals": known.animals,
        "clutches": known.clutches,
        "projects": projects,
    }
    for table in TABLES:
        columns = [column for column in table.columns if column.refers and column.name not in ("dam", "sire")]
        for index, record in enumerate(getattr(records, table.name)):
            for column in columns:
                value = getattr(record, column.field)
                if not value or value in ids[column.refers]:
                    continue
                what = f"{value} is not in {column.refers}.csv."
                hint = f"Add it there, or correct the {column.name}."
                animal = record.id if table.name == "animals" else getattr(record, "animal", "")
                yield places.fault(
                    "COL-032", what, hint, row=(table.name, index), field=column.name, value=value, animal=animal
                )  # fmt: skip


def _clutch_mates(records: Records, known: _Known, places: Places) -> Iterator[Fault]:
    """Animals whose dam is not the dam of their clutch, or that hatched before it was laid."""
    for index, animal in enumerate(records.animals):
        clutch = known.clutches.get(animal.clutch or "")
        if clutch is None:
            continue
        if animal.dam and clutch.dam and animal.dam != clutch.dam:
            what = f"The dam is {animal.dam}, and clutch {clutch.id} was laid by {clutch.dam}."
            hint = "Correct the dam or the clutch."
            yield places.fault(
                "COL-038", what, hint, row=("animals", index), field="dam", value=animal.dam, animal=animal.id
            )  # fmt: skip
        if _before(animal.hatched, clutch.laid):
            what = f"{animal.id} hatched {animal.hatched}, and clutch {clutch.id} was laid {clutch.laid}."
            yield places.fault(
                "COL-041", what, "Correct one date or the clutch.", row=("animals", index), field="hatched",
                value=animal.hatched, animal=animal.id,
            )  # fmt: skip


def _tallies(records: Records, places: Places) -> Iterator[Fault]:
    """Clutches whose eggs, slugs and hatchlings do not add up."""
    rows: Counter[str] = Counter()
    slugs: Counter[str] = Counter()
    hatched: Counter[str] = Counter()
    for egg in records.eggs:
        rows[egg.clutch] += 1
        slugs[egg.clutch] += egg.outcome is EggOutcome.SLUG
        hatched[egg.clutch] += egg.outcome is EggOutcome.HATCHED
    young = Counter(animal.clutch for animal in records.animals if animal.clutch)
    for index, clutch in enumerate(records.clutches):
        for field, what in _tally(clutch, (rows[clutch.id], slugs[clutch.id], hatched[clutch.id]), young[clutch.id]):
            hint = "Count again: eggs are all that were laid, slugs among them."
            value = getattr(clutch, field)
            yield places.fault("COL-039", what, hint, row=("clutches", index), field=field, value=value)


def _tally(clutch: Clutch, listed: tuple[int, int, int], young: int) -> Iterator[tuple[str, str]]:
    """Column and statement of each sum of one clutch that does not hold."""
    rows, slugs, hatched = listed
    eggs, counted_slugs = clutch.eggs, clutch.slugs
    if eggs is None or eggs < 0:
        return
    if counted_slugs is not None and counted_slugs > eggs:
        yield "slugs", f"{counted_slugs} slugs among {eggs} eggs cannot be."
        return
    good = eggs - (counted_slugs or 0)
    if rows > eggs:
        yield "eggs", f"eggs.csv lists {rows} eggs of clutch {clutch.id}, which has {eggs}."
    if counted_slugs is not None and slugs > counted_slugs:
        yield "slugs", f"eggs.csv lists {slugs} slugs of clutch {clutch.id}, which has {counted_slugs}."
    if max(hatched, young) > good:
        yield "eggs", f"{max(hatched, young)} young are of clutch {clutch.id}, which has {good} good eggs."


def _hatchlings(records: Records, known: _Known, places: Places) -> Iterator[Fault]:
    """Eggs that do not agree with their hatchling."""
    first: dict[str, Egg] = {}
    for index, egg in enumerate(records.eggs):
        if not egg.animal:
            continue
        row, animal = ("eggs", index), known.animals.get(egg.animal)
        problems = []
        if egg.outcome is EggOutcome.SLUG or (egg.outcome is EggOutcome.DIED and _came_out(animal)):
            problems.append(f"Egg {egg.egg} of {egg.clutch} is written as {egg.outcome}, and {egg.animal} came out.")
        if animal is not None and animal.clutch and animal.clutch != egg.clutch:
            problems.append(f"{egg.animal} is of clutch {animal.clutch}, and stands in an egg of {egg.clutch}.")
        if egg.animal in first:
            before = first[egg.animal]
            problems.append(f"{egg.animal} came out of egg {before.egg} of {before.clutch} already.")
        first.setdefault(egg.animal, egg)
        for what in problems:
            hint = "Correct the egg or the animal."
            yield places.fault("COL-040", what, hint, row=row, field="animal", value=egg.animal, animal=egg.animal)


def _came_out(animal: Animal | None) -> bool:
    """Whether an animal was seen outside its egg: a young that died in it does not live and has no day of hatching."""
    return animal is not None and (lives(animal.status) or animal.hatched is not None)


def _never_out(records: Records, places: Places) -> Iterator[Fault]:
    """Young that died in the egg, named as parents."""
    dead = {egg.animal for egg in records.eggs if egg.animal and egg.outcome is EggOutcome.DIED}
    if not dead:
        return
    named = [
        *(("animals", index, one.dam, one.sires) for index, one in enumerate(records.animals)),
        *(("clutches", index, one.dam, one.sires) for index, one in enumerate(records.clutches)),
        *(("matings", index, one.dam, (Candidate(one.sire),)) for index, one in enumerate(records.matings)),
    ]
    for table, index, dam, sires in named:
        for field, parent in (("dam", dam), *(("sire", one.animal) for one in sires)):
            if parent in dead:
                what, hint = f"{parent} died in the egg.", f"Correct the {field}, or what became of the egg."
                column = "sires" if (table, field) == ("clutches", "sire") else field
                yield places.fault(
                    "COL-044", what, hint, row=(table, index), field=column, value=parent, animal=parent
                )  # fmt: skip


def _orders(records: Records, known: _Known, places: Places) -> Iterator[Fault]:
    """Dates that stand in an order which cannot be."""
    for index, mating in enumerate(records.matings):
        if _before(mating.apart, mating.together):
            what = f"They were parted {mating.apart}, before they were put together {mating.together}."
            yield places.fault(
                "COL-041", what, "Correct one date.", row=("matings", index), field="apart", value=mating.apart
            )  # fmt: skip
    for index, clutch in enumerate(records.clutches):
        dam = known.animals.get(clutch.dam or "")
        if _before(clutch.hatched, clutch.laid):
            what = f"Clutch {clutch.id} hatched {clutch.hatched}, before it was laid {clutch.laid}."
            yield places.fault(
                "COL-041", what, "Correct one date.", row=("clutches", index), field="hatched", value=clutch.hatched
            )  # fmt: skip
        if dam is not None and _before(clutch.laid, dam.hatched):
            what = f"Clutch {clutch.id} was laid {clutch.laid}, before its dam {dam.id} hatched {dam.hatched}."
            yield places.fault(
                "COL-041", what, "Correct a date or the dam.", row=("clutches", index), field="laid", value=clutch.laid
            )  # fmt: skip
    for index, egg in enumerate(records.eggs):
        laid = known.clutches[egg.clutch].laid if egg.clutch in known.clutches else None
        if _before(egg.ended, laid):
            what = f"Egg {egg.egg} of {egg.clutch} ended {egg.ended}, before it was laid {laid}."
            yield places.fault(
                "COL-041", what, "Correct one date.", row=("eggs", index), field="ended", value=egg.ended
            )  # fmt: skip
    for index, event in enumerate(records.events):
        if _before(event.until, event.date):
            what = f"It lasted until {event.until}, and began {event.date}."
            yield places.fault(
                "COL-041", what, "Correct one date.", row=("events", index), field="until", value=event.until,
                animal=event.animal,
            )  # fmt: skip
    for table in ("measurements", "events"):
        for index, record in enumerate(getattr(records, table)):
            animal = known.animals.get(record.animal)
            if animal is not None and _before(record.date, animal.hatched):
                what = f"{animal.id} hatched {animal.hatched}, after this date, {record.date}."
                yield places.fault(
                    "COL-041", what, "Correct one date.", row=(table, index), field="date", value=record.date,
                    animal=animal.id,
                )  # fmt: skip


def _before(first: PartialDate | None, second: PartialDate | None) -> bool:
    """Whether one day surely lies before another."""
    if first is None or second is None or first.year > second.year:
        return False
    return first.latest < second.earliest
