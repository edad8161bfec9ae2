"""Parents by id or by name, and whether they can be parents: sex, age, no circle."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import NO_SIRE, Animal, PartialDate, Sex
from holdback.intake.cellwords import ParentWords
from holdback.intake.draft import Draft, id_fault
from holdback.intake.inquiry import Asking, Inquiry, written
from holdback.intake.known import Directory, Known, fold
from holdback.intake.preview import Choice

YOUNGEST_PARENT_DAYS = 365
"""A parent younger than this when its young hatched is asked about: a male breeds from about eight months, and some
hundred days pass from pairing to hatching (common practice, no source)."""

_SEX_OF = {"sire": Sex.MALE, "dam": Sex.FEMALE}


@dataclass
class Household:
    """Everybody a parent can be: rows of the sheet, animals on record, animals added for a parent column."""

    drafts: Mapping[str, Draft]
    known: Known
    directory: Directory
    recorded: Directory
    added: dict[str, Animal]
    added_for: dict[str, list[int]]

    def sex(self, animal_id: str) -> Sex:
        """Sex as the sheet says it, else as recorded."""
        draft = self.drafts.get(animal_id)
        if draft is not None and draft.sex is not None:
            return draft.sex
        animal = self.added.get(animal_id) or self.known.animals.get(animal_id)
        return animal.sex if animal else Sex.UNKNOWN

    def hatched(self, animal_id: str) -> PartialDate | None:
        """Hatch date as the sheet says it, else as recorded."""
        draft = self.drafts.get(animal_id)
        if draft is not None and draft.hatched is not None:
            return draft.hatched
        animal = self.known.animals.get(animal_id)
        return animal.hatched if animal else None

    def wanted(self, animal_id: str, row: int) -> str:
        """The id again, with the row noted that an added animal is needed for."""
        if animal_id in self.added:
            self.added_for[animal_id].append(row)
        return animal_id

    def label(self, animal_id: str) -> str:
        """Name and id."""
        draft = self.drafts.get(animal_id)
        animal = self.known.animals.get(animal_id)
        name = (draft.name if draft else "") or (animal.name if animal else "")
        return f"{name} ({animal_id})" if name and name != animal_id else animal_id


def household(drafts: Sequence[Draft], known: Known) -> Household:
    """Everybody in the sheet and on record."""
    by_id: dict[str, Draft] = {}
    for draft in drafts:
        if draft.id:
            by_id.setdefault(draft.id, draft)
    people = [(animal.id, animal.name) for animal in known.animals.values()]
    directory = Directory([*people, *((draft.id, draft.name) for draft in by_id.values())])
    return Household(by_id, known, directory, Directory(people), {}, defaultdict(list))


def resolve_parents(drafts: Sequence[Draft], home: Household, inquiry: Inquiry) -> None:
    """Fill the candidate sires and the dam of every draft; what cannot be told is asked.

    Parameters
    ----------
    drafts : sequence of Draft
        Rows with their ids.
    home : Household
        Everybody a parent can be; animals that an answer adds are taken in.
    inquiry : Inquiry
        Takes the questions.
    """
    for draft in drafts:
        if draft.id and draft.row not in inquiry.left_out:
            sires = _resolved(draft, "sire", draft.sire, home, inquiry)
            dams = _resolved(draft, "dam", draft.dam, home, inquiry)
            draft.sire_candidates = _weighted(draft.sire, sires)
            draft.dam_id = _one_dam(draft, dams, inquiry)
    for draft in drafts:
        if draft.id and draft.row not in inquiry.left_out:
            _check_sexes(draft, home, inquiry)
            _check_ages(draft, home, inquiry)
    _check_circles(drafts, home, inquiry)


def _resolved(
    draft: Draft, which: str, words: ParentWords | None, home: Household, inquiry: Inquiry
) -> tuple[str, ...]:
    """Ids of the candidates that are known or added."""
    if words is None:
        return ()
    who = _by_id if words.exact else _who
    found = (who(draft, which, name, home, inquiry) for name in words.names)
    return tuple(animal_id for animal_id in found if animal_id)


def _by_id(draft: Draft, which: str, name: str, home: Household, inquiry: Inquiry) -> str:
    """Id of a parent in a pedigree file; one without a line of its own that is not on record is added."""
    ids = (name,) if name in home.directory else home.recorded.find_id(name)
    if len(ids) > 1 or id_fault(name):
        return _who(draft, which, name, home, inquiry)
    return home.wanted(ids[0], draft.row) if ids else _added(draft, which, name, home)


def _added(draft: Draft, which: str, name: str, home: Household) -> str:
    """Id of a parent that is added with nothing but its sex."""
    home.added[name] = Animal(id=name, sex=_SEX_OF[which])
    home.directory.add(name, "")
    return home.wanted(name, draft.row)


def _who(draft: Draft, which: str, name: str, home: Household, inquiry: Inquiry) -> str:
    """Id of one candidate, empty while it is asked or unknown."""
    ids = home.directory.find(name)
    fitting = tuple(each for each in ids if home.sex(each) in (_SEX_OF[which], Sex.UNKNOWN)) or ids
    if len(fitting) == 1:
        return home.wanted(fitting[0], draft.row)
    if fitting:
        return _which_of(draft, which, name, fitting, home=home, inquiry=inquiry)
    sex = _SEX_OF[which].value
    choices = [
        Choice("unknown", f"{which.capitalize()} unknown, keep the name in the notes"),
    ]
    if not id_fault(name):
        choices.insert(0, Choice("add", f"Add {name} as a {sex}, nothing else known"))
    asking = Asking(
        f"{which}:{fold(name)}",
        lambda rows: f"{which.capitalize()} “{name}” is not in the sheet and not on record.",
        "An animal sold or on loan can be added with its name alone.",
        choices,
        f"The {which} is",
    )
    answer = inquiry.answer(asking, draft.row)
    told = written(answer)
    if told is not None:
        ids = home.directory.find(told.text)
        if len(ids) == 1:
            return ids[0]
        draft.remarks.append(f"Your answer “{told.text}” names {len(ids) or 'no'} animals.")
        inquiry.waits.setdefault(draft.row, []).append(asking.id)
    if answer == "unknown":
        draft.notes.append(f"{which.capitalize()}: {name}")
    if answer == "add":
        return _added(draft, which, name, home)
    return ""


def _which_of(draft: Draft, which: str, name: str, ids: Sequence[str], *, home: Household, inquiry: Inquiry) -> str:
    """Id chosen among several animals of one name."""
    asking = Asking(
        f"{which}:{fold(name)}",
        lambda rows: f"{len(ids)} animals are called {name}. Which one is the {which}?",
        "",
        [
            *(Choice(f"is:{each}", home.label(each)) for each in ids[:8]),
            Choice("unknown", f"{which.capitalize()} unknown, keep the name in the notes"),
        ],
    )
    answer = inquiry.answer(asking, draft.row)
    if answer == "unknown":
        draft.notes.append(f"{which.capitalize()}: {name}")
        return ""
    return answer.removeprefix("is:")


def _weighted(words: ParentWords | None, ids: Sequence[str]) -> tuple[tuple[str, float], ...]:
    """Candidates with weights; several without one get equal parts."""
    if words is None:
        return ()
    if words.none:
        return ((NO_SIRE, 1.0),)
    if words.weights and len(ids) == len(words.weights):
        return tuple(zip(ids, words.weights, strict=True))
    # A candidate left unknown keeps its part: the rest of the weight is an unknown animal.
    return tuple((each, 1.0 / len(words.names)) for each in dict.fromkeys(ids))


def _one_dam(draft: Draft, dams: Sequence[str], inquiry: Inquiry) -> str:
    """The dam; two of them are asked about."""
    if len(dams) < 2:
        return dams[0] if dams else ""
    asking = Asking(
        f"dams:{draft.row}",
        lambda rows: f"{len(dams)} dams: {' and '.join(dams)}. An animal has one.",
        "",
        [
            *(Choice(f"is:{each}", f"It is {each}") for each in dams),
            Choice("unknown", "Dam unknown, keep both in the notes"),
        ],
    )
    answer = inquiry.answer(asking, draft.row)
    if answer == "unknown":
        draft.notes.append(f"Dam: {' or '.join(dams)}")
        return ""
    return answer.removeprefix("is:")


def _check_sexes(draft: Draft, home: Household, inquiry: Inquiry) -> None:
    """Ask where the sire is a female or the dam a male, or an animal is its own parent."""
    sires = [each for each, _ in draft.sire_candidates if each != NO_SIRE]
    wrong_sire = [each for each in sires if home.sex(each) is Sex.FEMALE]
    wrong_dam = bool(draft.dam_id) and home.sex(draft.dam_id) is Sex.MALE
    if len(sires) == 1 and wrong_sire and wrong_dam:
        _ask_exchange(draft, sires[0], home, inquiry)
        return
    for each in wrong_sire:
        if _ask_wrong(draft, "sire", f"{home.label(each)} is a female", inquiry):
            draft.sire_candidates = tuple(pair for pair in draft.sire_candidates if pair[0] != each)
            draft.notes.append(f"Sire: {each}")
    if wrong_dam and _ask_wrong(draft, "dam", f"{home.label(draft.dam_id)} is a male", inquiry):
        draft.notes.append(f"Dam: {draft.dam_id}")
        draft.dam_id = ""
    if draft.id in sires and _ask_wrong(draft, "sire", "it is the animal itself", inquiry):
        draft.sire_candidates = tuple(pair for pair in draft.sire_candidates if pair[0] != draft.id)
    if draft.dam_id == draft.id and draft.dam_id and _ask_wrong(draft, "dam", "it is the animal itself", inquiry):
        draft.dam_id = ""


def _ask_exchange(draft: Draft, sire: str, home: Household, inquiry: Inquiry) -> None:
    """Both parents of the wrong sex: probably in each other's column."""
    asking = Asking(
        f"exchange:{draft.row}",
        lambda rows: f"Sire {home.label(sire)} is a female and dam {home.label(draft.dam_id)} a male.",
        "They may stand in each other's column.",
        [Choice("exchange", "Exchange sire and dam"), Choice("unknown", "Both unknown, keep them in the notes")],
    )
    answer = inquiry.answer(asking, draft.row)
    if answer == "exchange":
        draft.sire_candidates, draft.dam_id = ((draft.dam_id, 1.0),), sire
    elif answer == "unknown":
        draft.notes.append(f"Sire: {sire}; dam: {draft.dam_id}")
        draft.sire_candidates, draft.dam_id = (), ""


