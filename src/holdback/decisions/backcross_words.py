"""Sentences of a plan to carry genes into a line."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.decisions.backcross_result import BackcrossWay, Cross, Generation, Handling
from holdback.decisions.kind_words import percent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from holdback.decisions.backcross_walk import Donor, Walk
    from holdback.decisions.stock import Stock

NO_MARKERS = (
    "There are no DNA markers to go by: the rest of the line comes back by generations, and by keeping the biggest "
    "carriers, in no other way."
)

CERTAIN = 0.995
"""Chance from which on an animal is said to carry, as chances are told in whole percent."""

_KEPT = {Sex.MALE: "son", Sex.FEMALE: "daughter", Sex.UNKNOWN: "young"}


def said(stock: Stock, one: Generation, walk: Walk, sex: Sex, *, are_half: bool) -> str:
    """What to do in one cross."""
    kept = _KEPT[sex]
    before = _KEPT[walk.through]
    if one.cross is Cross.TOGETHER:
        kin = "half" if are_half else "full"
        other = f"a {kin} sister" if walk.through is Sex.MALE else f"a {kin} brother"
        shown = "with two copies" if walk.handling is Handling.SEEN else "that shows it"
        return f"Put the {before} to {other} that carries it too, and hold back a {kept} {shown}."
    first, second = (f"the {before}" if not animal else _name(stock, animal) for animal in (one.sire, one.dam))
    put = f"Put {first} to {second}"
    if one.keep > 1:
        test = "put each to the line and to a mate that shows it: what shows proves."
        if walk.through is Sex.FEMALE:
            test = "put each to a male that shows it; the one that is proven goes to the line a season later."
        return f"{put}. Hold back {one.keep} {kept}s as possible carriers, and {test}"
    if walk.handling is Handling.SEEN:
        return f"{put}, and hold back a {kept} that shows it, the biggest if there are several."
    if one.per_hatchling >= CERTAIN * 0.5 * one_of(sex):
        return f"{put}, and hold back a {kept}: all carry it, unseen."
    return f"{put}, and hold back a {kept} that may carry it."


def one_of(sex: Sex) -> float:
    """Chance that a carrier of a pair that gives nothing else is of the sex, twice over."""
    return 2.0 if sex is Sex.UNKNOWN else 1.0


def further(rows: Sequence[Generation], stop: int) -> tuple[str, ...]:
    """What each cross back adds, and for how many years."""
    back = [(place, row) for place, row in enumerate(rows) if row.cross is not Cross.TOGETHER]
    found = []
    for (_, before), (place, after) in pairwise(back):
        years = after.season - before.season
        share = 100 * (after.share.mean - before.share.mean)
        size = (
            ""
            if before.size is None or after.size is None
            else f" and {after.size.mean - before.size.mean:+.1f} % of size"
        )
        head = f"Cross back {after.backcrosses}" + ("" if place <= stop else ", not planned,")
        found.append(f"{head} adds {share:.1f} points of the line{size}, for {years} years.")
    return tuple(found)


def notes_of(
    stock: Stock, line: str, donor: Donor, sources: Sequence[str], way: BackcrossWay, inbreeding_at_most: float
) -> tuple[str, ...]:
    """What holds for all ways, and what stands against the one proposed."""
    notes = [NO_MARKERS]
    name = _name(stock, stock.animals[donor.place])
    if donor.carries < CERTAIN:
        notes.append(f"{name} may carry it, {100 * donor.carries:.0f} in 100: prove it first, all chances rest on it.")
    if len(sources) == 1:
        notes.append(
            f"All animals of {line} that can be bred back to are akin: the young are inbred more with every cross. "
            "A second source, not akin, would keep them below."
        )
    worst = max(way.made, key=lambda one: one.inbreeding)
    if worst.inbreeding > inbreeding_at_most + 1e-9:
        notes.append(
            f"Inbreeding reaches {percent(worst.inbreeding)}, above {percent(inbreeding_at_most)}: carry the gene on "
            "through two carriers at once, each by other animals of the line, for twice the eggs."
        )
    if donor.n_apart and any(one.cross is Cross.TOGETHER for one in way.made):
        notes.append(
            "Where carriers are put to each other only one of the two may carry what kills in two copies: the other is "
            "a young without it."
        )
    notes += _old(stock, way)
    if way.handling is Handling.TESTED:
        notes.append("Mates that show it must be at hand for the test clutches, one for each young held back.")
    return tuple(notes)


def _old(stock: Stock, way: BackcrossWay) -> list[str]:
    """Animals that are wanted late, and the chance that they live."""
    lives = stock.breeding.adult_lives
    late = {animal: one for one in way.made for animal in (one.sire, one.dam) if animal and one.season > 0}
    return [
        f"{_name(stock, animal)} is wanted in {one.year}: {100 * lives**one.season:.0f} in 100 to be alive then."
        for animal, one in late.items()
        if lives < 1
    ]


def _name(stock: Stock, animal: str) -> str:
    """What an animal is called."""
    return stock.names.get(animal, animal)
