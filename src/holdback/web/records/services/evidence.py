"""Add what is seen and said of an animal's genes and line."""

from __future__ import annotations

import uuid
from typing import TypedDict, Unpack

from holdback.errors import Fault
from holdback.species.model import Ease
from holdback.web.records.models import Animal, Claim, Look
from holdback.web.records.overlay import catalogue
from holdback.web.records.rules import date_faults, length_faults, number_faults, refuse, word_faults
from holdback.web.records.services.deed import deed


class LookFields(TypedDict, total=False):
    """How a gene was seen."""

    copies: int
    seen_by: str
    date: str
    ease: str
    sure: float
    note: str


class ClaimFields(TypedDict, total=False):
    """Who says it, and why."""

    said_by: str
    ground: str
    trust: float
    date: str


def add_look(
    animal: Animal, *, who: str, allele: str, batch: uuid.UUID | None = None, **fields: Unpack[LookFields]
) -> Look:
    """A gene seen on an animal.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    allele : str
        Key or any trade name of the allele.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``copies`` (0 looked for and absent, 1, 2), ``seen_by``, ``date``, ``ease`` (plain, subtle, hard), ``sure``
        (above 0, up to 1), ``note``.

    Raises
    ------
    RecordError
        REC-011 to REC-016, all faults together.
    """
    with deed("add look", who=who, batch=batch) as done:
        look = Look(animal=animal, allele=allele_key(allele, animal), **fields)
        refuse(
            [
                *number_faults(look.copies, 0, 2, field="copies"),
                *number_faults(look.sure, 0, 1, field="sure", above=True),
                *word_faults(look.ease, Ease, field="ease"),
                *date_faults(look.date, field="date"),
                *length_faults(look.seen_by, 120, field="seen_by"),
            ]
        )
        done.make(look)
    return look


def add_claim(
    animal: Animal,
    *,
    who: str,
    allele: str,
    copies: tuple[float, float, float],
    batch: uuid.UUID | None = None,
    **fields: Unpack[ClaimFields],
) -> Claim:
    """What somebody says an animal carries.

    Parameters
    ----------
    animal : Animal
        The animal.
    who : str
        Who writes it.
    allele : str
        Key or any trade name of the allele.
    copies : tuple of float
        Chances of no, one and two copies; they sum to 1.
    batch : UUID, optional
        Batch that the change belongs to.
    **fields
        ``said_by``, ``ground``, ``trust`` (0 to 1), ``date``.

    Raises
    ------
    RecordError
        REC-011 to REC-016, all faults together.
    """
    with deed("add claim", who=who, batch=batch) as done:
        none, one, two = copies
        claim = Claim(animal=animal, allele=allele_key(allele, animal), none=none, one=one, two=two, **fields)
        faults = [
            *(fault for chance in copies for fault in number_faults(chance, 0, 1, field="copies")),
            *number_faults(claim.trust, 0, 1, field="trust"),
            *date_faults(claim.date, field="date"),
            *length_faults(claim.said_by, 120, field="said_by"),
            *length_faults(claim.ground, 200, field="ground"),
        ]
        if abs(sum(copies) - 1) > 1e-9:
            faults.append(
                Fault("REC-014", f"the three chances sum to {sum(copies):g}.", "They must sum to 1.", field="copies")
            )
        refuse(faults)
        done.make(claim)
    return claim


def allele_key(name: str, animal: Animal) -> str:
    """Key of the allele that a name means.

    Raises
    ------
    RecordError
        REC-016 if the species file has no such allele.
    """
    genes = catalogue(animal.species)
    if name in genes.alleles:
        return name
    found = genes.find(name)
    key = getattr(found, "key", "")
    if key in genes.alleles:
        return str(key)
    near = genes.suggest(name)
    hint = f"Did you mean {near}?" if near else "Add the gene to the almanac first."
    refuse([Fault("REC-016", f"no gene is called {name!r}.", hint, field="allele", value=name, animal=animal.tag)])
    raise AssertionError("refused above")
