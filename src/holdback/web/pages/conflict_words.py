"""Records that cannot be true together, as pages tell them: what, what would explain it, where to correct it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.web.pages.components import Column, Table
from holdback.web.pages.family import label
from holdback.web.records.models import Animal
from holdback.web.records.queries import animal_by_tag, present_animals

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.conflicts import Conflict, Explanation

TALLY = "CNF-040"
"""Code of a count that does not add up: a question to the keeper, no contradiction."""

SUGGESTED = frozenset({"CNF-013", "CNF-021", "CNF-022", "CNF-030", "CNF-031", "CNF-032"})
"""Codes where nothing contradicts itself, but a record wants completing or correcting."""

LISTED = 6
"""Explanations listed of one conflict."""

_PAGES = {"sires": "pages:parents", "dam": "pages:parents", "clutch": "pages:parents", "sex": "pages:correct-sex"}
_DEEDS = {
    "pages:parents": "Change the parents",
    "pages:correct-sex": "Correct the sex",
    "pages:change-animal": "Change what is written",
}


@dataclass(frozen=True, slots=True)
class Misfit:
    """One conflict as a page shows it.

    Parameters
    ----------
    code : str
        Stable code of its kind.
    message : str
        What cannot be, in a sentence.
    who : sequence of safe mark-up
        The animals concerned, linked.
    explanations : Table or None
        What would explain it best, with the way to the record; None where there is but one explanation.
    others : Table or None
        The other explanations, likeliest first.
    only : safe mark-up
        The only explanation and what to do; empty where there are several.
    questions : tuple of str
        What only the keeper can say.
    level : str
        Weight of the caution: "think", or "note" where it is only asked about.
    """

    code: str
    message: str
    who: Sequence[SafeString]
    explanations: Table | None
    others: Table | None
    only: SafeString
    questions: tuple[str, ...]
    level: str


def misfits_of(conflicts: Iterable[Conflict], answers: Answers) -> list[Misfit]:
    """Conflicts with links to the animals; worst first, as they come.

    Parameters
    ----------
    conflicts : iterable of Conflict
        Of one collection.
    answers : Answers
        Over that collection: which animals hatched in a clutch.
    """
    found = list(conflicts)
    ids = {one for conflict in found for one in conflict.animals}
    ids |= {_first_young(each, conflict, answers) for conflict in found for each in conflict.explanations}
    animals = _animals(ids - {""})
    return [_misfit(conflict, answers, animals) for conflict in found]


def in_hundred(chance: float) -> str:
    """Chance as a count of a hundred, as explanations are weighed against each other.

    Examples
    --------
    >>> in_hundred(0.957), in_hundred(0.001), in_hundred(0.9999)
    ('96 in 100', 'under 1 in 100', 'over 99 in 100')
    """
    if chance < 0.005:
        return "under 1 in 100"
    return "over 99 in 100" if chance > 0.995 else f"{100 * chance:.0f} in 100"


def _animals(ids: set[str]) -> Mapping[str, Animal]:
    """Animals by their id in the engine."""
    found = {one.tag: one for one in present_animals().filter(tag__in=ids, living=True)}
    for name in ids - found.keys():
        one = animal_by_tag(name)
        if one is not None:
            found[name] = one
    return found


def _misfit(conflict: Conflict, answers: Answers, animals: Mapping[str, Animal]) -> Misfit:
    told = conflict.explanations[:LISTED]
    then = [_then(each, animals.get(_first_young(each, conflict, answers))) for each in told]
    heads = [Column("What would explain it", is_full=True), Column("Fits"), Column("Then", is_full=True)]
    lines = [
        [each.words, format_html('<span class="nb">{}</span>', in_hundred(each.chance)), what]
        for each, what in zip(told, then, strict=True)
    ]
    is_mild = conflict.code in SUGGESTED or conflict.code == TALLY
    is_table = len(lines) > 1 and conflict.code != TALLY
    only = SafeString()
    if told and not is_table:
        only = then[0] if is_mild else format_html("{} {}", told[0].words, then[0])
    said = " ".join(each.settles for each in told)
    return Misfit(
        code=conflict.code,
        message=conflict.message,
        who=[_linked(one, animals) for one in conflict.animals[:LISTED]],
        explanations=Table(heads, lines[:1]) if is_table else None,
        others=Table(heads, lines[1:]) if is_table else None,
        only=only,
        questions=tuple(one for one in conflict.questions if one.removeprefix("First: ") not in said),
        level="note" if is_mild else "think",
    )


def _linked(name: str, animals: Mapping[str, Animal]) -> SafeString:
    one = animals.get(name)
    if one is None:
        return format_html("{}", name)
    return format_html('<a href="{}">{}</a>', reverse("pages:animal", args=[one.pk]), label(one))


def _first_young(each: Explanation, conflict: Conflict, answers: Answers) -> str:
    """Animal on whose pages the record is corrected: itself, or one that hatched in the clutch."""
    kind, _, name = each.record.partition(" ")
    if kind == "animal":
        return name
    hatched = [one for one in conflict.animals if getattr(answers.collection.animals.get(one), "clutch", None) == name]
    return hatched[0] if hatched else (conflict.animals[0] if conflict.animals else "")


def _then(each: Explanation, one: Animal | None) -> SafeString:
    """What to do, what would settle it, and the way to the record."""
    settles = format_html(" {}", each.settles) if each.settles else ""
    if one is None or not each.field:
        return format_html("{}{}", each.fix, settles)
    page = _PAGES.get(each.field, "pages:change-animal")
    way = format_html('<a href="{}">{} of {}</a>', reverse(page, args=[one.pk]), _DEEDS[page], one.tag)
    return format_html("{}{} {}", each.fix, settles, way)
