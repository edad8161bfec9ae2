"""Where a row of a list says that an animal is kept: one place, or a place within a larger one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from holdback.collection.housing import path_text
from holdback.intake.draft import Draft
from holdback.intake.headings import Field, heading_words
from holdback.intake.known import Known
from holdback.intake.mapping import ColumnPlan, Mapping

_RANKS = {
    "room": 0, "rack": 1, "incubator": 1, "inc": 1, "shelf": 2, "tub": 3, "bin": 3, "box": 3, "cage": 3, "slot": 3,
    "enclosure": 3,
}  # fmt: skip
"""Words for places, the larger the lower."""

_BARE = re.compile(r"\d{1,3}(?:\.0)?|[A-Za-z]")


def nested(plans: Sequence[ColumnPlan]) -> list[ColumnPlan]:
    """Plans in which, of two columns of places, the larger holds the smaller: a rack its tubs."""
    places = [plan for plan in plans if plan.field is Field.PLACE]
    ranked = sorted(places, key=lambda plan: _rank(plan.title))
    if len(ranked) < 2 or _rank(ranked[0].title) == _rank(ranked[-1].title):
        return list(plans)
    larger = replace(ranked[0], field=Field.WITHIN, reason=f"holds {ranked[-1].title}")
    return [larger if plan is ranked[0] else plan for plan in plans]


def settle_places(drafts: Sequence[Draft], mapping: Mapping, known: Known) -> None:
    """Make whole paths of the places of drafts, the largest first; those that are known keep their spelling.

    Parameters
    ----------
    drafts : sequence of Draft
        Rows with place and larger place as typed; changed in place.
    mapping : Mapping
        Headings, which name a bare number: ``4`` under ``tub`` is ``tub 4``.
    known : Known
        Places on record; a name that only one of them has stands for its whole path.
    """
    titles = {field: next((c.title for c in mapping.of(field)), "") for field in (Field.WITHIN, Field.PLACE)}
    paths: dict[str, str] = {}
    for draft in drafts:
        names = [_named(draft.within, titles[Field.WITHIN]), _named(draft.place, titles[Field.PLACE])]
        if draft.within and draft.place:
            draft.place = path_text(names)
        else:
            draft.place = names[1] or names[0]
        if draft.place:
            draft.place = paths.setdefault(draft.place, "") or known.place(draft.place)
            paths[draft.place] = draft.place


def _rank(title: str) -> int:
    """How large the places under a heading are; those of an unknown word are the smallest."""
    return min((_RANKS[word] for word in heading_words(title).split() if word in _RANKS), default=3)


def _named(text: str, title: str) -> str:
    """Name of a place: a bare number or letter with the word of its heading before it."""
    words = [word for word in heading_words(title).split() if word in _RANKS]
    if not words or not _BARE.fullmatch(text):
        return text
    return f"{'incubator' if words[0] == 'inc' else words[0]} {text.removesuffix('.0')}"
