"""Questions that the records ask back before something is written, and how a form answers them.

A form is sent again with ``answer`` (what the keeper is sure of) or ``instead`` (a field and what it should hold).
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass

from django.http import QueryDict
from django.urls import reverse

from holdback.errors import Fault, RecordError
from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.keeper import writer
from holdback.web.pages.wording import day
from holdback.web.records.asking import is_question
from holdback.web.records.clock import today
from holdback.web.records.models import Change

SURE, AGAIN, PARTED = "sure", "again", "parted"
"""What a keeper can answer: it is right; it is another one; he left the other female that day."""

_YES = {"SEA-032": "Yes, another lock", "SEA-033": "Yes, another one", "SEA-038": "Yes, put together anew"}


@dataclass(frozen=True, slots=True)
class How:
    """In whose name something is written, and what the keeper has answered.

    Parameters
    ----------
    batch : UUID
        Batch of the deed, by which it is taken back.
    answers : frozenset of str
        Out of `SURE`, `AGAIN`, `PARTED`.
    """

    batch: uuid.UUID
    answers: frozenset[str] = frozenset()

    @classmethod
    def of(cls, given: Mapping[str, str]) -> How:
        """Answers as a form sent them; other words are left out."""
        return cls(uuid.uuid4(), frozenset(given.get("answer", "").split()) & {SURE, AGAIN, PARTED})

    @property
    def who(self) -> str:
        """Who writes."""
        return writer()

    @property
    def sure(self) -> bool:
        """Whether the keeper says that it is right."""
        return SURE in self.answers

    @property
    def undo(self) -> str:
        """Address that takes the deed back; empty where nothing was written, as all was there already."""
        is_new = Change.objects.filter(batch=self.batch).exists()
        return reverse("pages:undo", args=[self.batch]) if is_new else ""


@dataclass(frozen=True, slots=True)
class Question:
    """One thing that is asked: what looks odd, what to do, and what may have been meant."""

    what: str
    hint: str


@dataclass(frozen=True, slots=True)
class Choice:
    """A button: the name and value it sends, and its words."""

    name: str
    value: str
    words: str


@dataclass(frozen=True, slots=True)
class Questions:
    """Everything that is asked of one form, with the buttons that answer it; the first says that all is right."""

    asked: tuple[Question, ...]
    choices: tuple[Choice, ...]


def typed(given: QueryDict) -> QueryDict:
    """What was typed, with what the keeper chose instead of it."""
    field, _, value = given.get("instead", "").partition("=")
    if not field:
        return given
    changed = given.copy()
    changed[field] = value
    return changed


def taken_in(form: PlainForm, error: RecordError, how: How) -> tuple[tuple[Fault, ...], Questions | None]:
    """Faults that belong to no field, and what is asked; the other faults stand at their fields.

    Parameters
    ----------
    form : PlainForm
        Takes the faults.
    error : RecordError
        What a service said.
    how : How
        What was answered before, which stays answered.
    """
    asked = [fault for fault in error.faults if is_question(fault)]
    if not asked or len(asked) < len(error.faults):
        return form.take(error), None
    return (), questions(asked, how, form)


def questions(asked: list[Fault], how: How, form: PlainForm) -> Questions:
    """Questions with their buttons."""
    told = tuple(Question(f"{fault.what[:1].upper()}{fault.what[1:]}", fault.hint) for fault in asked)
    needed = {AGAIN if fault.code == "SEA-032" else SURE for fault in asked}
    words = _YES.get(asked[0].code, "Yes, keep it") if len(asked) == 1 else "Yes, keep it"
    yes = Choice("answer", " ".join(sorted(how.answers | needed)), words)
    return Questions(told, (yes, *(choice for fault in asked for choice in _instead(fault, how, form))))


def _instead(fault: Fault, how: How, form: PlainForm) -> tuple[Choice, ...]:
    """What may have been meant, as a button."""
    if fault.code == "SEA-037" and f": {fault.value}, or is" in fault.what:
        return (Choice("instead", f"typed={fault.value}", f"It was {fault.value}"),)
    field = form.names.get(fault.field, fault.field)
    if fault.code == "SEA-030" and field in form.fields:
        now = today()
        return (Choice("instead", f"{field}={now.isoformat()}", f"It was today, {day(now)}"),)
    if fault.code == "SEA-031":
        return (Choice("answer", " ".join(sorted(how.answers | {PARTED})), "He left her that day"),)
    return ()
