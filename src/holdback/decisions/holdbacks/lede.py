"""The advice in two or three sentences, and how well it is proved."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.decisions.holdbacks.choosing import Choice
from holdback.decisions.holdbacks.ordering import Place
from holdback.decisions.holdbacks.result import Ranked
from holdback.decisions.holdbacks.words import in_100, name, number
from holdback.decisions.holdbacks.worths import Worths, difference

_PLAIN = frozenset({"Another", "First", "Here", "He", "It", "Kept", "May", "No", "She", "With", "Worth"})


def proof(choice: Choice) -> str:
    """How well a choice is proved, in a sentence."""
    if choice.n_tried == 1:
        return "None of them changes a plan, alone or with all others."
    if choice.is_best_of_all:
        return f"Best of all: every set of those that could change a plan was rehearsed ({choice.n_tried})."
    return f"No swap of one or two improves it; {choice.n_tried} sets were rehearsed, not all."


def lede(worths: Worths, rows: Sequence[Ranked], places: Sequence[Place]) -> tuple[str, ...]:
    """The advice in sentences: whom to keep and for what."""
    kept = [row for row in rows if row.is_kept]
    if not kept:
        if worths.keeping.year_eggs and any(gain.gain.low > 0 for row in rows for gain in row.gains):
            return ("Hold back none: each brings less than its tub costs until it breeds.",)
        return (f"Hold back none: none of them brings {_what(worths)} nearer that can be told.",)
    found = []
    for row in kept:
        why = row.reasons[0].rstrip(".") if row.reasons else ""
        found.append(f"Keep {name(worths.stock, row.animal)}: {_within(why)}." if why else f"Keep {row.animal}.")
    if len(kept) < worths.keeping.tubs:
        tubs = number(len(kept))
        are = "tub is" if len(kept) == 1 else "tubs are"
        what = "more than its tub costs" if worths.keeping.year_eggs else "anything that can be told"
        found.append(f"{tubs.capitalize()} {are} enough: no other adds {what}.")
    elif one_more(worths, places):
        found.append(one_more(worths, places))
    return tuple(found)


def _within(text: str) -> str:
    """A sentence after a colon: a plain first word without its capital, a name as it is."""
    first = text.partition(" ")[0]
    return text if first not in _PLAIN else text[:1].lower() + text[1:]


def _what(worths: Worths) -> str:
    return worths.projects[0].goal.name if len(worths.projects) == 1 else "any project"


def one_more(worths: Worths, places: Sequence[Place]) -> str:
    """What one tub more would add."""
    kept = [place for place in places if place.is_kept]
    rest = [place for place in places if not place.is_kept]
    if not rest or len(kept) < worths.keeping.tubs:
        return ""
    head = f"{_ordinal(len(kept) + 1)}, {name(worths.stock, rest[0].animal)},"
    if rest[0].tells <= 0:
        what = "no more than its tub costs" if worths.keeping.year_eggs else "nothing that can be told"
        return f"{head} would add {what}."
    return f"{head} would add {_adds(worths, rest[0])}."


def _adds(worths: Worths, place: Place) -> str:
    """Points for the project that gains most, or eggs."""
    points = [
        100 * difference(after.by_wish, before.by_wish)[0]
        for before, after in zip(place.before.projects, place.after.projects, strict=True)
    ]
    best = max(points)
    if best < 0.5:
        return "a little time"
    project = worths.projects[points.index(best)].goal.name
    return f"{in_100(best)} in 100" + (f" for {project}" if len(points) > 1 else "")


def _ordinal(n: int) -> str:
    words = ["", "A first", "A second", "A third", "A fourth", "A fifth", "A sixth"]
    return words[n] if n < len(words) else "One more"
