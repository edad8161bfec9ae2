"""How a line share is known, in a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from holdback.answers.descent.names import listed, named, percent
from holdback.collection.estimate import Basis

if TYPE_CHECKING:
    from holdback.answers.descent.share import Carried
    from holdback.collection.collection import Collection

TOLD = 3
"""Founders named in a sentence."""


def share_basis(carried: Sequence[Carried], animal: str) -> Basis:
    """Nearest step on which a share rests.

    Parameters
    ----------
    carried : sequence of Carried
        Founders from which the animal descends.
    animal : str
        Id of the animal; empty for young not yet bred.
    """
    if not any(one.is_stated for one in carried):
        return Basis.ASSUMED
    if len(carried) == 1 and carried[0].animal == animal:
        return Basis.CLAIMED
    return Basis.BY_DESCENT


def share_ground(collection: Collection, carried: Sequence[Carried], animal: str, *, unclaimed: float = 0.0) -> str:
    """What a share rests on, in one or two sentences; `unclaimed` is the share taken where no claim speaks."""
    taken = f"taken as {percent(unclaimed) if unclaimed else 'none'} of"
    if len(carried) == 1 and carried[0].animal == animal:
        return _own(carried[0], taken)
    with_line = [one for one in carried if one.is_stated and one.high > 0]
    silent = [one for one in carried if not one.is_stated and not one.animal.startswith("?")]
    missing = [one for one in carried if one.animal.startswith("?")]
    parts = []
    if with_line:
        told = [f"{percent(one.part)} of the ancestry is {named(collection, one.animal)}" for one in with_line[:TOLD]]
        rest = f" and {len(with_line) - TOLD} more" if len(with_line) > TOLD else ""
        parts.append(f"{listed(told)}{rest}, by claims.")
    if silent:
        names = listed([named(collection, one.animal) for one in silent[:TOLD]])
        more = f" and {len(silent) - TOLD} more" if len(silent) > TOLD else ""
        parts.append(
            f"Of {names}{more}, {percent(sum(one.part for one in silent))} of the ancestry, nobody says anything; "
            f"{taken} it."
        )
    if missing:
        parts.append(f"{percent(sum(one.part for one in missing))} leads to parents that are not on record.")
    return " ".join(parts) or "None of the ancestors is of the line, by claims."


def _own(one: Carried, taken: str) -> str:
    """Ground of a founder."""
    if not one.is_stated:
        return f"Nobody says anything of it; {taken} the line."
    return one.ground if one.ground.endswith(".") else f"{one.ground}."
