"""Beliefs of a whole collection: one exact calculation for each independent part of the pedigree."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import suppress
from functools import partial

from holdback.descent.family import Family
from holdback.heredity.beliefs.assembly import Assembly
from holdback.heredity.beliefs.beliefs import AnyUnit, Beliefs
from holdback.heredity.beliefs.deciding import MOST_ERROR, decided
from holdback.heredity.beliefs.estimated import EstimatedUnit, estimated
from holdback.heredity.beliefs.evidence import Evidence, LocusEvidence
from holdback.heredity.beliefs.layout import Layout, flags_of
from holdback.heredity.beliefs.memory import Memory, layout_digest, locus_digest
from holdback.heredity.beliefs.recombination_grid import grid_of
from holdback.heredity.beliefs.unit import MOST_ENTRIES, Group, Unit, batches, batches_of_size, group_of
from holdback.heredity.network import Plan, TooWide

OWN_UNIT = 40
"""Animals from which a connected part of a pedigree is a calculation of its own; smaller ones go together."""

MOST_WHOLE = 50_000
"""Table entries up to which the alleles of a locus stay apart in every animal, whether or not a record tells them."""

MOST_AT_ONCE = 20_000_000
"""Table entries of all loci worked out at once."""


def infer(
    family: Family,
    evidence: Evidence,
    *,
    memory: Memory | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
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
    cancelled : callable, optional
        Asked now and then whether to stop; only where sampling is needed.

    Returns
    -------
    Beliefs
        Posterior of genotypes, sires and switches; joints and answers to "what if" questions are worked out on demand.

    Notes
    -----
    The model is P(all) = product over founders of Hardy-Weinberg priors, over young of Mendelian transmission, over
    records of their likelihoods. Exact by a junction tree for each locus; loci share only doubtful sires and hidden
    looks, which are summed over exactly too. Where a part of the pedigree is too entangled (`MOST_ENTRIES`), it is
    sampled, and the answer carries its standard error. Recombination between autosomal loci is not used.

    References
    ----------
    Cannings, Thompson and Skolnick (1978); Lauritzen and Spiegelhalter (1988); Lauritzen and Sheehan (2003), all from
    memory.
    """
    memory = memory if memory is not None else Memory()
    layouts = list(layouts_of(family, evidence))
    units = []
    for number, layout in enumerate(layouts):
        done = _shares(progress, number, len(layouts))
        units.append(unit_of(layout, evidence, memory, progress=done, cancelled=cancelled))
        done(1.0)
    return Beliefs(family, evidence, tuple(units), memory)


def _shares(progress: Callable[[float], None] | None, number: int, count: int) -> Callable[[float], None]:
    """Progress of one of several equal parts."""

    def tell(share: float) -> None:
        if progress:
            progress((number + share) / count)

    return tell


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


def unit_of(
    layout: Layout,
    evidence: Evidence,
    memory: Memory,
    *,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> AnyUnit:
    """One part of a pedigree at all loci, from memory where it did not change.

    Where it is too entangled for exact inference, doubtful sires that the genes decide are fixed (`deciding`); where
    that does not do, it is sampled (`estimated`).
    """
    digest = layout_digest(layout, evidence)
    try:
        return Unit(layout, evidence, tuple(_groups(layout, evidence, memory, digest)))
    except TooWide:
        pass
    with suppress(TooWide):
        found = decided(layout, evidence, batches(evidence), memory) if layout.switches else None
        if found is not None and found.error <= MOST_ERROR:
            groups = _groups(found.layout, evidence, memory, layout_digest(found.layout, evidence))
            return Unit(found.layout, evidence, tuple(groups), fixed=found.fixed, standard_error=found.error)
    key = ("estimated", digest, *(locus_digest(layout, locus) for locus in evidence.loci.values()))
    make = partial(estimated, layout, evidence, progress=progress, cancelled=cancelled)
    return memory.get(key, make, n_bytes=EstimatedUnit.bytes_of)


def _groups(layout: Layout, evidence: Evidence, memory: Memory, digest: str) -> Iterator[Group]:
    """Groups of loci of one graph; those that did not change are taken from memory."""
    for loci in batches_of_size(evidence):
        whole = (digest, loci[0].n_alleles, loci[0].linkage)
        lumped = loci[0].n_alleles > 2 and memory.get(whole, partial(_is_large, layout, evidence, loci[0], memory))
        for some in [[locus] for locus in loci] if lumped else [loci]:
            key = (digest, lumped, *(locus_digest(layout, locus) for locus in some))
            make = partial(_made, layout, evidence, some, memory, lumped=lumped)
            yield from memory.get(key, make, n_bytes=_bytes_of)


def _made(
    layout: Layout, evidence: Evidence, loci: Sequence[LocusEvidence], memory: Memory, *, lumped: bool
) -> list[Group]:
    """Groups of loci of one graph, as many loci at once as fit in memory."""
    grid = grid_of(loci[0].linkage)
    assembly = Assembly(layout, evidence, loci, grid.r, lumped=lumped)
    plan = memory.get(assembly.graph, lambda: Plan(assembly.graph, most_entries=MOST_ENTRIES), n_bytes=_bytes_of_plan)
    at_once = max(1, MOST_AT_ONCE // max(plan.entries * len(grid.r), 1))
    if at_once >= len(loci):
        return [group_of(assembly, grid, plan)]
    parts = [loci[start : start + at_once] for start in range(0, len(loci), at_once)]
    return [group_of(Assembly(layout, evidence, some, grid.r, lumped=lumped), grid, plan) for some in parts]


def _bytes_of(groups: Sequence[Group]) -> int:
    """What the tables, messages and beliefs of some groups take."""
    return sum(24 * one.plan.entries * len(one.grid.r) * len(one.assembly.loci) for one in groups)


def _bytes_of_plan(plan: Plan) -> int:
    """What the index maps of a plan take."""
    return 24 * plan.entries


def _is_large(layout: Layout, evidence: Evidence, locus: LocusEvidence, memory: Memory) -> bool:
    """Whether a locus takes too much with all its alleles apart, so that those nothing tells apart are one class."""
    grid = grid_of(locus.linkage)
    graph = Assembly(layout, evidence, [locus], grid.r, lumped=False).graph
    if len(graph.sizes) * max(graph.sizes, default=1) ** 2 > MOST_WHOLE:
        return True  # so large that the count itself would take its time
    try:
        memory.get(graph, lambda: Plan(graph, most_entries=MOST_WHOLE // len(grid.r)), n_bytes=_bytes_of_plan)
    except TooWide:
        return True
    return False


def unfolded(layout: Layout, animals: Collection[str]) -> Layout:
    """Layout in which some young without young are nodes of their own, so that their joints can be read."""
    return Layout(layout.family, layout.animals, layout.flags, frozenset(animals) | layout.unfolded)
