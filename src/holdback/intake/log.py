"""A log as events and measurements: each row against what is on record, nothing twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from holdback.collection.event_kinds import LOCK, MOVED
from holdback.collection.model import Animal, Event, Mating, Measurement, PartialDate, Records, Sex, Trait
from holdback.intake.draft import Draft
from holdback.intake.entries import entries_preview
from holdback.intake.happenings import Said, without_with
from holdback.intake.inquiry import Asking, Inquiry, written
from holdback.intake.known import Directory, Known
from holdback.intake.logrows import log_draft
from holdback.intake.mapping import Mapping as ColumnMapping
from holdback.intake.masses import check_masses, landed
from holdback.intake.preview import Choice, Entry, Kind, Preview
from holdback.intake.sheet_kinds import SheetKind
from holdback.intake.tables import Table
from holdback.intake.whom import find_whom

_LONGEST_KIND = 40


def read_log(table: Table, mapping: ColumnMapping, known: Known, inquiry: Inquiry) -> Preview:
    """What will come of a log.

    Parameters
    ----------
    table : Table
        The sheet.
    mapping : Mapping
        Confirmed columns and writing.
    known : Known
        What is on record.
    inquiry : Inquiry
        Answers given; takes the questions.

    Returns
    -------
    Preview
        Each row as an entry, as waiting or as left out.
    """
    drafts = [log_draft(row, mapping, inquiry) for row in table.rows]
    added = find_whom(drafts, known, inquiry)
    _days(drafts, inquiry)
    _ages(drafts, known, inquiry)
    check_masses(drafts, known, inquiry)
    for draft in drafts:
        # A weight that an answer keeps as text stands in the notes by now.
        draft.said += [Said("note", text) for text in draft.notes]
    book = _Book(known, added, Directory((one.id, one.name) for one in known.animals.values()))
    return entries_preview(table, drafts, inquiry, book.entry, sheet=SheetKind.LOG)


def _days(drafts: Sequence[Draft], inquiry: Inquiry) -> None:
    """Give rows without a day that of the row above, where the keeper says so."""
    without = [draft for draft in drafts if draft.day is None and not inquiry.halted(draft.row)]
    without = [draft for draft in without if "day" not in draft.typed]
    if not without:
        return
    asking = Asking(
        "no day",
        lambda rows: "No day is written.",
        "Where a day is written once for several rows, it holds for those below.",
        [Choice("above", "The day of the row above")],
    )
    if inquiry.answer(asking, *(draft.row for draft in without)) != "above":
        return
    above = None
    for draft in drafts:
        draft.day = draft.day or (above if draft in without else None)
        above = draft.day or above
        for reading in draft.readings:
            reading.date = draft.day


def _ages(drafts: Sequence[Draft], known: Known, inquiry: Inquiry) -> None:
    """Ask about what happened before its animal hatched."""
    for draft in drafts:
        animal = known.animals.get(draft.id)
        hatched = animal.hatched if animal else None
        if hatched is None or draft.day is None or draft.day.latest >= hatched.earliest:
            continue
        asking = Asking(
            f"too soon:{draft.row}",
            lambda rows, draft=draft, hatched=hatched: f"On {draft.day}, and {draft.id} hatched {hatched}.",  # type: ignore[misc]  # bound early
            "The day may be of another year, or the row of another animal.",
            (),
            "The day is",
        )
        told = written(inquiry.answer(asking, draft.row))
        if told is None:
            continue
        try:
            draft.day = PartialDate.parse(told.text)
        except ValueError:
            draft.remarks.append(f"“{told.text}” is not YYYY, YYYY-MM or YYYY-MM-DD.")
            inquiry.waits.setdefault(draft.row, []).append(asking.id)
        for reading in draft.readings:
            reading.date = draft.day


@dataclass
class _Book:
    """Rows that landed before, against the records."""

    known: Known
    added: Mapping[str, Animal]
    directory: Directory
    seen: dict[tuple[tuple[Event, ...], tuple[Measurement, ...]], int] = field(default_factory=dict)

    def entry(self, draft: Draft) -> Entry | str:
        """Entry of a row, or why it is left out."""
        if draft.day is None:
            return "has no day"
        told = [self._event(draft, one) for one in draft.said]
        events = tuple(dict.fromkeys(event for event, _ in told))
        readings = tuple(
            replace(one, condition=draft.condition) if one.trait is Trait.MASS else one
            for one in landed(draft, Known())
        )
        if not events and not readings:
            return " ".join(draft.remarks) or "says nothing that happened"
        first = self.seen.setdefault((events, readings), draft.row)
        if first != draft.row:
            return f"says the same as row {first}"
        new = [event for event in events if replace(event, until=None) not in self.known.events]
        fresh = [reading for reading in readings if reading not in self.known.measurements.get(draft.id, ())]
        whom = events[0].animal if events else draft.id
        animal = self.added.get(whom) or self.known.animals[whom]
        return Entry(
            row=draft.row,
            about=f"{animal.name} {animal.id}".strip(),
            said=(*(_words(event) for event in events), *(_reading_words(reading) for reading in readings)),
            records=Records(
                animals=(self.added[draft.id],) if draft.id in self.added else (),
                measurements=tuple(fresh),
                matings=tuple(mating for _, mating in told if mating is not None),
                events=tuple(new),
            ),
            kind=Kind.CREATED if new or fresh else Kind.UNCHANGED,
            typed=draft.typed,
            remarks=tuple(dict.fromkeys(draft.remarks)),
        )

    def _event(self, draft: Draft, one: Said) -> tuple[Event, Mating | None]:
        """Event of one happening, and the mating that a lock belongs to."""
        assert draft.day is not None, "a row without a day is left out before"
        event = Event(draft.id, draft.day, one.kind[:_LONGEST_KIND], one.value, one.unit, one.note, draft.until)
        if one.kind == MOVED:
            return replace(event, note=self.known.place(one.note)), None
        return self._lock(event) if one.kind == LOCK else (event, None)

    def _lock(self, event: Event) -> tuple[Event, Mating | None]:
        """A lock as it is written of the female, the male first in its note; with their mating on record."""
        partner, rest = self._partner(event.note)
        if not partner:
            return event, None
        one, other = self.known.animals.get(event.animal), self.known.animals[partner]
        dam, sire = event.animal, partner
        if one is not None and one.sex is Sex.MALE and other.sex is Sex.FEMALE:
            dam, sire = sire, dam
        elif other.sex is not Sex.MALE:
            return event, None
        matings = self.known.matings.get((dam, sire), ())
        return replace(event, animal=dam, note=f"{sire}: {rest}" if rest else sire), next(
            (mating for mating in matings if _covers(mating, event)), None
        )

    def _partner(self, note: str) -> tuple[str, str]:
        """Animal that a note begins with, and the rest of it; empty where it begins with none or with several."""
        words = without_with(note).split()
        for length in range(min(3, len(words)), 0, -1):
            found = self.directory.find(" ".join(words[:length]).rstrip(",;:."))
            if len(found) == 1:
                return found[0], " ".join(words[length:])
        return "", note


def _covers(mating: Mating, event: Event) -> bool:
    """Whether a day lies within a mating."""
    if mating.together is None or mating.together.earliest > event.date.latest:
        return False
    return mating.apart is None or event.date.earliest <= mating.apart.latest


def _words(event: Event) -> str:
    """One event in words."""
    number = f" {event.value:g} {event.unit}".rstrip() if event.value is not None else ""
    note = f": {event.note}" if event.note else ""
    return f"{event.kind}{number}{note}, {event.date}"


def _reading_words(reading: Measurement) -> str:
    """One measurement in words."""
    condition = f" {reading.condition}" if reading.condition else ""
    return f"{reading.trait.value} {reading.value:g} {reading.unit}{condition}, {reading.date}"
