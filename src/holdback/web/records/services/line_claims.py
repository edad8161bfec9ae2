"""Write down, correct and take back what is said of an animal's share of a line."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from typing import TypedDict, Unpack

from holdback.errors import Fault
from holdback.web.records.models import Animal, LineClaim
from holdback.web.records.rules import length_faults, number_faults, refuse
from holdback.web.records.services.deed import deed


class Share(TypedDict, total=False):
    """Bounds of a line's share, and why."""

    share_low: float
    share_high: float
    ground: str


def add_line_claim(
    animal: Animal, *, who: str, line: str, batch: uuid.UUID | None = None, **fields: Unpack[Share]
) -> LineClaim:
    """What is said of an animal's share of a line.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    line : str
        Name of the line.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``share_low`` and ``share_high`` (0 to 1; both 1 if left out), ``ground``.

    Raises
    ------
    RecordError
        REC-010, REC-011, REC-014 or REC-019, all faults together.
    """
    with deed("add line claim", who=who, batch=batch) as done:
        claim = LineClaim(animal=animal, line=line.strip(), **fields)
        faults = list(_faults(claim))
        if LineClaim.objects.filter(animal=animal, line=claim.line).exists():
            faults.append(
                Fault("REC-019", f"{animal.tag} has a claim on {claim.line} already.", "Change that one.", field="line")
            )
        refuse(faults)
        done.make(claim)
    return claim


def change_line_claim(
    claim: LineClaim, *, who: str, batch: uuid.UUID | None = None, **fields: Unpack[Share]
) -> LineClaim:
    """The claim with other bounds or another ground; see `add_line_claim`."""
    with deed("change line claim", who=who, batch=batch) as done:
        changed = LineClaim(
            line=claim.line,
            share_low=fields.get("share_low", claim.share_low),
            share_high=fields.get("share_high", claim.share_high),
            ground=fields.get("ground", claim.ground),
        )
        refuse(_faults(changed))
        done.change(claim, **fields)
    return claim


def remove_line_claim(claim: LineClaim, *, who: str, batch: uuid.UUID | None = None) -> None:
    """Take a claim back; the log keeps it, and undo brings it back."""
    with deed("remove line claim", who=who, batch=batch) as done:
        done.delete(claim)


def _faults(claim: LineClaim) -> Iterator[Fault]:
    """Faults of a claim by itself."""
    yield from number_faults(claim.share_low, 0, 1, field="share_low")
    yield from number_faults(claim.share_high, 0, 1, field="share_high")
    yield from length_faults(claim.line, 80, field="line")
    yield from length_faults(claim.ground, 200, field="ground")
    if not claim.line:
        yield Fault("REC-010", "the line has no name.", "Name it.", field="line")
    if claim.share_low > claim.share_high:
        yield Fault("REC-014", "the lower share is above the upper one.", "Change them over.", field="share_low")