def _ask_wrong(draft: Draft, which: str, why: str, inquiry: Inquiry) -> bool:
    """Whether the keeper sets a parent that cannot be to unknown."""
    asking = Asking(
        f"{which} wrong:{draft.row}",
        lambda rows: f"The {which} cannot be: {why}.",
        f"Correct the sheet, or set the {which} to unknown.",
        [Choice("unknown", f"{which.capitalize()} unknown")],
    )
    return inquiry.answer(asking, draft.row) == "unknown"


def _check_ages(draft: Draft, home: Household, inquiry: Inquiry) -> None:
    """Ask where a parent hatched too late for its young."""
    own = draft.hatched or home.hatched(draft.id)
    if own is None:
        return
    parents = [("sire", each) for each, _ in draft.sire_candidates if each != NO_SIRE]
    parents += [("dam", draft.dam_id)] if draft.dam_id else []
    for which, each in parents:
        theirs = home.hatched(each)
        if theirs is None or (own.latest - theirs.earliest).days >= YOUNGEST_PARENT_DAYS:
            continue
        asking = Asking(
            f"{which} age:{draft.row}",
            lambda rows, which=which, theirs=theirs, each=each: (  # type: ignore[misc]  # bound early
                f"Hatched {own}, {which} {home.label(each)} hatched {theirs}."
            ),
            f"Correct one date, or set the {which} to unknown.",
            [Choice("unknown", f"{which.capitalize()} unknown")],
            "It hatched",
        )
        answer = inquiry.answer(asking, draft.row)
        told = written(answer)
        if answer == "unknown":
            _drop_parent(draft, which, each)
        elif told is not None:
            _redate(draft, told.text, asking.id, inquiry)


