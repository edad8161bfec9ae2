"""Who sired a clutch: the candidates before and after the genes of the young speak."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from holdback.collection.collection import Collection
from holdback.collection.model import Clutch
from holdback.descent.family import Brood, Family, weighed
from holdback.errors import CollectionError, Fault
from holdback.heredity.beliefs.beliefs import Beliefs, SireOdds
from holdback.heredity.beliefs.inference import infer


@dataclass(frozen=True, slots=True)
class ClutchSires:
    """Candidate sires of one clutch.

    Parameters
    ----------
    clutch : str
        Clutch id.
    candidates : tuple of SireOdds
        In record order; with a sire for each egg, the mean over the young.
    by_young : mapping of str to tuple of SireOdds
        Candidates of each young on record; the same for all where the clutch has one sire.
    each_egg : bool
        Whether every egg was allowed a sire of its own.
    """

    clutch: str
    candidates: tuple[SireOdds, ...]
    by_young: Mapping[str, tuple[SireOdds, ...]]
    each_egg: bool

    def as_json(self) -> dict[str, Any]:
        """One JSON object: the keys of `holdback sires`, numbers unrounded."""
        return {
            "clutch": self.clutch,
            "candidates": [_as_json(one) for one in self.candidates],
            "young": {young: [_as_json(one) for one in found] for young, found in self.by_young.items()},
            "each_egg": self.each_egg,
        }


def _as_json(one: SireOdds) -> dict[str, Any]:
    return {"sire": one.sire, "prior": one.prior, "posterior": one.posterior}


def clutch_sires(beliefs: Beliefs, collection: Collection, clutch: str, *, each_egg: bool) -> ClutchSires:
    """Candidate sires of a clutch by all records.

    Raises
    ------
    CollectionError
        If there is no such clutch.
    """
    known = collection.clutches.get(clutch)
    broods = [
        brood
        for brood in beliefs.family.broods
        if brood.key == clutch or collection.animals[brood.young[0]].clutch == clutch
    ]
    if known is None and not broods:
        raise CollectionError(
            Fault("BEL-002", f"There is no clutch {clutch!r}.", "Give the id of a clutch on record.", value=clutch)
        )
    if not broods:
        return ClutchSires(clutch, _as_recorded(known), {}, each_egg)
    if each_egg:
        family = with_each_egg(beliefs.family, broods)
        beliefs = infer(family, beliefs.evidence, memory=beliefs.memory)
    by_young: dict[str, tuple[SireOdds, ...]] = {}
    for brood in broods:
        by_young.update(beliefs.sires_by_egg(brood.key))
    first = max(broods, key=lambda brood: len(brood.young))
    return ClutchSires(clutch, beliefs.sires(first.key), by_young, each_egg)


def with_each_egg(family: Family, broods: Sequence[Brood]) -> Family:
    """Family in which every egg of some broods may have a sire of its own."""
    changed = {brood.key for brood in broods}
    return Family(
        family.sexes, tuple(replace(one, each_egg=one.each_egg or one.key in changed) for one in family.broods)
    )


def _as_recorded(clutch: Clutch | None) -> tuple[SireOdds, ...]:
    """Candidates of a clutch of which no young is on record: nothing has spoken yet."""
    assert clutch is not None
    return tuple(SireOdds(one.animal, one.weight, one.weight) for one in weighed(clutch.sires))
