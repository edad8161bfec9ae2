"""What came from phones and waits for the keeper: questions with their answers, and what was refused."""

from __future__ import annotations

import datetime as dt
import re
import uuid
from dataclasses import dataclass
from typing import Any

from holdback.collection.model import PartialDate
from holdback.errors import RecordError
from holdback.web.pages.wording import day
from holdback.web.records.models import Entry
from holdback.web.records.services.inbox_questions import BOTH, CLOCK, HERE, KEEP, LEAVE, OTHER, THIS, TWICE
from holdback.web.records.services.inbox_reading import Deeds, deeds_of

_ANSWERS = {
    TWICE: {THIS: "This one is right", LEAVE: "What is there is right", BOTH: "Keep both"},
    CLOCK: {HERE: "The day by this computer", KEEP: "The day by the phone", LEAVE: "Leave it out"},
}
_DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_OF_SERVICE = {KEEP: "It is right", LEAVE: "Leave it out"}


@dataclass(frozen=True, slots=True)
class Asked:
    """One entry that waits for the keeper.

    Parameters
    ----------
    key : UUID
        Its mark.
    made_at : datetime
        When it was typed.
    what, hint : str
        What is asked or refused, and what to do.
    sent : str
        What the phone said, in words.
    choices : tuple of (str, str)
        Answers and their words; another value is asked for apart.
    is_other : bool
        Whether another value can be typed.
    unit : str
        Unit of the weight.
    is_refused : bool
        Whether nothing can be answered: it is written on the animal's page, or put away.
    """

    key: uuid.UUID
    made_at: dt.datetime
    what: str
    hint: str
    sent: str
    choices: tuple[tuple[str, str], ...]
    is_other: bool
    unit: str
    is_refused: bool


def asked_of_phones() -> list[Asked]:
    """Entries that are asked about, then those refused, the oldest first; one query."""
    entries = list(Entry.objects.filter(state__in=[Entry.ASKED, Entry.REFUSED]).order_by("received_at", "number"))
    entries.sort(key=lambda entry: entry.state == Entry.REFUSED)
    return [asked(entry) for entry in entries]


def asked(entry: Entry) -> Asked:
    """What an entry asks, in words."""
    is_refused = entry.state == Entry.REFUSED
    said = [one for one in entry.said if not one.get("answered")] or [{}]
    words = {LEAVE: "Put it away"} if is_refused else _ANSWERS.get(said[-1].get("code", ""), _OF_SERVICE)
    choices: list[str] = [LEAVE] if is_refused else said[-1].get("choices", [])
    about = said[-1].get("about", [])
    if about and words is _OF_SERVICE:
        words = {**words, LEAVE: f"Leave the {' and the '.join(about)} out"}
    deeds = _deeds(entry)
    return Asked(
        key=entry.pk,
        made_at=entry.made_at,
        what=_sentence(" ".join(one.get("message", "") for one in said)),
        hint=said[-1].get("hint", ""),
        sent=": ".join(part for part in (str(entry.body.get("label", ""))[:80], sent_words(deeds)) if part),
        choices=tuple((one, words[one]) for one in choices if one in words),
        is_other=OTHER in choices,
        unit=deeds.weight.unit if deeds and deeds.weight else "g",
        is_refused=is_refused,
    )


def _deeds(entry: Entry) -> Deeds | None:
    body: Any = entry.body
    try:
        return deeds_of(body, animal="")
    except RecordError:
        return None


def _sentence(text: str) -> str:
    """Sentence with its days in words."""
    text = _DAY.sub(lambda found: day(PartialDate.parse(found[0])), text)
    return text[:1].upper() + text[1:]


def sent_words(deeds: Deeds | None) -> str:
    """What a phone sent, in a few words; empty where it cannot be read."""
    if deeds is None:
        return ""
    parts = [
        f"{deeds.weight.typed} {deeds.weight.unit}" if deeds.weight else "",
        f"meal {deeds.meal}" if deeds.meal else "",
        *(f"sign: {sign}" for sign in deeds.signs),
        f"shed {deeds.shed}" if deeds.shed else "",
        f"note: {deeds.note}" if deeds.note else "",
    ]
    return ", ".join(part for part in parts if part)
