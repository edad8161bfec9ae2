"""A clutch sheet as clutches, their eggs as far as they were counted, and the warmth they were set to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import (
    Candidate,
    Clutch,
    Egg,
    EggOutcome,
    Event,
    Records,
    Temperature,
)
from holdback.intake.clutch_checks import check_clutches
from holdback.intake.clutch_rows import ClutchDraft, clutch_draft
from holdback.intake.entries import entries_preview
from holdback.intake.happenings import NOTE
from holdback.intake.inquiry import Asking, Inquiry
from holdback.intake.known import Known
from holdback.intake.mapping import Mapping as ColumnMapping
from holdback.intake.parents import Household, household, resolve_parents
from holdback.intake.placing import settle_places
from holdback.intake.preview import Choice, Entry, Kind, Listed, Preview
from holdback.intake.sheet_kinds import SheetKind
from holdback.intake.tables import Table

_FIELDS = ("dam", "sires", "laid", "eggs", "slugs", "hatched")


def read_clutches(table: Table, mapping: ColumnMapping, known: Known, inquiry: Inquiry) -> Preview:
    """What will come of a clutch sheet.

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

    Notes
    -----
    A number hatched, or a box, makes eggs where none of the clutch are on record: they are numbered, and which of them
    hatched is not told by the numbers. No hatchling is added.
    """
    drafts = [clutch_draft(row, mapping, inquiry) for row in table.rows]
    settle_places(drafts, mapping, known)
    home = household((), known)
    resolve_parents(drafts, home, inquiry)
    check_clutches(drafts, known, inquiry)
    book = _Book(home, _rest(drafts, known, inquiry))
    return entries_preview(
        table,
        drafts,
        inquiry,
        lambda draft: book.entry(draft) if isinstance(draft, ClutchDraft) else "",
        sheet=SheetKind.CLUTCHES,
    )


def _rest(drafts: Sequence[ClutchDraft], known: Known, inquiry: Inquiry) -> EggOutcome:
    """What became of good eggs that did not hatch, asked once."""
    rows = [
        draft.row
        for draft in drafts
        if not inquiry.halted(draft.row)
        and draft.clutch not in known.eggs
        and draft.n_hatched is not None
        and draft.slugs is not None
        and draft.eggs is not None
        and draft.n_hatched < draft.eggs - draft.slugs
    ]
    if not rows:
        return EggOutcome.UNKNOWN
    asking = Asking(
        "not hatched",
        lambda rows: f"Of {len(rows)} clutch{'' if len(rows) == 1 else 'es'} fewer hatched than there were good eggs.",
        "What became of the others is not in the sheet.",
        [Choice("died", "They were lost"), Choice("open", "Leave it open")],
    )
    return EggOutcome.DIED if inquiry.answer(asking, *rows) == "died" else EggOutcome.UNKNOWN


@dataclass
class _Book:
    """Rows as they land, against the records."""

    home: Household
    rest: EggOutcome

    def entry(self, draft: ClutchDraft) -> Entry | str:
        """Entry of a row, or why it is left out."""
        if not draft.clutch:
            return "has no clutch id"
        known = self.home.known
        clutch = Clutch(
            id=draft.clutch,
            dam=draft.dam_id or None,
            sires=tuple(Candidate(each, weight) for each, weight in draft.sire_candidates),
            laid=draft.laid,
            eggs=draft.eggs,
            slugs=draft.slugs,
            hatched=draft.hatched,
        )
        before = known.clutches.get(clutch.id)
        changes = _changes(before, clutch)
        eggs = self._eggs(draft)
        warmth = tuple(one for one in _warmth(draft) if one not in known.warmth)
        events = tuple(event for event in _notes(draft, before) if event not in known.events)
        added = (clutch.dam, *(one.animal for one in clutch.sires))
        more = bool(eggs or warmth or events)
        kind = Kind.CHANGED if changes or more else Kind.UNCHANGED
        return Entry(
            row=draft.row,
            about=f"clutch {clutch.id}",
            said=(*_words(clutch, changes, self.home), *_more_words(draft, eggs, warmth, events)),
            records=Records(
                animals=tuple(self.home.added[each] for each in added if each in self.home.added),
                clutches=(clutch,),
                eggs=eggs,
                temperatures=warmth,
                events=events,
            ),
            kind=Kind.CREATED if before is None else kind,
            typed=draft.typed,
            remarks=tuple(dict.fromkeys(draft.remarks)),
        )

    def _eggs(self, draft: ClutchDraft) -> tuple[Egg, ...]:
        """Eggs by number: those that hatched first, slugs last."""
        there = self.home.known.eggs.get(draft.clutch, ())
        if there:
            hatched = sum(egg.outcome is EggOutcome.HATCHED for egg in there)
            if draft.n_hatched is not None and draft.n_hatched != hatched:
                reason = f"{hatched} hatched eggs of the clutch are on record; correct them there"
                draft.held.append(Listed(draft.row, reason, f"{draft.n_hatched} hatched"))
            return ()
        if draft.n_hatched is None and not draft.place:
            return ()
        total = draft.eggs if draft.eggs is not None else draft.n_hatched or 0
        if not total:
            if draft.place:
                draft.held.append(Listed(draft.row, "no eggs are counted that could lie there", draft.place))
            return ()
        young, slugs = draft.n_hatched or 0, draft.slugs or 0
        rest = self.rest if draft.n_hatched is not None and draft.slugs is not None else EggOutcome.UNKNOWN
        outcomes = [EggOutcome.HATCHED] * young + [rest] * (total - young - slugs) + [EggOutcome.SLUG] * slugs
        draft.remarks.append(f"Its eggs are numbered 1 to {total}; the sheet does not say which is which.")
        return tuple(
            Egg(draft.clutch, str(at), outcome=outcome, box="" if outcome is EggOutcome.SLUG else draft.place)
            for at, outcome in enumerate(outcomes, start=1)
        )


def _changes(before: Clutch | None, clutch: Clutch) -> dict[str, str]:
    """Fields that the row changes, with what is on record."""
    return {
        name: _text(getattr(before, name))
        for name in _FIELDS
        if before is not None
        and getattr(clutch, name) not in (None, ())
        and getattr(clutch, name) != getattr(before, name)
    }


def _text(value: object) -> str:
    """Value on record as text."""
    if isinstance(value, tuple):
        return " or ".join(one.animal for one in value) or "none"
    return "none" if value is None else str(value)


def _warmth(draft: ClutchDraft) -> tuple[Temperature, ...]:
    """The set temperature as a reading of the day of laying."""
    if draft.celsius is None:
        return ()
    if not draft.place or draft.laid is None or not draft.laid.day:
        what = "a temperature without the place it was set in, or the day of laying"
        draft.held.append(Listed(draft.row, what, draft.typed.get("temperature", "")))
        return ()
    note = f"as set, by the sheet of clutch {draft.clutch}"
    return (Temperature(draft.place, draft.laid, draft.celsius, note=note),)


def _notes(draft: ClutchDraft, before: Clutch | None) -> tuple[Event, ...]:
    """Notes of a clutch as a note of its dam on the day of laying."""
    if not draft.notes:
        return ()
    dam, laid = draft.dam_id or (before.dam if before else None), draft.laid or (before.laid if before else None)
    text = "; ".join(draft.notes)
    if not dam or laid is None:
        draft.held.append(Listed(draft.row, "a note of a clutch whose dam or day of laying is not known", text))
        return ()
    return (Event(dam, laid, NOTE, note=f"clutch {draft.clutch}: {text}"),)


def _words(clutch: Clutch, changes: Mapping[str, str], home: Household) -> list[str]:
    """One clutch in words; what changes is said to."""
    sires = " or ".join(home.label(one.animal) for one in clutch.sires)
    parts = {
        "dam": f"dam {home.label(clutch.dam)}" if clutch.dam else "",
        "sires": f"sire {sires}" if sires else "",
        "laid": f"laid {clutch.laid}" if clutch.laid else "",
        "eggs": f"{clutch.eggs} eggs" if clutch.eggs is not None else "",
        "slugs": f"{clutch.slugs} of them slugs" if clutch.slugs else "",
        "hatched": f"hatched {clutch.hatched}" if clutch.hatched else "",
    }
    found = [
        f"{words} (on record: {changes[name]})" if name in changes else words for name, words in parts.items() if words
    ]
    return found or ["nothing but its id"]


def _more_words(
    draft: ClutchDraft, eggs: Sequence[Egg], warmth: Sequence[Temperature], events: Sequence[Event]
) -> list[str]:
    """What lands beside the clutch itself."""
    found = []
    if eggs and draft.n_hatched is not None:
        found.append(f"{draft.n_hatched} hatched")
    if eggs and draft.place:
        found.append(f"eggs in {draft.place}")
    found += [f"{one.celsius:.1f} °C set" for one in warmth]
    return [*found, *(f"note: {event.note}" for event in events)]
