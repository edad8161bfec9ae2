"""The inbox of phones: each entry is done once, asked or refused, and answered the same however often it comes."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import IO, Any

from django.db import IntegrityError, transaction
from django.db.models import QuerySet
from django.utils import timezone

from holdback.errors import Fault, RecordError
from holdback.web.records.asking import is_question
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Change, Entry, Photo
from holdback.web.records.services.deed import take_turn
from holdback.web.records.services.inbox_deeds import remove_earlier, write_deeds
from holdback.web.records.services.inbox_questions import (
    BOTH,
    CLOCK,
    HERE,
    KEEP,
    LEAVE,
    OTHER,
    SAME_DAY,
    THIS,
    TWICE,
    Question,
    asks_about,
    clock_question,
    earlier_of,
    twice_question,
    without_doubles,
)
from holdback.web.records.services.inbox_reading import Deeds, Sent, Weight, deeds_of, sent_of
from holdback.web.records.services.photos import add_photo
from holdback.web.records.services.undo import undo
from holdback.web.records.weights import weight_typed

MOST = 500
"""Entries in one sending."""


def receive(raws: Sequence[object], *, device: str, who: str, sent_at: dt.datetime | None = None) -> list[Entry]:
    """The entries of one sending with what became of each, in their order.

    Parameters
    ----------
    raws : sequence of object
        Entries as decoded from JSON: ``id``, ``number``, ``made_at``, ``animal``, ``deeds``, ``corrects``.
    device : str
        Mark of the phone.
    who : str
        Who wrote them.
    sent_at : datetime, optional
        When they were sent, by the phone's clock.

    Raises
    ------
    RecordError
        SEA-300 if an entry could not even be kept; then nothing of the sending is taken.

    Notes
    -----
    Each entry is a transaction and a batch of its own. An entry that came before is answered as then.
    """
    if not device or len(device) > 40 or len(raws) > MOST:
        hint = f"Name the phone in up to 40 characters and send at most {MOST} entries at once."
        raise RecordError(Fault("SEA-300", "the sending cannot be read.", hint, field="device"))
    sent = sorted((sent_of(raw) for raw in raws), key=lambda one: one.number)
    return [_taken(one, device=device, who=who, sent_at=sent_at) for one in sent]


def answer(entry: Entry, *, choice: str, who: str, typed: str = "", unit: str = "g") -> Entry:
    """The entry after an answer: done, left, refused, or asked something else.

    Parameters
    ----------
    entry : Entry
        One that was asked; a refused one can only be left.
    choice : str
        One of the choices of its question.
    who : str
        Who answers.
    typed, unit : str
        The other value, where that was chosen.

    Raises
    ------
    RecordError
        SEA-305 if it was answered already or the answer does not fit; SEA-306 if the other value is missing; else what
        speaks against the answer. Then it is asked as before.

    Notes
    -----
    Only what the question is about is left out; what else the entry says is written.
    """
    with transaction.atomic():
        take_turn()
        entry = Entry.objects.select_for_update().get(pk=entry.pk)
        question = entry.said[-1] if entry.said else {}
        fits = {Entry.ASKED: question.get("choices", ()), Entry.REFUSED: (LEAVE,)}.get(entry.state, ())
        if choice not in fits:
            hint = "Load the page again: it shows what is still asked."
            raise RecordError(Fault("SEA-305", "This was answered already, or the answer does not fit.", hint))
        if choice == OTHER and not typed.strip():
            raise RecordError(Fault("SEA-306", "The other value is missing.", "Type it.", field="typed"))
        entry.said = [*entry.said[:-1], {**question, "answered": choice, "typed": typed.strip(), "unit": unit}]
        sent = sent_of(entry.body)
        if choice == LEAVE and not (entry.state == Entry.ASKED and _has_rest(entry, sent)):
            entry.state = Entry.LEFT
        else:
            _answered(entry, sent, who=who, is_left=choice == LEAVE)
        entry.save()
    return entry


def _answered(entry: Entry, sent: Sent, *, who: str, is_left: bool) -> None:
    """Work on an entry as answered; where that cannot be, it is asked as before, and its rest waits as refused."""
    try:
        _work(entry, sent, who=who, sent_at=None)
    except RecordError as error:
        if not is_left:
            raise
        _refused(entry, error)


def _has_rest(entry: Entry, sent: Sent) -> bool:
    """Whether an entry says more than what was left out; one that mends another stands or falls as a whole."""
    left = _settled(entry.said).left
    return bool(left) and sent.corrects is None and deeds_of(sent.body, animal="").without(left).says


def keep_photo(entry: Entry, *, file: IO[bytes], who: str) -> Photo | None:
    """The photo of an entry; None where it was kept before.

    Parameters
    ----------
    entry : Entry
        The entry it belongs to.
    file : binary file
        The picture.
    who : str
        Who took it.

    Raises
    ------
    RecordError
        PHO-002 to PHO-005; SEA-307 if the entry was refused.
    """
    if entry.state == Entry.REFUSED:
        hint = "Add the photo on the animal's page."
        raise RecordError(Fault("SEA-307", "The entry of this photo was not taken.", hint))
    batch = uuid.uuid5(entry.pk, "photo")
    if Change.objects.filter(batch=batch).exists():
        return None
    sent = sent_of(entry.body)
    return add_photo(
        _animal(sent, Animal.objects.all()), who=who, file=file, taken=_day(sent, entry.said).isoformat(), batch=batch
    )


def _taken(sent: Sent, *, device: str, who: str, sent_at: dt.datetime | None) -> Entry:
    """The entry as kept; worked on only the first time it comes."""
    if known := Entry.objects.filter(pk=sent.id).first():
        return known
    entry = Entry(
        id=sent.id,
        device=device,
        number=sent.number,
        made_at=sent.made_at,
        received_at=timezone.now(),
        who=who,
        body=dict(sent.body),
        state=Entry.REFUSED,
    )
    try:
        with transaction.atomic():
            take_turn()
            entry.save(force_insert=True)  # first: another tab that sends the same meets it here
            if _is_mended(entry):
                entry.state, entry.said = Entry.LEFT, [{"message": "A later entry of this phone took its place."}]
            else:
                _first_work(entry, sent, who=who, sent_at=sent_at)
            entry.save()
    except IntegrityError:
        return Entry.objects.get(pk=sent.id)
    return entry


def _is_mended(entry: Entry) -> bool:
    """Whether one that takes the place of the entry came before it, and was taken."""
    later = Entry.objects.filter(device=entry.device, number__gt=entry.number, state=Entry.DONE)
    return later.filter(body__corrects=str(entry.pk)).exists()


def _first_work(entry: Entry, sent: Sent, *, who: str, sent_at: dt.datetime | None) -> None:
    try:
        _work(entry, sent, who=who, sent_at=sent_at)
    except RecordError as error:
        _refused(entry, error)


def _refused(entry: Entry, error: RecordError) -> None:
    answered = [one for one in entry.said if one.get("answered")]
    entry.state, entry.said = Entry.REFUSED, [*answered, *(fault.as_json() for fault in error.faults)]


def _work(entry: Entry, sent: Sent, *, who: str, sent_at: dt.datetime | None) -> None:
    """Write what the entry says, and set its state, batch and what is said of it; RecordError where that cannot be."""
    batch = uuid.uuid4()
    answered = [one for one in entry.said if one.get("answered")]
    try:
        with transaction.atomic():
            said = _written(entry, sent, answered, who=who, batch=batch, sent_at=sent_at)
    except Question as question:
        entry.state, entry.said = Entry.ASKED, [*answered, question.said]
    except RecordError as error:
        if not all(is_question(fault) for fault in error.faults):
            raise
        entry.state, entry.said = Entry.ASKED, [*answered, _asked(error.faults[0], sent)]
    else:
        entry.state, entry.batch, entry.said = Entry.DONE, batch, [*answered, {"message": said}]


def _asked(fault: Fault, sent: Sent) -> dict[str, Any]:
    """A question of a service with the answers that fit."""
    about = asks_about(fault)
    is_weight = about == ["weight"] and sent.body["deeds"].get("weight")
    return {**fault.as_json(), "choices": [KEEP, *([OTHER] if is_weight else []), LEAVE], "about": about}


@dataclass(frozen=True, slots=True)
class _Settled:
    """What the keeper answered."""

    clock: bool
    twice: str
    kept: frozenset[str]
    """Codes, and questions word by word, that were answered with yes."""
    left: frozenset[str]
    """Names of the deeds that are left out."""
    weight: Weight | None


def _settled(said: Sequence[dict[str, Any]]) -> _Settled:
    answered = [one for one in said if one.get("answered")]
    by_code = {one["code"]: one["answered"] for one in answered}
    other = [Weight(one["typed"], one["unit"]) for one in answered if one["answered"] == OTHER]
    return _Settled(
        clock=CLOCK in by_code,
        twice=by_code.get(TWICE, ""),
        kept=frozenset(one["message"] for one in answered if one["answered"] == KEEP)
        | ({SAME_DAY} if by_code.get(TWICE) == BOTH else frozenset()),
        left=frozenset(name for one in answered if one["answered"] == LEAVE for name in one.get("about", ())),
        weight=other[-1] if other else None,
    )


def _written(
    entry: Entry,
    sent: Sent,
    answered: Sequence[dict[str, Any]],
    *,
    who: str,
    batch: uuid.UUID,
    sent_at: dt.datetime | None,
) -> str:
    """What was written, in a sentence.

    Raises
    ------
    Question
        What is to be decided first.
    RecordError
        What is refused.
    """
    animal = _animal(sent, Animal.objects.select_for_update())  # of two phones at once one waits for the other
    deeds = deeds_of(sent.body, animal=animal.tag)
    settled = _settled(answered)
    if settled.weight:
        deeds = replace(deeds, weight=settled.weight)
    deeds = deeds.without(settled.left)
    if not settled.clock:
        clock = clock_question(sent.made_at, entry.received_at, sent_at, animal=animal.tag)
        if clock:
            raise clock
    day = _day(sent, answered)
    _correct(sent, who=who, batch=batch)
    earlier = earlier_of(animal, day)
    deeds = without_doubles(deeds, earlier, _grams(deeds, animal))
    if settled.twice in {THIS, OTHER}:
        remove_earlier(earlier, deeds, who=who, batch=batch)
    elif settled.twice != BOTH and (twice := twice_question(deeds, earlier, animal, day)):
        raise twice
    said = write_deeds(animal, deeds, on=day, who=who, batch=batch, kept=settled.kept)
    return f"{animal}: {', '.join(said)}." if said else f"{animal}: on record already, nothing is doubled."


def _grams(deeds: Deeds, animal: Animal) -> float | None:
    """Gram of the weight, None where it was not weighed."""
    weight = deeds.weight
    return weight_typed(weight.typed, unit=weight.unit, animal=animal.tag).grams if weight else None


def _animal(sent: Sent, animals: QuerySet[Animal]) -> Animal:
    """The animal of an entry."""
    try:
        return animals.get(pk=uuid.UUID(sent.animal), removed_at__isnull=True)
    except (ValueError, Animal.DoesNotExist) as fault:
        hint = "It may have been removed. Write it down for another animal, or put it away."
        what = "the animal of this entry is not in the records."
        raise RecordError(Fault("SEA-308", what, hint, field="animal", value=sent.animal[:40])) from fault


def _day(sent: Sent, said: Sequence[dict[str, Any]]) -> dt.date:
    """Day of the records: the phone's, or what was answered; in the demo as far from its day as from today."""
    chosen = next((one["here"] for one in said if one.get("answered") == HERE), None)
    day = dt.date.fromisoformat(chosen) if chosen else sent.made_at.date()
    return today() + (day - timezone.localdate())


def _correct(sent: Sent, *, who: str, batch: uuid.UUID) -> None:
    """Take back the entry that this one takes the place of."""
    former = Entry.objects.filter(pk=sent.corrects).first() if sent.corrects else None
    if former is None:
        return
    if former.batch and Change.objects.filter(batch=former.batch, undone_by__isnull=True).exists():
        undo(former.batch, who=who, batch=batch)
    former.state = Entry.LEFT
    former.save(update_fields=["state"])
