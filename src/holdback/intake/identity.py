"""Which animal a row is about: ids that are missing, repeat, or stand for two animals."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence

from holdback.intake.draft import Draft, id_fault
from holdback.intake.headings import MEASURES, Field
from holdback.intake.inquiry import Asking, Inquiry, rows_named, written
from holdback.intake.known import Directory, Known
from holdback.intake.mapping import Mapping as ColumnMapping
from holdback.intake.preview import Choice

_LOG_FIELDS = frozenset({Field.ID, Field.NAME, Field.MEASURED, Field.NOTES, Field.PLACE, Field.LEAVE_OUT, *MEASURES})


def is_log(mapping: ColumnMapping, drafts: Sequence[Draft]) -> bool:
    """Whether the sheet is a log of measurements, in which an animal stands many times.

    Parameters
    ----------
    mapping : Mapping
        What the columns are.
    drafts : sequence of Draft
        The rows.

    Returns
    -------
    bool
        True where nothing but measurements is said and ids repeat.
    """
    fields = {plan.field for plan in mapping.columns}
    if not fields <= _LOG_FIELDS or not fields & MEASURES:
        return False
    counts = Counter(draft.id or draft.name for draft in drafts)
    return any(count > 1 for count in counts.values())


def identify(drafts: Sequence[Draft], mapping: ColumnMapping, known: Known, inquiry: Inquiry) -> None:
    """Give every draft its id; what cannot be told is asked.

    Parameters
    ----------
    drafts : sequence of Draft
        Rows of the sheet; their ids are filled in place.
    mapping : Mapping
        What the columns are.
    known : Known
        Animals on record.
    inquiry : Inquiry
        Takes the questions.
    """
    recorded = Directory((animal.id, animal.name) for animal in known.animals.values())
    log = is_log(mapping, drafts)
    by_name_only = not mapping.of(Field.ID)
    for draft in drafts:
        if not draft.id and not inquiry.halted(draft.row):
            _from_name(draft, recorded, inquiry, by_name_only=by_name_only)
        elif draft.id and draft.id not in known.animals:
            _other_case(draft, recorded)
    if log:
        _strangers(drafts, known, inquiry)
    else:
        _repeated(drafts, known, inquiry)


def _from_name(draft: Draft, recorded: Directory, inquiry: Inquiry, *, by_name_only: bool) -> None:
    """Id of a row without one: the animal of that name on record, or the name itself where no column holds ids."""
    found = recorded.find(draft.name) if draft.name else ()
    if len(found) == 1 and by_name_only:
        draft.id = found[0]
        return
    if by_name_only and draft.name and not found and not id_fault(draft.name):
        draft.id = draft.name
        return
    choices = [Choice(f"is:{each}", f"It is {each}") for each in found]
    if draft.name and not found and not id_fault(draft.name):
        choices.append(Choice(f"is:{draft.name}", f"Use its name, {draft.name}, as the id"))
    what = f"“{draft.name}” is the name of {len(found)} animals." if len(found) > 1 else "The row has no id."
    asking = Asking(f"no id:{draft.row}", lambda rows: what, "Every animal needs one.", choices, "Its id is")
    answer = inquiry.answer(asking, draft.row)
    told = written(answer)
    draft.id = told.text if told else answer.removeprefix("is:")
    if draft.id and id_fault(draft.id):
        draft.id = ""
        inquiry.waits.setdefault(draft.row, []).append(asking.id)


def _other_case(draft: Draft, recorded: Directory) -> None:
    """Take the id as it is on record where only the case differs, or what a pedigree file writes for a space."""
    found = recorded.find_id(draft.id) if draft.exact_id else recorded.find(draft.id)
    if len(found) == 1 and (draft.exact_id or found[0].casefold() == draft.id.casefold()):
        draft.remarks.append(f"“{draft.id}” is taken for {found[0]} on record.")
        draft.id = found[0]


def _strangers(drafts: Sequence[Draft], known: Known, inquiry: Inquiry) -> None:
    """In a log of measurements, ask about ids that are not on record."""
    rows: dict[str, list[int]] = defaultdict(list)
    for draft in drafts:
        if draft.id and draft.id not in known.animals and not inquiry.halted(draft.row):
            rows[draft.id].append(draft.row)
    for animal_id, found in rows.items():
        asking = Asking(
            f"new:{animal_id}",
            lambda _, animal_id=animal_id: f"No animal {animal_id} is on record.",  # type: ignore[misc]  # bound early
            "A log of measurements names animals that are there.",
            [Choice("add", f"Add {animal_id} as a new animal")],
        )
        inquiry.answer(asking, *found)


def _repeated(drafts: Sequence[Draft], known: Known, inquiry: Inquiry) -> None:
    """Ask about ids that stand in several rows."""
    by_id: dict[str, list[Draft]] = defaultdict(list)
    for draft in drafts:
        if draft.id and draft.row not in inquiry.left_out:
            by_id[draft.id].append(draft)
    taken = {*by_id, *known.animals}
    for animal_id, same in by_id.items():
        if len(same) < 2:
            continue
        first = same[0]
        rest = [each for each in same[1:] if not _twin(first, each)]
        for each in same[1:]:
            if each not in rest:
                inquiry.left_out[each.row] = f"says the same as row {first.row}"
        if rest:
            _ask_repeated(animal_id, first, rest, taken, inquiry)


def _twin(first: Draft, other: Draft) -> bool:
    """Whether two rows say the same in every column."""
    return first.typed == other.typed


def _ask_repeated(animal_id: str, first: Draft, rest: Sequence[Draft], taken: set[str], inquiry: Inquiry) -> None:
    """One id, several rows: other animals, or the same one again?"""
    renamed: dict[int, str] = {}
    for each in rest:
        renamed[each.row] = _free_id(animal_id, taken | set(renamed.values()))
    rows = [each.row for each in rest]
    new = ", ".join(renamed.values())
    choices = [
        Choice("rename", f"Make {rows_named(rows)} {new}"),
        Choice("same", f"The same animal: add what {rows_named(rows)} says"),
        Choice("first", f"Keep row {first.row}, leave {rows_named(rows)} out"),
    ]
    asking = Asking(
        f"twice:{animal_id}",
        lambda _: f"{len(rest) + 1} rows with the id {animal_id}{_differences(first, rest)}.",
        "Tub tags are reused; ids are not. Give one a new id, or say that it is the same animal.",
        choices,
        f"{rows_named(rows).capitalize()} is" if len(rows) == 1 else "",
    )
    answer = inquiry.answer(asking, first.row, *rows)
    told = written(answer)
    for each in rest:
        if answer == "rename":
            each.id = renamed[each.row]
        elif told is not None:
            each.id = told.text
        elif answer == "same":
            each.same_as = first.row
        elif answer == "first":
            inquiry.left_out[each.row] = f"left out by you: the id {animal_id} is that of row {first.row}"
    if told is not None and (told.text in taken or id_fault(told.text)):
        inquiry.waits.setdefault(rest[0].row, []).append(asking.id)
    taken.update(each.id for each in rest)


def _differences(first: Draft, rest: Sequence[Draft]) -> str:
    """In which columns repeated rows differ, in words."""
    differing = {
        name
        for each in rest
        for name in {*first.typed, *each.typed}
        if first.typed.get(name, "") != each.typed.get(name, "")
    }
    order = ["name", "sex", "hatched", "genes", "sire", "dam", "mass"]
    shown = [name for name in order if name in differing]
    return f" (they differ in {', '.join(shown)})" if shown else ""


def _free_id(animal_id: str, taken: Collection[str]) -> str:
    """First id with a letter behind it that is not taken."""
    letters = "bcdefghijklmnopqrstuvwxyz"
    return next(
        (f"{animal_id}{letter}" for letter in letters if f"{animal_id}{letter}" not in taken),
        f"{animal_id}-{len(taken)}",
    )


def rows_by_id(drafts: Sequence[Draft]) -> Mapping[str, Draft]:
    """First draft of every id."""
    found: dict[str, Draft] = {}
    for draft in drafts:
        if draft.id:
            found.setdefault(draft.id, draft)
    return found
