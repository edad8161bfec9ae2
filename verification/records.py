"""A herd as a breeder would have written it: one row an animal, its genes in words."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from verification.genes import genes
from verification.herds import Herd

from holdback.answers.conflicts import WrongRecord
from holdback.collection.collection import Collection
from holdback.collection.model import Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood
from holdback.heredity.beliefs.evidence import RecordKind


def written(herd: Herd) -> Collection:
    """Collection with the looks, claims and parents of a herd."""
    animals = [_row(herd, name) for name in herd.family.sexes]
    clutches = [{"id": one.key, "dam": one.dam or "", "sires": _sires(one)} for one in herd.family.broods]
    return Collection.from_frames({"animals": animals, "clutches": clutches})


def wrong_sires(herd: Herd) -> tuple[WrongRecord, ...]:
    """Clutches whose one recorded sire is not the true one, by their first young."""
    return tuple(
        WrongRecord(brood.young[0], "sires", herd.truth.sires[brood.young[0]])
        for brood in herd.family.broods
        if not brood.is_uncertain and herd.truth.sires[brood.young[0]] != brood.sires[0].animal
    )


def _row(herd: Herd, name: str) -> dict[str, str]:
    brood, sex = herd.family.brood_of(name), herd.family.sexes[name]
    return {
        "id": name,
        "sex": "" if sex is Sex.UNKNOWN else str(sex),
        "sire": _sires(brood) if brood else "",
        "dam": (brood.dam or "") if brood else "",
        "clutch": brood.key if brood else "",
        "genes": " ".join(_words(herd, name)),
    }


def _sires(brood: Brood) -> str:
    named = [one for one in brood.sires if one.animal != UNKNOWN_SIRE]
    # rounded down, as the weights must not sum to more than 1
    return "|".join(f"{one.animal}:{np.floor(1e4 * one.weight) / 1e4:.4f}" for one in named)


def _words(herd: Herd, name: str) -> Iterator[str]:
    """Looks that show, then sellers' claims; "Normal" where nothing shows."""
    shown = []
    for gene in genes():
        for record in herd.evidence.loci[gene.key].records.get(name, ()):
            if record.kind is RecordKind.LOOK and record.key.startswith("look:"):
                right = gene.looks.looks[gene.looks.look_of[tuple(np.argwhere(~record.wrong)[0])]]
                shown.append(right.label)
    # What a text leaves out was not seen; where not all looks are known none are written.
    is_described = len(shown) == len(list(genes()))
    shown = shown if is_described else []
    words = [label for label in shown if label]
    yield from words
    if is_described and not words:
        yield "Normal"
