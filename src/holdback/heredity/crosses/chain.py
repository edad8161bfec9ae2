"""Which loci sit on one chromosome, in what order, and how often neighbours part.

Loci joined by a recombination fraction below one half form a group; groups are inherited independently. The
sex-determining region is a locus of its own here (`SEX_REGION`), so that a sex-linked gene is an ordinary member of its
group.

Notation: r is a recombination fraction in [0, 0.5], one number for each pair of neighbours in a group.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import pairwise, permutations
from typing import TYPE_CHECKING

from holdback.heredity.crosses.recombination import recombination_across

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

SEX_REGION = "*sex"
"""Name of the sex-determining region as a member of a group; no locus key may hold a star."""

_SMALL = 7
"""Largest group whose order is found by trying all orders (5,040)."""

_Edges = dict[frozenset[str], float]


@dataclass(frozen=True, slots=True)
class LinkageGroup:
    """Loci inherited together, in chromosome order.

    Parameters
    ----------
    members : tuple of str
        Locus keys, with `SEX_REGION` among them where the group is sex-linked.
    r : tuple of float
        Recombination fraction between each member and the next.
    """

    members: tuple[str, ...]
    r: tuple[float, ...] = ()

    @property
    def loci(self) -> tuple[str, ...]:
        """Locus keys without the sex-determining region."""
        return tuple(member for member in self.members if member != SEX_REGION)

    @property
    def sex_linked(self) -> bool:
        """Whether the sex of a young says something about its alleles here."""
        return SEX_REGION in self.members


def linkage_groups(
    catalogue: Catalogue, in_play: Collection[str], r: Mapping[str, float] | None = None
) -> tuple[LinkageGroup, ...]:
    """Groups of the loci in play.

    Parameters
    ----------
    catalogue : Catalogue
        Species; its sex linkage and its list of linked pairs are read.
    in_play : collection of str
        Locus keys where a parent carries anything.
    r : mapping of str to float, optional
        Recombination with the sex-determining region to use for a sex-linked locus instead of the species' value.

    Returns
    -------
    tuple of LinkageGroup
        In the order of the catalogue; every locus in play is in exactly one group.

    Notes
    -----
    Three or more loci are taken without interference (Haldane): fractions add as ``a + b - 2ab``. Where the file gives
    the same group in more pairs than a chain needs, the order with the least recombination between neighbours is used.
    """
    edges = _edges(catalogue, r or {})
    groups: list[LinkageGroup] = []
    done: set[str] = set()
    for locus in catalogue.loci:
        if locus not in in_play or locus in done:
            continue
        chain, between = _chain(_connected(locus, edges), edges)
        for group in _in_play(chain, between, in_play):
            if locus in group.members or not done.intersection(group.members):
                groups.append(group)
                done.update(group.loci)
    return tuple(groups)


def _edges(catalogue: Catalogue, r: Mapping[str, float]) -> _Edges:
    """Recombination fractions below one half, by pair."""
    edges: _Edges = {}
    for locus in catalogue.loci.values():
        if locus.sex_linkage is not None:
            edges[frozenset((SEX_REGION, locus.key))] = r.get(locus.key, locus.sex_linkage.r.value)
    for linkage in catalogue.linkages:
        edges[frozenset(linkage.loci)] = linkage.r.value
    return {ends: fraction for ends, fraction in edges.items() if fraction < 0.5}


def _connected(start: str, edges: _Edges) -> list[str]:
    """Everything that hangs together with a locus, itself first."""
    found = [start]
    for member in found:
        for ends in edges:
            if member in ends:
                found.extend(other for other in ends if other not in found)
    return found


def _chain(members: list[str], edges: _Edges) -> tuple[tuple[str, ...], tuple[float, ...]]:
    """Order of a group and the recombination between neighbours."""
    if len(members) == 1:
        return tuple(members), ()

    def between(first: str, second: str) -> float:
        known = edges.get(frozenset((first, second)))
        if known is not None:
            return known
        through = [
            recombination_across(edges[frozenset((first, other))], edges[frozenset((other, second))])
            for other in members
            if frozenset((first, other)) in edges and frozenset((other, second)) in edges
        ]
        return min(through, default=0.5)

    if len(members) <= _SMALL:
        order = min(
            permutations(members), key=lambda tried: (round(sum(between(*ends) for ends in pairwise(tried)), 12), tried)
        )
    else:
        order = _nearest_first(members, edges)
    return order, tuple(between(*ends) for ends in pairwise(order))


def _nearest_first(members: list[str], edges: _Edges) -> tuple[str, ...]:
    """Order of a large group: from an end, always on to the nearest locus left."""

    def distance(first: str, second: str) -> float:
        return edges.get(frozenset((first, second)), 0.5)

    left = sorted(members)
    degree = {member: sum(member in ends for ends in edges) for member in left}
    order = [min(left, key=lambda member: (degree[member], member))]
    left.remove(order[0])
    while left:
        order.append(min(left, key=lambda member: (distance(order[-1], member), member)))
        left.remove(order[-1])
    return tuple(order)


def _in_play(chain: tuple[str, ...], between: tuple[float, ...], in_play: Collection[str]) -> list[LinkageGroup]:
    """Group without the loci that are not in play, cut where nothing links the neighbours."""
    groups: list[LinkageGroup] = []
    members: list[str] = []
    fractions: list[float] = []
    across = 0.0
    for index, member in enumerate(chain):
        across = recombination_across(across, between[index - 1]) if index else 0.0
        if member not in in_play and member != SEX_REGION:
            continue
        if members and across >= 0.5:
            groups.append(LinkageGroup(tuple(members), tuple(fractions)))
            members, fractions = [], []
        if members:
            fractions.append(across)
        members.append(member)
        across = 0.0
    groups.append(LinkageGroup(tuple(members), tuple(fractions)))
    return [group for group in groups if group.loci]
