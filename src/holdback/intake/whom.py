"""Which animal on record a row of a log is about; nobody is added without the keeper's word."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from difflib import get_close_matches

from holdback.collection.model import Animal
from holdback.intake.draft import Draft, id_fault
from holdback.intake.inquiry import Asking, Inquiry, written
from holdback.intake.known import Directory, Known, fold
from holdback.intake.preview import Choice

_NEAR = 0.75


def find_whom(drafts: Sequence[Draft], known: Known, inquiry: Inquiry) -> dict[str, Animal]:
    """Animals that an answer adds; the id of every draft becomes that of its animal.

    Parameters
    ----------
    drafts : sequence of Draft
        Rows with id or name as typed; ids are filled in place, and stay empty where the row waits.
    known : Known
        Animals on record.
    inquiry : Inquiry
        Takes the questions, one for each text.

    Returns
    -------
    dict of str to Animal
        New animals by id.
    """
    directory = Directory((animal.id, animal.name) for animal in known.animals.values())
    by_text: dict[str, list[Draft]] = defaultdict(list)
    above = ""
    for draft in drafts:
        text = draft.id or draft.name
        found = _found(draft, directory)
        if len(found) == 1:
            draft.id = found[0]
        elif text:
            by_text[text].append(draft)
        elif not inquiry.halted(draft.row):
            draft.id = _nobody(draft, above, directory, inquiry)
        above = text or above
    added: dict[str, Animal] = {}
    for text, rows in by_text.items():
        found = _found(rows[0], directory)
        _ask(text, rows, found, known=known, directory=directory, added=added, inquiry=inquiry)
    return added


def _found(draft: Draft, directory: Directory) -> tuple[str, ...]:
    """Ids that a row can mean: by its id, else by its name; of several the one that both name."""
    by_id = directory.find(draft.id) if draft.id else ()
    by_name = directory.find(draft.name) if draft.name else ()
    both = tuple(each for each in by_id if each in by_name)
    return both or by_id or (by_name if not draft.id else ())


def _nobody(draft: Draft, above: str, directory: Directory, inquiry: Inquiry) -> str:
    """Id of a row that names nobody, as answered."""
    choices = [Choice(f"write:{above}", f"Still {above}, as above")] if above else []
    asking = Asking(f"no animal:{draft.row}", lambda rows: "The row names no animal.", "", choices, "It is")
    told = written(inquiry.answer(asking, draft.row))
    return _of_answer(told.text, asking, [draft], directory, inquiry) if told else ""


def _of_answer(text: str, asking: Asking, drafts: Sequence[Draft], directory: Directory, inquiry: Inquiry) -> str:
    """Id of the animal that an answer names; the rows wait on where it names none, or several."""
    found = directory.find(text)
    if len(found) == 1:
        return found[0]
    for draft in drafts:
        draft.remarks.append(f"Your answer “{text}” names {len(found) or 'no'} animals.")
        inquiry.waits.setdefault(draft.row, []).append(asking.id)
    return ""


def _ask(
    text: str,
    drafts: Sequence[Draft],
    found: Sequence[str],
    *,
    known: Known,
    directory: Directory,
    added: dict[str, Animal],
    inquiry: Inquiry,
) -> None:
    """Ask once for all rows that name nobody on record, or several."""
    if found:
        what, why = f"{len(found)} animals are called {text}. Which one is it?", ""
        choices = [Choice(f"is:{each}", _label(known, each)) for each in found[:8]]
    else:
        what, why = f"No animal “{text}” is on record.", "A log names animals that are there."
        choices = [Choice(f"is:{each}", f"It is {_label(known, each)}") for each in _near(text, known)]
        if not id_fault(text):
            choices.append(Choice("add", f"Add {text} as a new animal"))
    asking = Asking(f"whom:{fold(text)}", lambda rows: what, why, choices, "It is")
    rows = [draft.row for draft in drafts if not inquiry.halted(draft.row)]
    answer = inquiry.answer(asking, *rows) if rows else ""
    told = written(answer)
    animal = answer.removeprefix("is:")
    if told is not None:
        animal = _of_answer(told.text, asking, drafts, directory, inquiry)
    elif answer == "add":
        animal = text
        added[text] = Animal(id=text)
    for draft in drafts:
        draft.id = animal


def _label(known: Known, animal: str) -> str:
    """Name and id."""
    name = known.animals[animal].name
    return f"{name} ({animal})" if name and name != animal else animal


def _near(text: str, known: Known) -> list[str]:
    """Ids of animals whose id or name is written nearly so."""
    words: dict[str, str] = {}
    for animal in known.animals.values():
        words.setdefault(fold(animal.id), animal.id)
        if animal.name:
            words.setdefault(fold(animal.name), animal.id)
    return list(dict.fromkeys(words[word] for word in get_close_matches(fold(text), words, 3, _NEAR)))
