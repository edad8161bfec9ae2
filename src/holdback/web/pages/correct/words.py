"""What follows from a correction, in words that a session or a job can keep."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypedDict

from django.urls import reverse
from django.utils.html import format_html

from holdback.web.pages.components import Column, Table
from holdback.web.pages.readings import copies_in_words
from holdback.web.pages.wording import counted, day, listed, percent, whole_percent
from holdback.web.records.models import Animal
from holdback.web.records.queries import animal_by_tag, present_animals

if TYPE_CHECKING:
    from holdback.answers.consequences import Consequences, GeneShift
    from holdback.collection.model import Mating

SHOWN = 12
"""Lines of one kind that are shown, the largest first."""


class Line(TypedDict):
    """One thing that is said otherwise: of whom (with its page), of what, and what was and is said."""

    who: str
    url: str
    what: str
    was: str
    now: str


class Section(TypedDict):
    """Everything of one kind: its head, how many there are, and the largest of them."""

    head: str
    count: int
    lines: list[Line]


class Told(TypedDict):
    """What follows in words.

    ``sum`` is one sentence, ``notes`` say what was not looked for or is not exact, ``messages`` pair a head with
    sentences.
    """

    sum: str
    notes: list[str]
    sections: list[Section]
    messages: list[tuple[str, list[str]]]


def told(found: Consequences, ids: Mapping[str, Animal] | None = None) -> Told:
    """Consequences in words, the largest of each kind first.

    Parameters
    ----------
    found : Consequences
        What is said otherwise.
    ids : mapping of str to Animal, optional
        Animals by their ids in the engine; looked up if left out.
    """
    of = _animals(found) if ids is None else ids
    genes = [_line(one.animal, of, one.name, *_copies(one)) for one in found.genes[:SHOWN]]
    shares = [
        _line(one.animal, of, one.line, whole_percent(one.was), whole_percent(one.now)) for one in found.shares[:SHOWN]
    ]
    sires = [_sire(one.clutch, one.sire, one.was, one.now) for one in found.sires[:SHOWN]]
    sections: list[Section] = [
        {"head": "What animals carry", "count": len(found.genes), "lines": genes},
        {"head": "How much of a line", "count": len(found.shares), "lines": shares},
        {"head": "Who sired a clutch", "count": len(found.sires), "lines": sires},
    ]
    messages = [
        ("Would no longer fit", [one.message for one in found.conflicts_new or ()]),
        ("Would fit again", [one.message for one in found.conflicts_gone or ()]),
        ("Matings that go, with their locks", [_mating(one) for one in found.matings_gone]),
    ]
    return {
        "sum": sentence(found),
        "notes": _notes(found),
        "sections": [one for one in sections if one["count"]],
        "messages": [(head, texts) for head, texts in messages if texts],
    }


def sentence(found: Consequences) -> str:
    """How much is said otherwise, in a sentence."""
    if found.is_empty:
        return "Nothing else is said otherwise."
    counts = found.counts
    clutches = len({one.clutch for one in found.sires})
    of = [
        counted(counts["animals"], "animal") if counts["animals"] else "",
        f"the sire of {counted(clutches, 'clutch', 'clutches')}" if clutches else "",
    ]
    rest = [
        counted(counts["matings_gone"], "mating goes", "matings go") if counts["matings_gone"] else "",
        counted(counts["conflicts_new"], "new doubt") if counts["conflicts_new"] else "",
        counted(counts["conflicts_gone"], "doubt goes", "doubts go") if counts["conflicts_gone"] else "",
    ]
    who = listed([part for part in of if part])
    said = [f"Something else is said of {who}." if who else "", listed([part for part in rest if part])]
    return " ".join(part if part.endswith(".") else f"{part}." for part in said if part)


def table(section: Mapping[str, Any], *, is_done: bool) -> Table:
    """The lines of a section as a table."""
    heads = [
        Column("Who"),
        Column("What"),
        Column("Was" if is_done else "Is"),
        Column("Now" if is_done else "Would be"),
    ]
    rows = [
        [
            format_html('<a href="{}">{}</a>', line["url"], line["who"]) if line["url"] else line["who"],
            line["what"],
            line["was"],
            line["now"],
        ]
        for line in section["lines"]
    ]
    return Table(heads, rows)


def _animals(found: Consequences) -> dict[str, Animal]:
    """Animals that are told of, by their id in the engine; one query unless ids were given twice."""
    names = {one.animal for shifts in (found.genes[:SHOWN], found.shares[:SHOWN]) for one in shifts}
    known = {one.tag: one for one in present_animals().filter(tag__in=names, living=True)}
    for name in sorted(names - known.keys()):
        if one := animal_by_tag(name):
            known[name] = one
    return known


def _line(animal: str, of: Mapping[str, Animal], what: str, was: str, now: str) -> Line:
    one = of.get(animal)
    who = f"{one.name} {one.tag}".strip() if one else animal
    return {
        "who": who,
        "url": reverse("pages:animal", args=[one.pk]) if one else "",
        "what": what,
        "was": was,
        "now": now,
    }


def _copies(shift: GeneShift) -> tuple[str, str]:
    """What was said and what is; with the chance in percent where the words are the same."""
    was, now = (copies_in_words(gene.copies) if gene else "nothing to tell" for gene in (shift.was, shift.now))
    if was == now and shift.was and shift.now:
        return f"{was} ({percent(shift.was.chance)})", f"{now} ({percent(shift.now.chance)})"
    return was, now


def _sire(clutch: str, sire: str, was: float, now: float) -> Line:
    return {
        "who": f"Clutch {clutch}",
        "url": reverse("pages:clutch", args=[clutch]),
        "what": f"sire {sire}",
        "was": percent(was),
        "now": percent(now),
    }


def _mating(one: Mating) -> str:
    since = f", {day(one.together)}" if one.together else ""
    return f"{one.sire} with {one.dam}{since}."


def _notes(found: Consequences) -> list[str]:
    """What was not looked for, and what is not exact."""
    notes = [f"Looked at {counted(found.n_looked, 'animal')}. How closely animals are kin is not listed."]
    if found.conflicts_new is None:
        notes.append("With so many animals, records that cannot be true are looked for afterwards, on the Desk.")
    if not found.exact:
        error = percent(found.standard_error)
        notes.append(f"Chances are estimates, give or take {error}: a shift of that size may be none.")
    return notes
