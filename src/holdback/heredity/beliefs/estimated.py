"""One part of a pedigree that is too entangled for exact inference: blocked Gibbs sampling with a stated error.

All loci and switches are one network here; without switches every locus is one of its own. The recombination fraction
of a sex-linked locus is held at its prior mean. Joints are read off joint draws. What the records contribute one by one
is not told: draws weighed anew are too few for that wherever a record matters.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any

import numpy as np
import numpy.typing as npt

from holdback.heredity.beliefs.assembly import Assembly
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, LocusEvidence
from holdback.heredity.beliefs.layout import Layout
from holdback.heredity.beliefs.recombination_grid import Grid, grid_of
from holdback.heredity.beliefs.speech import Row, Speech
from holdback.heredity.beliefs.states import Shape, States
from holdback.heredity.network import Graph
from holdback.heredity.network.sampling import LOOSE, Cancelled, Rule, Sampled, Sampler

IntArray = npt.NDArray[np.integer[Any]]

CLIQUE_ENTRIES = 729
"""Entries of the largest table that is summed over exactly within a sweep: six animals at a locus of two alleles."""

SEED = 20_260
"""Seed of the sampler: the same records give the same answer."""


@dataclass(frozen=True, eq=False)
class EstimatedPart:
    """One locus of a sampled part of a pedigree, over all draws or some of them.

    Parameters
    ----------
    unit : EstimatedUnit
        Where it belongs.
    locus : str
        Locus key.
    weights : float array, shape (n_draws,), or None
        Weight of each draw; None takes the averages of the sampler, which are more precise.
    """

    unit: EstimatedUnit
    locus: str
    weights: FloatArray | None = None

    @property
    def assembly(self) -> Assembly:
        """States of every animal at the locus."""
        return self.unit.assemblies[self.locus]

    def states(self, animal: str) -> States:
        """State space of an animal."""
        return self.assembly.states[animal]

    @property
    def sampled(self) -> Sampled:
        """What was drawn at the locus."""
        return self.unit.sampled[self.locus]

    def posterior(self, animal: str) -> FloatArray:
        """Chance of each state of an animal, shape (size,)."""
        if animal in self.assembly.number:
            number = self.unit.number(self.locus, animal)
            size = self.states(animal).size
            if self.weights is None:
                return np.asarray(self.sampled.marginal(number)[0, :size])
            counted = np.bincount(self.sampled.draws[:, number], self.weights, minlength=size)
            return np.asarray(counted[:size], dtype=np.float64)
        return self._folded(animal)

    def _folded(self, young: str) -> FloatArray:
        assembly = self.assembly
        numbers = tuple(self.unit.number(self.locus, name) for name in assembly.parents(young))
        likelihood = Speech(assembly, [Row(assembly.loci[0])], [young]).likelihood(young)[0]
        table = assembly.transmission(young)[0] * likelihood.reshape(-1, *[1] * len(numbers))
        if self.weights is None:
            parents = self.sampled.cluster(numbers)[0]
        else:
            parents = np.zeros(table.shape[1:])
            np.add.at(parents, tuple(self.sampled.draws[:, number] for number in numbers), self.weights)
        found: FloatArray = (table * (parents / table.sum(axis=0))).reshape(len(table), -1).sum(axis=1)
        return found

    def phase(self, animal: str) -> float | None:
        """As of an exact part."""
        states = self.states(animal)
        if states.shape is Shape.PAIRS:
            return None
        return phase_of(states, self.assembly.loci[0], self.posterior(animal))

    def joint(self, first: str, second: str) -> FloatArray:
        """Joint chance of the states of two nodes, shape (size of first, size of second), from the draws."""
        draws = self.sampled.draws
        found = np.zeros((self.assembly.size(first), self.assembly.size(second)))
        places = draws[:, self.unit.number(self.locus, first)], draws[:, self.unit.number(self.locus, second)]
        weights = np.full(len(draws), 1.0 / len(draws)) if self.weights is None else self.weights
        np.add.at(found, places, weights)
        return found[: self.states(first).size, : self.states(second).size]


@dataclass(frozen=True, eq=False)
class EstimatedUnit:
    """One part of a pedigree with all loci, sampled.

    Parameters
    ----------
    layout : Layout
        Nodes and switches.
    evidence : Evidence
        What was recorded.
    assemblies : mapping of str to Assembly
        Graph and tables of each locus.
    sampled : mapping of str to Sampled
        Locus to chances, errors and joint draws; the same for all loci where they share switches.
    """

    layout: Layout
    evidence: Evidence
    assemblies: dict[str, Assembly]
    sampled: Mapping[str, Sampled]
    _offsets: dict[str, int] = field(repr=False)

    exact = False

    @property
    def standard_error(self) -> float:
        """Largest standard error of any chance."""
        return max(
            (float(errors.max()) for one in self.sampled.values() for errors in one.standard_errors), default=0.0
        )

    @property
    def settled(self) -> bool:
        """Whether the sampler met its rule; if not, errors may be larger than they look."""
        return all(one.settled for one in self.sampled.values())

    @property
    def log_likelihood(self) -> float:
        """Not known by sampling: NaN."""
        return float("nan")

    def bytes_of(self) -> int:
        """What the draws take."""
        return sum(one.draws.nbytes for one in {id(one): one for one in self.sampled.values()}.values())

    def number(self, locus: str, name: str) -> int:
        """Variable of a node at a locus."""
        return self._offsets[locus] + self.assemblies[locus].number[name]

    @property
    def _choices(self) -> IntArray:
        """Choices of the switches in each draw, shape (n_draws, n_switches)."""
        return np.asarray(next(iter(self.sampled.values())).draws[:, : len(self.layout.switches)])

    @cached_property
    def switch_posterior(self) -> FloatArray:
        """Posterior of all switches together from the draws, shape of their choices."""
        found = np.zeros(tuple(len(switch.choices) for switch in self.layout.switches))
        np.add.at(found, tuple(self._choices.T), 1.0 / len(self._choices))
        return found

    def of_switch(self, name: str) -> FloatArray:
        """Posterior of one switch, shape (number of choices,)."""
        index = [switch.name for switch in self.layout.switches].index(name)
        return np.asarray(next(iter(self.sampled.values())).marginal(index)[0])

    def of_sire(self, young: str) -> FloatArray:
        """Posterior of the candidate sires of a young, in record order."""
        switch = self.layout.sire_of[young].switch
        assert switch is not None, "asked only where the sire is doubtful"
        return self.of_switch(switch.name)

    def part(self, locus: str) -> EstimatedPart:
        """Beliefs at one locus."""
        return EstimatedPart(self, locus)

    def given(self, choices: FloatArray) -> dict[str, EstimatedPart]:
        """Beliefs at every locus over the draws in which some choices of the switches hold."""
        held = choices[tuple(self._choices.T)]
        return {locus: EstimatedPart(self, locus, held / held.sum()) for locus in self.assemblies}


def phase_of(states: States, locus: LocusEvidence, chances: FloatArray) -> float | None:
    """Chance that the second of two different alleles, sorted by key, sits on the sex-limited chromosome."""
    n = states.n_unordered
    of_order = [0.0, 0.0]
    for (a, b), chance in zip(states.pairs[n:], chances[n:].tolist(), strict=True):
        if a != b:
            on_x, on_y = (locus.alleles[states.partition.index(k)] for k in (a, b))
            of_order[on_y > on_x] += chance
    return of_order[1] / sum(of_order) if sum(of_order) > 0.0 else None


def mean_grid(locus: LocusEvidence) -> Grid:
    """The prior mean of the recombination fraction as the only point."""
    grid = grid_of(locus.linkage)
    return Grid((float(np.dot(grid.r, grid.weights)),), (1.0,))


def estimated(
    layout: Layout,
    evidence: Evidence,
    *,
    rule: Rule = LOOSE,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> EstimatedUnit:
    """One part of a pedigree, sampled at all loci together.

    Parameters
    ----------
    layout, evidence
        As of an exact unit.
    rule : Rule
        When to stop.
    progress, cancelled : callable, optional
        Told the share done; asked whether to stop.

    Raises
    ------
    TooWide
        If no blocks of a workable size can be found.
    Cancelled
        If `cancelled` said so.
    """
    if cancelled and cancelled():
        raise Cancelled("Asked to stop before sampling began.")
    assemblies = {
        locus.key: Assembly(layout, evidence, [locus], mean_grid(locus).r) for locus in evidence.loci.values()
    }
    parts = [list(assemblies)] if layout.switches else [[key] for key in assemblies]
    rng = np.random.default_rng(np.random.SeedSequence(SEED))
    samplers: dict[Graph, Sampler] = {}
    sampled: dict[str, Sampled] = {}
    offsets: dict[str, int] = {}
    for number, keys in enumerate(parts):
        network = _Network(layout, evidence, {key: assemblies[key] for key in keys})
        if network.graph not in samplers:
            samplers[network.graph] = Sampler(
                network.graph, rng, clusters=network.clusters, clique_entries=CLIQUE_ENTRIES
            )
        done = partial(_told, progress, number, len(parts))
        found = samplers[network.graph].run(network.tables, rng, rule=rule, progress=done, cancelled=cancelled)
        sampled.update(dict.fromkeys(keys, found))
        offsets.update(network.offsets)
    return EstimatedUnit(layout, evidence, assemblies, sampled, offsets)


def _told(progress: Callable[[float], None] | None, number: int, count: int, share: float) -> None:
    if progress:
        progress((number + share) / count)


class _Network:
    """Some loci and all switches of a layout as one network."""

    def __init__(self, layout: Layout, evidence: Evidence, assemblies: Mapping[str, Assembly]) -> None:
        n_switches, n_nodes = len(layout.switches), len(layout.nodes)
        prior = layout.prior(evidence)
        sizes = [len(switch.choices) for switch in layout.switches]
        scopes: list[tuple[int, ...]] = [(number,) for number in range(n_switches)]
        self.tables: list[FloatArray] = [np.array([prior[switch.name]]) for switch in layout.switches]
        self.offsets: dict[str, int] = {}
        self.clusters: list[tuple[int, ...]] = []
        for key, assembly in assemblies.items():
            self.offsets[key] = offset = len(sizes)
            to = [offset + number for number in range(n_nodes)] + list(range(n_switches))
            sizes += assembly.graph.sizes[:n_nodes]
            scopes += [tuple(to[variable] for variable in scope) for scope in assembly.graph.scopes]
            self.tables += assembly.tables([Row(assembly.loci[0])])
            self.clusters += [tuple(to[assembly.number[name]] for name in couple) for couple in assembly.couples]
        self.graph = Graph(tuple(sizes), tuple(scopes))
