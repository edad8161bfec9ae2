"""The next of kin of a couple: what its genes are told by where the whole pedigree is too large or too entangled."""

from __future__ import annotations

from collections.abc import Iterable, Set
from dataclasses import replace

from holdback.descent.family import Family

GENERATIONS = 3
"""Generations of ancestors that are counted in."""


def near_family(family: Family, parents: Iterable[str], *, silent: Set[str] = frozenset()) -> Family:
    """A couple, its ancestors for `GENERATIONS`, and its other young with their other parents.

    Parameters
    ----------
    family : Family
        The whole pedigree.
    parents : iterable of str
        Ids of the dam and of all males that may be the sire.
    silent : set of str
        Animals that are left out: the young of the clutch and all that descends from them.

    Returns
    -------
    Family
        Animals at its edge are founders.
    """
    couple = set(parents)
    above = set(couple)
    for _ in range(GENERATIONS):
        above |= {parent for one in above for parent in family.parents(one)}
    beside = {brood.key: brood for one in couple for brood in family.broods_of_parent.get(one, ())}
    kept = set(above)
    for brood in beside.values():
        kept |= {*brood.young, *family.parents(brood.young[0])}
    kept -= silent
    broods = []
    for brood in family.broods:
        young = tuple(one for one in brood.young if one in kept and (one in above or brood.key in beside))
        if young and set(family.parents(young[0])) <= kept:
            broods.append(replace(brood, young=young))
    return Family({one: sex for one, sex in family.sexes.items() if one in kept}, tuple(broods))