def _redate(draft: Draft, text: str, key: str, inquiry: Inquiry) -> None:
    """Another hatch date by the keeper's word."""
    try:
        draft.hatched = PartialDate.parse(text)
    except ValueError:
        draft.remarks.append(f"“{text}” is not YYYY, YYYY-MM or YYYY-MM-DD.")
        inquiry.waits.setdefault(draft.row, []).append(key)


def _drop_parent(draft: Draft, which: str, parent: str) -> None:
    """Set a parent to unknown and keep its id in the notes."""
    draft.notes.append(f"{which.capitalize()}: {parent}")
    if which == "dam":
        draft.dam_id = ""
    else:
        draft.sire_candidates = tuple(pair for pair in draft.sire_candidates if pair[0] != parent)


def _check_circles(drafts: Sequence[Draft], home: Household, inquiry: Inquiry) -> None:
    """Ask about rows that make an animal its own ancestor."""
    parents: dict[str, list[str]] = {}
    for animal in home.known.animals.values():
        parents[animal.id] = [c.animal for c in animal.sires if c.animal != NO_SIRE] + (
            [animal.dam] if animal.dam else []
        )
    rows = {}
    for draft in drafts:
        if draft.id and draft.row not in inquiry.left_out:
            own = [each for each, _ in draft.sire_candidates if each != NO_SIRE]
            if own or draft.dam_id or draft.id not in parents:
                parents[draft.id] = own + ([draft.dam_id] if draft.dam_id else [])
            rows[draft.id] = draft
    for animal_id in _in_circles(parents):
        draft_in = rows.get(animal_id)
        if draft_in is None or animal_id in parents[animal_id]:
            continue
        asking = Asking(
            f"circle:{draft_in.row}",
            lambda _, animal_id=animal_id: f"{home.label(animal_id)} would be its own ancestor.",  # type: ignore[misc]  # bound early
            "Correct the parents in the sheet, or set them to unknown.",
            [Choice("unknown", "Both parents unknown")],
        )
        if inquiry.answer(asking, draft_in.row) == "unknown":
            draft_in.sire_candidates, draft_in.dam_id = (), ""


def _in_circles(parents: Mapping[str, Sequence[str]]) -> list[str]:
    """Ids that remain when everything without open parents or open young is taken away: all on or between circles."""
    up = {animal: {p for p in found if p in parents} for animal, found in parents.items()}
    down: dict[str, set[str]] = defaultdict(set)
    for animal, found in up.items():
        for parent in found:
            down[parent].add(animal)
    remaining = set(up)
    for links, back in ((up, down), (down, up)):
        free = [animal for animal in remaining if not (links.get(animal, set()) & remaining)]
        while free:
            animal = free.pop()
            if animal not in remaining:
                continue
            remaining.discard(animal)
            for other in back.get(animal, set()):
                if other in remaining and not (links.get(other, set()) & remaining):
                    free.append(other)
    return [animal for animal in parents if animal in remaining]
