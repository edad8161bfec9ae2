"""Beliefs of a whole collection: one exact calculation for each independent part of the pedigree."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from functools import partial

from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import Evidence, LocusEvidence
from holdback.heredity.beliefs.family import Family
from holdback.heredity.beliefs.layout import Layout, flags_of
from holdback.heredity.beliefs.memory import Memory, layout_digest, locus_digest
from holdback.heredity.beliefs.unit import Group, Unit, batches, group_of
from holdback.heredity.network import Graph, Plan

OWN_UNIT = 40
"""Animals from which a connected part of a pedigree is a calculation of its own; smaller ones go together."""

MOST_ENTRIES = 20_000_000
"""Table entries (8 bytes each) up to which a locus is worked out exactly."""

MOST_AT_ONCE = 40_000_000
"""Table entries of all loci worked out at once."""


def infer(
    family: Family,
    evidence: Evidence,
    *,
    memory: Memory | None = None,
    progress: Callable[[float], None] | None = None,
) -> Beliefs:
    """What every animal carries at every locus, from all records together.

    Parameters
    ----------
    family : Family
        Who descends from whom.
    evidence : Evidence
        What was recorded, locus by locus.
    memory : Memory, optional
        Earlier results; parts of the pedigree and loci that did not change are taken from it.
    progress : callable, optional
        Told the share done, in [0, 1].

    Returns
    -------
    Beliefs
        Posterior of genotypes, sires and switches; joints and answers to "what if" questions are worked out on demand.

    Notes
    -----
    The model is P(all) = product over founders of Hardy-Weinberg priors, over young of Mendelian transmission, over
    records of their likelihoods. Exact by a junction tree for each locus; loci share only doubtful sires and hidden
    looks, which are summed over exactly too. Recombination between autosomal loci is not used.

    References
    ----------
    Cannings, Thompson and Skolnick (1978); Lauritzen and Spiegelhalter (1988); Lauritzen and Sheehan (2003), all from
    memory.
    """
    memory = memory or Memory()
    layouts = list(layouts_of(family, evidence))
    units = []
    for number, layout in enumerate(layouts):
        units.append(unit_of(layout, evidence, memory))
        if progress:
            progress((number + 1) / len(layouts))
    return Beliefs(family, evidence, tuple(units), memory)


def layouts_of(family: Family, evidence: Evidence) -> Iterator[Layout]:
    """Independent parts of a pedigree; small ones without switches together."""
    pooled: list[str] = []
    for piece in family.pieces:
        layout = Layout(family, piece, flags_of(piece, evidence))
        if len(piece) >= OWN_UNIT or layout.switches:
            yield layout
        else:
            pooled.extend(piece)
    if pooled:
        yield Layout(family, tuple(pooled))


def unit_of(layout: Layout, evidence: Evidence, memory: Memory) -> Unit:
    """One part of a pedigree, calibrated at all loci or taken from memory."""
    digest = layout_digest(layout, evidence)
    groups: list[Group] = []
    for loci in batches(evidence):
        groups += _groups(layout, evidence, loci, partial(_kept_plan, memory=memory), memory=memory, digest=digest)
    return Unit(layout, evidence, tuple(groups))


def _kept_plan(graph: Graph, *, memory: Memory) -> Plan:
    return memory.get(graph, lambda: Plan(graph, most_entries=MOST_ENTRIES))


def _groups(
    layout: Layout,
    evidence: Evidence,
    loci: Sequence[LocusEvidence],
    plan_of: Callable[[Graph], Plan],
    *,
    memory: Memory,
    digest: str,
) -> Iterator[Group]:
    """Groups of loci of one graph, as many at once as fit in memory."""
    key = (digest, tuple(locus_digest(layout, locus) for locus in loci))

    def make() -> Group:
        return group_of(layout, evidence, loci, plan_of)

    yield memory.get(key, make)


def unfolded(layout: Layout, animals: Collection[str]) -> Layout:
    """Layout in which some young without young are nodes of their own, so that their joints can be read."""
    return Layout(layout.family, layout.animals, layout.flags, frozenset(animals) | layout.unfolded)
