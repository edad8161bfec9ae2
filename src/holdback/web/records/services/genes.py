"""Add or alter a gene without touching the species file."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

from holdback.errors import Fault, RecordError
from holdback.web.records.models import GeneChange
from holdback.web.records.overlay import SPECIES
from holdback.web.records.rules import length_faults, refuse
from holdback.web.records.services.deed import deed


def change_gene(
    *,
    who: str,
    key: str,
    patch: Mapping[str, Any] | None,
    kind: str = "allele",
    species: str = SPECIES,
    batch: uuid.UUID | None = None,
) -> GeneChange | None:
    """The change to a gene as it now stands; None where it was taken back.

    Parameters
    ----------
    who : str
        Who changes it.
    key : str
        Key of the entry, such as the slug of an allele.
    patch : mapping or None
        Fields in the structure of the species file; None takes the keeper's change back.
    kind : str
        Table of the species file: allele, locus, combo and so on.
    species : str
        Key of the species.
    batch : UUID, optional
        Batch that the change belongs to.

    Raises
    ------
    RecordError
        With the faults that the catalogue finds (SPE codes) where it does not hold together with the change.
    """
    with deed("change gene", who=who, batch=batch) as done:
        refuse(length_faults(key, 80, field="key"))
        present = GeneChange.objects.filter(species=species, kind=kind, key=key).first()
        if patch is None:
            if present is None:
                raise RecordError(Fault("REC-016", f"no change to {key!r} is recorded.", "Nothing to take back."))
            done.delete(present)
        elif present:
            done.change(present, patch=dict(patch))
        else:
            present = GeneChange(species=species, kind=kind, key=key, patch=dict(patch))
            done.make(present)
    return None if patch is None else present
