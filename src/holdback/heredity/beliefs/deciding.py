"""Too many doubtful sires for one exact calculation: those that the genes decide are taken as decided.

Every doubtful sire is weighed by all loci with the others held at their likeliest, until none changes; then those left
in doubt stay open, as many as can be summed over exactly, and the rest are fixed. What that costs is stated: twice the
sum of the chances that a fixed sire is another one. The sum alone bounds the error of every belief as long as one of
them is wrong at a time; twice allows for those that hang together, as where one male is the rival in several clutches.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from math import prod

import numpy as np

from holdback.collection.model import Candidate
from holdback.descent.family import Family
from holdback.heredity.beliefs.assembly import Assembly
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, LocusEvidence
from holdback.heredity.beliefs.layout import Layout
from holdback.heredity.beliefs.memory import Memory
from holdback.heredity.beliefs.recombination_grid import grid_of
from holdback.heredity.beliefs.speech import Row
from holdback.heredity.beliefs.unit import MOST_ENTRIES
from holdback.heredity.network import Graph, Plan

MOST_OPEN = 16_384
"""States of all open doubtful sires together."""

MOST_ERROR = 0.02
"""Stated error up to which doubtful sires are fixed; beyond it the part is sampled."""

_SWEEPS = 8
_MOST_AT_ONCE = 20_000_000


@dataclass(frozen=True)
class Decided:
    """A part of a pedigree with some doubtful sires fixed.

    Parameters
    ----------
    layout : Layout
        The same animals, with fewer switches.
    fixed : mapping of str to float array
        Switch name to the posterior of its choices.
    error : float
        Twice the sum over fixed sires of the chance that it is another one.
    """

    layout: Layout
    fixed: Mapping[str, FloatArray]
    error: float


def decided(layout: Layout, evidence: Evidence, loci: Sequence[Sequence[LocusEvidence]], memory: Memory) -> Decided:
    """Fix doubtful sires that the genes decide.

    Parameters
    ----------
    layout : Layout
        A part of a pedigree with more switches than can be summed over.
    evidence : Evidence
        What was recorded.
    loci : sequence of sequence of LocusEvidence
        Loci by graph.
    memory : Memory
        Where plans are kept.

    Raises
    ------
    TooWide
        If the part is too entangled even with all switches known.
    """
    prior = layout.prior(evidence)
    log_prior = [np.log(np.maximum(np.array(prior[switch.name]), 1e-300)) for switch in layout.switches]
    chosen = [int(weights.argmax()) for weights in log_prior]
    groups = [_Group(layout, evidence, some, memory) for some in loci if some]
    posterior: list[FloatArray] = []
    for _ in range(_SWEEPS):
        said = reduce(_added, (group.log_evidence(chosen) for group in groups), _nothing(layout))
        posterior = [_normalised(weights + each) for weights, each in zip(log_prior, said, strict=True)]
        best = [int(chances.argmax()) for chances in posterior]
        if best == chosen:
            break
        chosen = best
    return _fixed(layout, posterior, chosen)


def _nothing(layout: Layout) -> list[FloatArray]:
    """No evidence on any switch: one array of zeros for each."""
    return [np.zeros(len(switch.choices)) for switch in layout.switches]


def _added(one: Sequence[FloatArray], other: Sequence[FloatArray]) -> list[FloatArray]:
    """Logarithms of evidence on each switch, from two sources."""
    return [mine + theirs for mine, theirs in zip(one, other, strict=True)]


def _normalised(log_weights: FloatArray) -> FloatArray:
    weights = np.exp(log_weights - log_weights.max())
    return np.asarray(weights / weights.sum())


class _Group:
    """Loci of one graph, with every switch a variable of its own."""

    def __init__(self, layout: Layout, evidence: Evidence, loci: Sequence[LocusEvidence], memory: Memory) -> None:
        self._layout, self._evidence, self._loci = layout, evidence, loci
        self._grid = grid_of(loci[0].linkage)
        assembly = Assembly(layout, evidence, loci, self._grid.r)
        self._numbers = assembly.switch_numbers
        graph = assembly.graph
        free = Graph(graph.sizes, (*graph.scopes, *((number,) for number in self._numbers)))
        self._plan = memory.get(free, lambda: Plan(free, most_entries=MOST_ENTRIES))
        per_locus = self._plan.entries * len(self._grid.r) * len(self._numbers)
        self._at_once = max(1, _MOST_AT_ONCE // max(per_locus, 1))

    def log_evidence(self, chosen: Sequence[int]) -> list[FloatArray]:
        """For each switch, logarithm of the likelihood of its choices with all others as chosen, over all loci."""
        total = _nothing(self._layout)
        for start in range(0, len(self._loci), self._at_once):
            total = _added(total, self._of(self._loci[start : start + self._at_once], chosen))
        return total

    def _of(self, loci: Sequence[LocusEvidence], chosen: Sequence[int]) -> list[FloatArray]:
        n_r, n_switches = len(self._grid.r), len(self._numbers)
        assembly = Assembly(self._layout, self._evidence, loci, self._grid.r)
        # Batch rows: (locus, r, the switch that is open).
        tables = [
            table if len(table) == 1 else np.repeat(table, n_switches, axis=0)
            for table in assembly.tables([Row(locus) for locus in loci])
        ]
        for index, switch in enumerate(self._layout.switches):
            weights = np.zeros((n_switches, len(switch.choices)))
            weights[:, chosen[index]] = 1.0
            weights[index] = 1.0
            tables.append(np.tile(weights, (len(loci) * n_r, 1)))
        found = self._plan.calibrate(tables)
        logs = found.log_likelihood.reshape(len(loci), n_r, n_switches) + np.log(self._grid.weights)[None, :, None]
        answer: list[FloatArray] = []
        for index, number in enumerate(self._numbers):
            shares = found.marginal(number).reshape(len(loci), n_r, n_switches, -1)[:, :, index]
            each = np.log(np.maximum(shares, 1e-300)) + logs[:, :, index, None]
            answer.append(np.asarray(np.logaddexp.reduce(each, axis=1).sum(axis=0)))
        return answer


def _fixed(layout: Layout, posterior: Sequence[FloatArray], chosen: Sequence[int]) -> Decided:
    """Layout in which the surest sires are fixed and the others stay open."""
    doubts = [1.0 - float(chances.max()) for chances in posterior]
    can_fix = [bool(switch.brood) and not switch.animal for switch in layout.switches]
    open_ones: set[int] = {index for index, may in enumerate(can_fix) if not may}
    for index in sorted(range(len(doubts)), key=lambda index: -doubts[index]):
        if prod(len(layout.switches[one].choices) for one in open_ones | {index}) <= MOST_OPEN:
            open_ones.add(index)
    closed = [index for index in range(len(doubts)) if index not in open_ones]
    of_brood = {layout.switches[index].brood: layout.switches[index].choices[chosen[index]] for index in closed}
    broods = tuple(
        replace(brood, sires=(Candidate(of_brood[brood.key]),)) if brood.key in of_brood else brood
        for brood in layout.family.broods
    )
    family = Family(layout.family.sexes, broods)
    return Decided(
        Layout(family, layout.animals, layout.flags, layout.unfolded),
        {layout.switches[index].name: posterior[index] for index in closed},
        2.0 * sum(doubts[index] for index in closed),
    )
