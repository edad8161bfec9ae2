"""What of a clutch cannot be: more young than eggs, hatched before laid, another clutch under its id."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.intake.clutch_rows import ClutchDraft
from holdback.intake.draft import id_fault
from holdback.intake.inquiry import Asking, Inquiry, written
from holdback.intake.known import Known
from holdback.intake.preview import Choice

SHORTEST_DAYS, LONGEST_DAYS = 30, 120
"""Days from laying to hatching outside which the days are asked about: far wider than the 53 to 65 days that keepers
tell of (common practice, no source)."""

OTHER_DAYS = 60
"""Layings of one clutch further apart than this are asked about."""


def check_clutches(drafts: Sequence[ClutchDraft], known: Known, inquiry: Inquiry) -> None:
    """Ask about rows that cannot be, and mend them as answered.

    Parameters
    ----------
    drafts : sequence of ClutchDraft
        Rows with their parents; changed in place.
    known : Known
        Clutches, eggs and animals on record.
    inquiry : Inquiry
        Takes the questions.
    """
    young: dict[str, int] = {}
    for animal in known.animals.values():
        if animal.clutch:
            young[animal.clutch] = young.get(animal.clutch, 0) + 1
    first: dict[str, ClutchDraft] = {}
    for draft in drafts:
        if draft.clutch:
            _other(draft, known, inquiry)
        _days(draft, inquiry)
        _counts(draft, young.get(draft.clutch, 0), inquiry)
        if draft.clutch and not inquiry.halted(draft.row):
            _twice(draft, first.setdefault(draft.clutch, draft), inquiry)


def _other(draft: ClutchDraft, known: Known, inquiry: Inquiry) -> None:
    """Ask where a clutch on record has the same id and another dam, or was laid at another time."""
    before = known.clutches.get(draft.clutch)
    if before is None:
        return
    differs = []
    if before.dam and draft.dam_id and before.dam != draft.dam_id:
        differs.append(f"of {before.dam}")
    if before.laid and draft.laid and abs((before.laid.earliest - draft.laid.earliest).days) > OTHER_DAYS:
        differs.append(f"laid {before.laid}")
    if not differs:
        return
    asking = Asking(
        f"other clutch:{draft.clutch}",
        lambda rows: f"Clutch {draft.clutch} is on record {', '.join(differs)}.",
        "Ids of clutches are not used twice.",
        [Choice("same", "It is this clutch; what is on record was wrong")],
        "The id of this one is",
    )
    told = written(inquiry.answer(asking, draft.row))
    if told is not None and (told.text in known.clutches or id_fault(told.text)):
        draft.remarks.append(f"“{told.text}” cannot be its id: it is taken, or no id.")
        inquiry.waits.setdefault(draft.row, []).append(asking.id)
    elif told is not None:
        draft.clutch = told.text


def _days(draft: ClutchDraft, inquiry: Inquiry) -> None:
    """Ask where a clutch hatched too soon or too late."""
    if draft.laid is None or draft.hatched is None:
        return
    least = (draft.hatched.earliest - draft.laid.latest).days
    most = (draft.hatched.latest - draft.laid.earliest).days
    if most >= SHORTEST_DAYS and least <= LONGEST_DAYS:
        return
    asking = Asking(
        f"order:{draft.row}",
        lambda rows: f"Laid {draft.laid} and hatched {draft.hatched}.",
        f"Between them lie {SHORTEST_DAYS} to {LONGEST_DAYS} days at the most; one of the days is wrong.",
        [
            Choice("unknown", "Hatched unknown, keep it as a note"),
            Choice("laid", "Laid unknown, keep it as a note"),
        ],
    )
    answer = inquiry.answer(asking, draft.row)
    if answer == "unknown":
        draft.notes.append(f"hatched: {draft.hatched}")
        draft.hatched = None
    elif answer == "laid":
        draft.notes.append(f"laid: {draft.laid}")
        draft.laid = None


def _counts(draft: ClutchDraft, young: int, inquiry: Inquiry) -> None:
    """Ask where the counts do not go together; eggs become all that were laid."""
    if draft.good is not None and draft.eggs is None:
        draft.eggs = draft.good + (draft.slugs or 0)
    wrong = _wrong(draft, young)
    if not wrong:
        return
    eggs, slugs = draft.eggs or 0, draft.slugs or 0
    choices = [Choice("notes", "Keep the counts as a note only")]
    if slugs and draft.good is None and max(draft.n_hatched or 0, young) <= eggs:
        choices.insert(0, Choice("good", f"The {eggs} are the good ones: {eggs + slugs} in all"))
    if draft.n_hatched is not None and young <= eggs - slugs and slugs <= eggs:
        choices.append(Choice("hatched", "Keep the number hatched as a note only"))
    asking = Asking(
        f"count:{draft.row}",
        lambda rows: wrong,
        "Eggs are all that were laid, slugs among them.",
        choices,
        "Eggs in all",
    )
    answer = inquiry.answer(asking, draft.row)
    told = written(answer)
    if told is not None and told.text.isdigit():
        draft.eggs, draft.good = int(told.text), None
    elif answer == "good":
        draft.eggs = eggs + slugs
    elif answer == "notes":
        draft.notes += [f"{name}: {draft.typed[name]}" for name in _COUNTS if name in draft.typed]
        draft.eggs = draft.good = draft.slugs = draft.n_hatched = None
    elif answer == "hatched":
        draft.notes.append(f"number hatched: {draft.n_hatched}")
        draft.n_hatched = None
    if answer and (left := _wrong(draft, young if draft.eggs is not None else 0)):
        draft.remarks.append(left)
        inquiry.waits.setdefault(draft.row, []).append(asking.id)


_COUNTS = ("eggs", "good eggs", "slugs", "number hatched")


def _wrong(draft: ClutchDraft, young: int) -> str:
    """What of the counts cannot be, empty if all can."""
    eggs, slugs = draft.eggs, draft.slugs or 0
    if eggs is None:
        return ""
    if draft.good is not None and draft.slugs is not None and draft.good + slugs != eggs:
        return f"{eggs} eggs are not {draft.good} good and {slugs} slugs."
    if slugs > eggs:
        return f"{slugs} slugs of {eggs} eggs."
    among = f", {slugs} of them slugs" if slugs else ""
    if draft.n_hatched is not None and draft.n_hatched > eggs - slugs:
        return f"{draft.n_hatched} eggs hatched of {eggs}{among}."
    return f"{young} young are on record, of {eggs} eggs{among}." if young > eggs - slugs else ""


def _twice(draft: ClutchDraft, first: ClutchDraft, inquiry: Inquiry) -> None:
    """Leave a row out that says the same as another of its clutch; ask about one that does not."""
    if first is draft:
        return
    if first.typed == draft.typed:
        inquiry.left_out[draft.row] = f"says the same as row {first.row}"
        return
    asking = Asking(
        f"clutch twice:{draft.row}",
        lambda rows: f"Clutch {draft.clutch} stands in row {first.row} already.",
        "Ids of clutches are not used twice.",
        [Choice("same", "The same clutch: what this row says holds")],
        "The id of this one is",
    )
    told = written(inquiry.answer(asking, draft.row))
    if told is not None:
        draft.clutch = told.text
