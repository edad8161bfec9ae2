"""Write down which eggs hatched: young, sexes, weights and defects in one deed."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from holdback.collection.event_kinds import DEFECT
from holdback.collection.model import EggOutcome, EggState, Origin, PartialDate, Sex, Trait
from holdback.errors import Fault
from holdback.web.records import clock
from holdback.web.records.asking import judge
from holdback.web.records.clutch_rules import Day, eggs_at_hand, locked_clutch, slugs_known
from holdback.web.records.derive import derive
from holdback.web.records.egg_states import looks_against, looks_at
from holdback.web.records.hatching_rules import Young, hatching_faults
from holdback.web.records.models import (
    Animal,
    AnimalName,
    Clutch,
    Egg,
    Measurement,
    Observation,
    Record,
    SexDetermination,
)
from holdback.web.records.new_ids import offered_ids
from holdback.web.records.overlay import SPECIES, catalogue
from holdback.web.records.services.deed import Deed, deed


def hatch_eggs(
    clutch: Clutch,
    rows: Sequence[Young],
    *,
    who: str,
    date: Day,
    batch: uuid.UUID | None = None,
    sure: bool = False,
) -> list[Animal]:
    """The young of some eggs, in the order of the rows.

    Parameters
    ----------
    clutch : Clutch
        The clutch.
    rows : sequence of Young
        One a young.
    who : str
        Who writes it.
    date : date or str
        When they came out, where a row has no day of its own.
    batch : UUID, optional
        Batch that the change belongs to.
    sure : bool
        Whether what is asked about is meant so.

    Raises
    ------
    RecordError
        REC-010 to REC-014, SEA-002, SEA-007 to SEA-009, SEA-013, SEA-014, SEA-017, SEA-027, all together; as questions
        SEA-006, SEA-010, SEA-012, SEA-015, SEA-029. Then nothing is written.

    Notes
    -----
    The young take their parents from the clutch, and the clutch the day of the first of them. An egg that was never
    counted is added, once the keeper is sure; looks that speak against a hatching are taken off then.
    """
    with deed("hatch eggs", who=who, batch=batch) as done:
        nest = locked_clutch(clutch)
        eggs = eggs_at_hand(done, nest)
        rows = _whole(nest, rows, str(date).strip())
        judge([*hatching_faults(nest, rows, eggs), *_unread_looks(rows)], sure=sure)
        young = [_animal(nest, row) for row in rows]
        done.make(*young)
        _write_readings(done, rows, young, who=who)
        none = sum(eggs[row.mark].outcome == EggOutcome.SLUG for row in rows if row.mark in eggs)
        _write_eggs(done, nest, eggs, dict(zip((row.mark for row in rows), young, strict=True)))
        _settle(done, nest, [animal.hatched for animal in young], none)
        derive(young)
    return young


def _whole(clutch: Clutch, rows: Sequence[Young], day: str) -> list[Young]:
    """The rows without space around their texts, each with an id and a day."""
    year = int(day[:4]) if day[:4].isdecimal() and len(day) == 10 else None
    waiting = [row.mark.strip() for row in rows if not row.tag.strip()]
    offered = iter(offered_ids(clutch, waiting, year=year))
    return [
        replace(
            row,
            mark=row.mark.strip(),
            tag=row.tag.strip() or next(offered),
            out=str(row.out).strip() or day,
            genes=row.genes.strip(),
            defect=row.defect.strip(),
            name=row.name.strip(),
            notes=row.notes.strip(),
        )
        for row in rows
    ]


def _unread_looks(rows: Sequence[Young]) -> Iterator[Fault]:
    """SEA-029, a question, where words of a look are no gene: the rest of it would count as if they were not there."""
    from holdback.heredity.shorthand import read  # the parser library is slow to import

    for row in rows:
        if unread := read(row.genes, catalogue(SPECIES)).unread if row.genes else ():
            words = ", ".join(repr(word.text) for word in unread)
            what = f"Egg {row.mark}: {words} in {row.genes!r} is not read as a gene."
            meant = ", ".join(word.suggestion for word in unread if word.suggestion)
            hint = f"{f'{meant} may be meant. ' if meant else ''}Kept as it is, only what is read of it counts."
            yield Fault("SEA-029", what, hint, field="genes", value=row.genes, animal=row.tag)


def _animal(clutch: Clutch, row: Young) -> Animal:
    """One young, not yet written."""
    return Animal(
        tag=row.tag,
        name=row.name,
        species=clutch.dam.species if clutch.dam else SPECIES,
        sex=row.sex,
        hatched=str(row.out),
        origin=Origin.CAPTIVE_BRED.value,
        genes_text=row.genes,
        notes=row.notes,
        clutch=clutch,
    )


def _write_readings(done: Deed, rows: Sequence[Young], young: Sequence[Animal], *, who: str) -> None:
    """Write names, sexes, masses and defects."""
    both = list(zip(rows, young, strict=True))
    kinds: tuple[list[Record], ...] = (
        [AnimalName(animal=one, name=one.name, since=clock.today()) for _, one in both if one.name],
        [
            SexDetermination(animal=one, sex=one.sex, method=row.method, date=one.hatched, found_by=who[:120])
            for row, one in both
            if row.method or row.sex != Sex.UNKNOWN
        ],
        [
            Measurement(
                animal=one, date=one.hatched, trait=Trait.MASS.value, value=row.mass_g, unit="g", condition="empty"
            )
            for row, one in both
            if row.mass_g
        ],
        [Observation(animal=one, date=one.hatched, kind=DEFECT, note=row.defect) for row, one in both if row.defect],
    )
    for records in kinds:
        done.make(*records)


def _write_eggs(done: Deed, clutch: Clutch, eggs: Mapping[str, Egg], young: Mapping[str, Animal]) -> None:
    """Say of each egg what came out of it; those that were never counted are made."""
    fates = {
        mark: {"outcome": EggOutcome.HATCHED.value, "animal": animal, "ended": animal.hatched, "cause": ""}
        for mark, animal in young.items()
    }
    done.make(*(Egg(clutch=clutch, mark=mark, **said) for mark, said in fates.items() if mark not in eggs))
    looks = looks_at(eggs[mark] for mark in fates if mark in eggs)
    for mark, said in fates.items():
        if mark in eggs:
            done.delete(*looks_against(looks[eggs[mark].pk], EggState.OUT, young[mark].hatched))
            done.change(eggs[mark], **said)


def _settle(done: Deed, clutch: Clutch, outs: Sequence[str], none: int) -> None:
    """Bring the clutch's day of hatching and its counts up to date; `none` eggs were held to be slugs and hatched."""
    eggs = list(clutch.egg_records.all())
    count = None if clutch.eggs is None else max(clutch.eggs, len(eggs))
    slugs = slugs_known(clutch, eggs, less=none)
    if count is not None and slugs is not None:
        slugs = min(slugs, count - sum(egg.outcome == EggOutcome.HATCHED for egg in eggs))
    done.change(clutch, hatched=_first(clutch.hatched, outs), eggs=count, slugs=slugs)


def _first(known: str, outs: Sequence[str]) -> str:
    """Day of the first hatching: as known, unless one is earlier or tells the same to the day."""
    first = min(outs, key=lambda day: PartialDate.parse(day).latest)
    if not known:
        return first
    before, now = PartialDate.parse(known), PartialDate.parse(first)
    is_sharper = before.earliest <= now.earliest and now.latest <= before.latest and len(first) > len(known)
    return first if is_sharper or now.latest < before.earliest else known
