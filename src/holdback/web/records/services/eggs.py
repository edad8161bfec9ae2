"""Look at the eggs of a clutch, and write off those that are lost."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping, Sequence

from holdback.collection.event_kinds import DEFECT
from holdback.collection.model import EggOutcome, EggState, Origin
from holdback.errors import Fault
from holdback.web.records.asking import judge
from holdback.web.records.clutch_rules import (
    Day,
    eggs_at_hand,
    fate,
    held_egg,
    locked_clutch,
    since_laying_faults,
    slugs_known,
    strange_faults,
)
from holdback.web.records.derive import derive
from holdback.web.records.egg_states import day_of_end, in_words, looks_against, looks_at, unlikely
from holdback.web.records.models import Animal, Clutch, Egg, EggLook, Observation
from holdback.web.records.new_ids import offered_ids
from holdback.web.records.overlay import SPECIES
from holdback.web.records.rules import length_faults, refuse, word_faults
from holdback.web.records.services.deed import Deed, deed

DIED_INSIDE = "died in the egg"
"""Status of a young that was found in an egg and never came out."""

_ENDS = {EggState.SLUG: EggOutcome.SLUG, EggState.LOST: EggOutcome.DIED}


def look_at_eggs(
    clutch: Clutch,
    looks: Mapping[str, tuple[EggState | str, str]],
    *,
    date: Day,
    who: str,
    batch: uuid.UUID | None = None,
    sure: bool = False,
) -> list[EggLook]:
    """One look each at some eggs of a clutch, as they stand on record then.

    Parameters
    ----------
    clutch : Clutch
        The clutch.
    looks : mapping of str to (EggState or str, str)
        How each egg was found, by its mark, with a note that may be empty.
    date : date or str
        When.
    who : str
        Who looked.
    batch : UUID, optional
        Batch that the change belongs to.
    sure : bool
        Whether what is asked about is meant so.

    Raises
    ------
    RecordError
        REC-011 to REC-013, SEA-002, SEA-007 to SEA-009, SEA-017, SEA-027, all together; as a question SEA-006.

    Notes
    -----
    An egg has one look a day: a second one on that day takes its place. A slug and a lost egg end with the look; one
    that pipped or is out waits for its hatchling (`hatch_eggs`). Where a clutch has a number of eggs and none of them
    is on record, all are made. A look that the keeper is sure of takes off those that speak against it.
    """
    day = str(date).strip()
    with deed("look at eggs", who=who, batch=batch) as done:
        nest = locked_clutch(clutch)
        eggs = eggs_at_hand(done, nest)
        faults = [*since_laying_faults(nest, day, field="date"), *strange_faults(nest, list(looks), eggs)]
        for state, note in looks.values():
            faults += [*word_faults(state, EggState, field="state"), *length_faults(note, 200, field="note")]
        refuse(faults)
        slugs = [egg for egg in eggs.values() if egg.outcome == EggOutcome.SLUG]
        before = looks_at([eggs[mark] for mark in looks])
        found = {mark: EggState(state) for mark, (state, _) in looks.items()}
        for mark, state in found.items():
            faults += _hatched_faults(eggs[mark], state, day)
            if text := unlikely(eggs[mark], before[eggs[mark].pk], state, day):
                hint = "Correct the look, or confirm."
                faults.append(Fault("SEA-006", text, hint, field="state", value=state.value))
        judge(faults, sure=sure)
        written = [
            _write_look(done, eggs[mark], before[eggs[mark].pk], (day, found[mark], note.strip()))
            for mark, (_, note) in looks.items()
        ]
        done.change(nest, slugs=slugs_known(nest, eggs.values(), less=_no_slugs(slugs)))
    return written


def _no_slugs(eggs: Sequence[Egg]) -> int:
    """How many eggs that were held to be slugs are none any more."""
    return sum(egg.outcome != EggOutcome.SLUG for egg in eggs)


def _hatched_faults(egg: Egg, state: EggState, day: str) -> Iterator[Fault]:
    """SEA-009 where a young is on record of an egg that would be something else."""
    if egg.animal is None or day < egg.ended:
        return
    if state is (EggState.OUT if egg.outcome == EggOutcome.HATCHED else EggState.LOST):
        return
    what = f"{egg.animal.tag} is the young of egg {egg.mark}, {fate(egg)}: it cannot be {in_words(state)} on {day}."
    yield Fault("SEA-009", what, "Take the hatching or the loss back first.", field="state", value=egg.mark)


def _write_look(done: Deed, egg: Egg, before: list[EggLook], seen: tuple[str, EggState, str]) -> EggLook:
    """Write one look and what it says of the egg."""
    day, state, note = seen
    done.delete(*looks_against(before, state, day))
    look = next((one for one in before if one.date == day), None)
    if look is None:
        look = EggLook(egg=egg, date=day, state=state.value, note=note)
        done.make(look)
    else:
        done.change(look, state=state.value, note=note or look.note)
    if outcome := _ENDS.get(state):
        cause = (note[:120] or egg.cause) if outcome is EggOutcome.DIED else ""
        done.change(egg, outcome=outcome.value, ended=day_of_end(egg, outcome, day), cause=cause)
    elif egg.outcome in {EggOutcome.SLUG, EggOutcome.DIED} and day >= egg.ended:
        done.change(egg, outcome=EggOutcome.UNKNOWN.value, ended="", cause="")
    return look


def lose_egg(
    egg: Egg,
    *,
    date: Day,
    cause: str,
    who: str,
    genes: str = "",
    defect: str = "",
    batch: uuid.UUID | None = None,
    sure: bool = False,
) -> Egg:
    """The egg, lost; with the young that was found in it, where somebody looked inside.

    Parameters
    ----------
    egg : Egg
        The egg, as it was shown to the keeper.
    date : date or str
        When it was found to be lost.
    cause : str
        Why; may be empty.
    who : str
        Who writes it.
    genes : str
        What the young showed, in trade shorthand ("normal" where it showed nothing); empty where nobody looked inside.
    defect : str
        A defect of the young; empty where none was seen.
    batch : UUID, optional
        Batch that the change belongs to.
    sure : bool
        Whether what is asked about is meant so.

    Raises
    ------
    RecordError
        REC-011, REC-012, SEA-002, SEA-008, SEA-009, SEA-017, SEA-027, all together; as a question SEA-006.

    Notes
    -----
    The young becomes an animal of the clutch that does not live and has no day of hatching, so that it counts in the
    ratios of the clutch and nowhere among the living.
    """
    day, genes, defect = str(date).strip(), genes.strip(), defect.strip()
    with deed("lose egg", who=who, batch=batch) as done:
        nest = locked_clutch(egg.clutch)
        now = held_egg(egg)
        faults = [*since_laying_faults(nest, day, field="date", mark=now.mark)]
        faults += length_faults(cause, 120, field="cause")
        if now.outcome == EggOutcome.HATCHED or (now.animal and (genes or defect)):
            what = f"egg {now.mark} is {fate(now)}, and {now.animal or 'a young'} is its young."
            faults.append(Fault("SEA-009", what, "Correct that animal, or take it back first.", field="egg"))
        refuse(faults)
        before, slugs = looks_at([now])[now.pk], [now] if now.outcome == EggOutcome.SLUG else []
        text = unlikely(now, before, EggState.LOST, day)
        if text:
            judge([Fault("SEA-006", text, "Correct the egg, or confirm.", field="egg", value=now.mark)], sure=sure)
        _write_look(done, now, before, (day, EggState.LOST, cause.strip()))
        if genes or defect:
            young = _found_inside(done, nest, now, genes)
            if defect:
                done.make(Observation(animal=young, date=day, kind=DEFECT, note=defect))
            done.change(now, animal=young)
            derive([young])
        done.change(nest, slugs=slugs_known(nest, nest.egg_records.all(), less=_no_slugs(slugs)))
    return now


def _found_inside(done: Deed, clutch: Clutch, egg: Egg, genes: str) -> Animal:
    """The young that died in an egg, as an animal that does not live."""
    young = Animal(
        tag=offered_ids(clutch, [egg.mark])[0],
        species=clutch.dam.species if clutch.dam else SPECIES,
        origin=Origin.CAPTIVE_BRED.value,
        status=DIED_INSIDE,
        genes_text=genes,
        clutch=clutch,
    )
    done.make(young)
    return young
