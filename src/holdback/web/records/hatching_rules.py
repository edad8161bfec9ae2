"""What is checked before the young of a clutch are written down."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import EggOutcome, EggState, PartialDate, Sex
from holdback.errors import Fault
from holdback.web.records.clutch_rules import Day, fate, in_order, since_laying_faults, slugs_known
from holdback.web.records.egg_states import looks_at, unlikely
from holdback.web.records.models import Animal, Clutch, Egg, EggLook
from holdback.web.records.new_ids import free_beside
from holdback.web.records.overlay import SPECIES, catalogue
from holdback.web.records.rules import length_faults, number_faults, tag_faults, word_faults

DAYS_BEYOND = (0.8, 1.4)
"""Parts of the usual days of incubation, from the least to the most, beyond which a hatching is asked about (a choice;
eggs kept cool take up to 70 days, published)."""
MASS_BEYOND = (0.5, 1.5)
"""The same of the mass of a hatchling (a choice; 25 to 90 g in the wild, published)."""


@dataclass(frozen=True, slots=True)
class Young:
    """One young as it came out.

    Parameters
    ----------
    mark : str
        Mark of its egg.
    tag : str
        Its id; empty takes the next one of the keeper's pattern.
    out : date or str
        When it came out; empty takes the day of all.
    sex : str
        male, female or unknown.
    method : str
        How the sex was found ("popped", "probed"); empty where it was not looked for.
    mass_g : float or None
        Mass in gram before the first meal.
    genes : str
        What it shows, in trade shorthand.
    defect : str
        A defect in words.
    name, notes : str
        Calling name; free text.
    """

    mark: str
    tag: str = ""
    out: Day = ""
    sex: str = Sex.UNKNOWN.value
    method: str = ""
    mass_g: float | None = None
    genes: str = ""
    defect: str = ""
    name: str = ""
    notes: str = ""


def hatching_faults(clutch: Clutch, rows: Sequence[Young], eggs: Mapping[str, Egg]) -> Iterator[Fault]:
    """Everything wrong with some young, and everything that is asked about; every row has its id and day."""
    if not rows:
        yield Fault("SEA-007", "no egg is named.", "Say which eggs hatched.", field="egg")
    for word, said in (("mark", "egg"), ("tag", "id")):
        times = Counter(getattr(row, word) for row in rows)
        for text in (text for text, count in times.items() if count > 1):
            what = f"the {said} {text} stands in {times[text]} rows."
            yield Fault("SEA-014", what, f"Give each young an {said} of its own.", field=word, value=text)
    looks = looks_at(eggs[row.mark] for row in rows if row.mark in eggs)
    for row in rows:
        yield from (found := list(_row_faults(clutch, row)))
        if row.mark in eggs and not any(fault.field == "out" and fault.code == "REC-012" for fault in found):
            yield from _egg_faults(eggs[row.mark], looks[eggs[row.mark].pk], str(row.out))
    yield from _taken_faults(rows)
    yield from _too_many(clutch, rows, eggs)


def _row_faults(clutch: Clutch, row: Young) -> Iterator[Fault]:
    """Faults of one row by itself."""
    yield from tag_faults(row.tag)
    yield from word_faults(row.sex, Sex, field="sex", animal=row.tag)
    for name, most in (("mark", 30), ("method", 60), ("name", 120)):
        yield from length_faults(getattr(row, name), most, field=name, animal=row.tag)
    if not row.mark:
        yield Fault("REC-010", "a young has no egg.", "Give the mark of its egg.", field="mark", animal=row.tag)
    yield from number_faults(row.mass_g, 0, 1000, field="mass_g", above=True, animal=row.tag)
    yield from (late := list(since_laying_faults(clutch, str(row.out), field="out", mark=row.mark)))
    if not late:
        yield from _days_questions(clutch, row)
    usual = catalogue(clutch.dam.species if clutch.dam else SPECIES).reproduction.get("hatchling_mass_g")
    if usual and row.mass_g and not usual.low * MASS_BEYOND[0] <= row.mass_g <= usual.high * MASS_BEYOND[1]:
        what = f"{row.tag} weighs {row.mass_g:g} g; {usual.low:g} to {usual.high:g} g are usual ({usual.mark.value})."
        hint = "Look for a slip of the point, or confirm."
        yield Fault("SEA-015", what, hint, field="mass_g", value=f"{row.mass_g:g}", animal=row.tag)


def _days_questions(clutch: Clutch, row: Young) -> Iterator[Fault]:
    """SEA-012 where the days since laying, both known to the day, are far from the usual ones."""
    usual = catalogue(clutch.dam.species if clutch.dam else SPECIES).reproduction.get("incubation_days")
    if not usual or not clutch.laid:
        return
    laid, out = PartialDate.parse(clutch.laid), PartialDate.parse(str(row.out))
    if not laid.day or not out.day:
        return
    days = (out.earliest - laid.earliest).days
    if not usual.low * DAYS_BEYOND[0] <= days <= usual.high * DAYS_BEYOND[1]:
        span = f"{usual.low:g} to {usual.high:g}"
        what = f"egg {row.mark} hatched after {days} days; {span} are usual ({usual.mark.value})."
        yield Fault("SEA-012", what, "Correct a date, or confirm.", field="out", value=str(row.out))


def _egg_faults(egg: Egg, looks: Sequence[EggLook], day: str) -> Iterator[Fault]:
    """Whether something else is on record of an egg."""
    if egg.animal:
        what = f"egg {egg.mark} is {fate(egg)}, and {egg.animal.tag} is its young."
        yield Fault("SEA-009", what, "Correct that animal, or take it back first.", field="egg", value=egg.mark)
    elif text := unlikely(egg, looks, EggState.OUT, day):
        yield Fault("SEA-006", text, "Correct the egg, or confirm.", field="egg", value=egg.mark)


def _taken_faults(rows: Sequence[Young]) -> Iterator[Fault]:
    """SEA-013 for every id that an animal bears or bore, with one that is free."""
    wanted = {row.tag for row in rows}
    for tag in sorted(Animal.objects.filter(tag__in=wanted).values_list("tag", flat=True).distinct(), key=in_order):
        known = {*Animal.objects.filter(tag__startswith=tag).values_list("tag", flat=True), *wanted}
        what = f"the id {tag} belongs to another animal."
        yield Fault("SEA-013", what, f"{free_beside(tag, known)} is free.", field="tag", value=tag, animal=tag)


def _too_many(clutch: Clutch, rows: Sequence[Young], eggs: Mapping[str, Egg]) -> Iterator[Fault]:
    """SEA-010 where more hatch than there are eggs, or more than are no slugs."""
    new = [row.mark for row in rows if row.mark not in eggs]
    if new and clutch.eggs is not None and len(eggs) + len(new) > clutch.eggs:
        known = ", ".join(sorted(eggs, key=in_order))
        what = f"egg {', '.join(new)} is none of clutch {clutch.tag}, which has {clutch.eggs} eggs ({known})."
        yield Fault("SEA-010", what, "Correct the mark, or confirm that there were more.", field="egg", value=new[0])
        return
    hatching = {row.mark for row in rows}
    young = len(hatching | {mark for mark, egg in eggs.items() if egg.outcome == EggOutcome.HATCHED})
    none = sum(egg.outcome == EggOutcome.SLUG and mark in hatching for mark, egg in eggs.items())
    slugs = slugs_known(clutch, [egg for mark, egg in eggs.items() if mark not in hatching], less=none) or 0
    if clutch.eggs is not None and young > clutch.eggs - slugs:
        what = f"{young} young would come of clutch {clutch.tag}: {clutch.eggs} eggs, {slugs} of them slugs."
        yield Fault("SEA-010", what, "Count again, or confirm that there were fewer slugs.", field="egg")
