"""One independent part of a pedigree, calibrated at all loci together.

Loci meet only in the switches. Each locus is collected towards the table of all switches; the product of these tables
is the posterior of the switches, and what the other loci say of them is sent back down each locus. That is exact
inference on the joint network of all loci.

Notation: F_l(z) is the likelihood of the records at locus l given the switches z, W(z) the prior of the switches; a
batch row is (locus, r), see `assembly`.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from holdback.heredity.beliefs.assembly import Assembly
from holdback.heredity.beliefs.estimated import phase_of
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, LocusEvidence
from holdback.heredity.beliefs.layout import Layout, choice_name
from holdback.heredity.beliefs.recombination_grid import Grid
from holdback.heredity.beliefs.speech import Row, Speech
from holdback.heredity.beliefs.states import Shape, States
from holdback.heredity.network import Calibrated, Collected, Plan
from holdback.species.model import SexLinkage


@dataclass(frozen=True, eq=False)
class Group:
    """Loci that share one graph, collected.

    Parameters
    ----------
    assembly : Assembly
        Graph and tables.
    grid : Grid
        Recombination fractions.
    plan : Plan
        Order of calculation, for more tables of the same graph.
    collected : Collected
        Messages towards the switches.
    """

    assembly: Assembly
    grid: Grid
    plan: Plan
    collected: Collected
    _latest: dict[bytes, tuple[Calibrated, FloatArray]] = field(default_factory=dict, repr=False)

    def parts(self, weights: FloatArray) -> list[Part]:
        """Beliefs at every locus, worked out once as long as the same weights are asked for.

        Parameters
        ----------
        weights : float array, shape (n_loci, *choices of the switches)
            What all other loci say of the switches.
        """
        key = weights.tobytes()
        found = self._latest.get(key)
        if found is None:
            found = _weighed(self, self.collected, len(self.assembly.loci), weights)
            self._latest.clear()
            self._latest[key] = found
        return _parts(self, self.rows, *found)

    @property
    def rows(self) -> list[Row]:
        """One row a locus, nothing withheld."""
        return [Row(locus) for locus in self.assembly.loci]

    def log_evidence(self, collected: Collected | None = None) -> FloatArray:
        """Logarithm of F_l(z) of each row, mixed over r; shape (n_rows, *choices of the switches)."""
        found = collected or self.collected
        with np.errstate(divide="ignore"):
            each = np.log(found.root) + found.log_scale.reshape(-1, *[1] * (found.root.ndim - 1))
            by_r = each.reshape(-1, len(self.grid.r), *each.shape[1:])
            weights = np.log(self.grid.weights).reshape(1, -1, *[1] * (each.ndim - 1))
            mixed: FloatArray = np.logaddexp.reduce(by_r + weights, axis=1)
        return mixed


@dataclass(frozen=True, eq=False)
class Part:
    """One row of a calibrated group: one locus, its recombination fractions weighed.

    Parameters
    ----------
    group : Group
        Where it belongs.
    calibrated : Calibrated
        Beliefs of a whole batch.
    row : Row
        The locus, and what is withheld.
    index : int
        Number of the row in the batch.
    weights : float array, shape (number of r,)
        Posterior of the recombination fraction.
    """

    group: Group
    calibrated: Calibrated
    row: Row
    index: int
    weights: FloatArray

    @property
    def assembly(self) -> Assembly:
        """States of every animal at the locus."""
        return self.group.assembly

    def states(self, animal: str) -> States:
        """State space of an animal."""
        return self.group.assembly.states[animal]

    def mixed(self, table: FloatArray) -> FloatArray:
        """Mean over r of a table whose first axis is the batch."""
        n = len(self.weights)
        rows = table[self.index * n : (self.index + 1) * n]
        found: FloatArray = np.tensordot(self.weights, rows, axes=1)
        return found

    def posterior(self, animal: str) -> FloatArray:
        """Chance of each state of an animal of the layout, shape (size,)."""
        assembly = self.group.assembly
        if animal in assembly.number:
            return self.mixed(self.calibrated.marginal(assembly.number[animal]))[: assembly.states[animal].size]
        return self._folded(animal)

    def _folded(self, young: str) -> FloatArray:
        """Chance of each state of a young that is a factor of its parents."""
        assembly = self.group.assembly
        parents = self.calibrated.cluster(tuple(assembly.number[name] for name in assembly.parents(young)))
        n = len(self.weights)
        parents = parents[self.index * n : (self.index + 1) * n]
        likelihood = Speech(assembly, [self.row], [young]).likelihood(young)
        table = assembly.transmission(young) * likelihood.reshape(*likelihood.shape, *[1] * (parents.ndim - 1))
        share = parents / table.sum(axis=1)
        each = (table * share[:, None]).reshape(n, table.shape[1], -1).sum(axis=2)
        found: FloatArray = self.weights @ each
        return found

    def phase(self, animal: str) -> float | None:
        """Chance that, of two different alleles, the second of the sorted pair sits on the sex-limited chromosome.

        None at an autosomal locus, in the homogametic sex, and where two different alleles are impossible.
        """
        states = self.states(animal)
        return None if states.shape is Shape.PAIRS else phase_of(states, self.row.locus, self.posterior(animal))

    def joint(self, first: str, second: str) -> FloatArray:
        """Joint chance of the states of two nodes, shape (size of first, size of second)."""
        assembly = self.group.assembly
        found = self.mixed(self.calibrated.joint(assembly.number[first], assembly.number[second]))
        return found[: assembly.states[first].size, : assembly.states[second].size]


@dataclass(frozen=True, eq=False)
class Unit:
    """One independent part of a pedigree with all loci.

    Parameters
    ----------
    layout : Layout
        Nodes and switches.
    evidence : Evidence
        What was recorded.
    groups : tuple of Group
        All loci, those of two autosomal alleles together.
    fixed : mapping of str to float array
        Switches that were taken as decided, with their posterior; see `deciding`.
    standard_error : float
        Bound of the error that this may make in a chance; 0 where nothing was fixed.
    """

    layout: Layout
    evidence: Evidence
    groups: tuple[Group, ...]
    fixed: Mapping[str, FloatArray] = field(default_factory=dict)
    standard_error: float = 0.0
    _parts: dict[str, Part] = field(default_factory=dict, repr=False)

    settled = True

    @property
    def exact(self) -> bool:
        """Whether nothing was fixed that is in doubt."""
        return not self.fixed

    @cached_property
    def _place(self) -> dict[str, tuple[int, int]]:
        """Group and row of each locus."""
        return {
            locus.key: (number, row)
            for number, group in enumerate(self.groups)
            for row, locus in enumerate(group.assembly.loci)
        }

    @cached_property
    def log_prior(self) -> FloatArray:
        """Logarithm of W(z) and of what sexes say of young without a sire, shape of the choices of all switches."""
        weights = self.layout.prior(self.evidence)
        table = np.full((), self.layout.log_unsired(self.evidence))
        for switch in self.layout.switches:
            table = table[..., None] + np.log(np.array(weights[switch.name]))
        return table

    @cached_property
    def _log_evidence(self) -> list[FloatArray]:
        return [group.log_evidence() for group in self.groups]

    @cached_property
    def log_switches(self) -> FloatArray:
        """Logarithm of W(z) times the likelihood of all loci, shape of the choices of all switches."""
        total = self.log_prior.copy()
        for each in self._log_evidence:
            total = total + each.sum(axis=0)
        return total

    @cached_property
    def log_likelihood(self) -> float:
        """Logarithm of the probability of all records, up to the factors that records are given by."""
        return float(np.logaddexp.reduce(self.log_switches.reshape(-1)))

    @cached_property
    def switch_posterior(self) -> FloatArray:
        """Posterior of all switches together, shape of their choices."""
        return np.asarray(np.exp(self.log_switches - self.log_likelihood))

    def of_switch(self, name: str) -> FloatArray:
        """Posterior of one switch, shape (number of choices,)."""
        axis = [switch.name for switch in self.layout.switches].index(name)
        others = tuple(number for number in range(self.switch_posterior.ndim) if number != axis)
        return np.asarray(self.switch_posterior.sum(axis=others))

    def of_sire(self, young: str) -> FloatArray:
        """Posterior of the candidate sires of a young, in record order; of a sire that was fixed, as it was weighed."""
        switch = self.layout.sire_of[young].switch
        if switch is not None:
            return self.of_switch(switch.name)
        return self.fixed[choice_name(self.layout.family, young)]

    def log_outside(self, locus: str) -> FloatArray:
        """Logarithm of the weight of the switches by all but one locus, shape of their choices."""
        number, row = self._place[locus]
        own = self._log_evidence[number][row]
        if np.isfinite(own).all():
            return np.asarray(self.log_switches - own)
        total = self.log_prior.copy()
        for other, each in enumerate(self._log_evidence):
            kept = [index for index in range(len(each)) if (other, index) != (number, row)]
            total = total + each[kept].sum(axis=0)
        return np.asarray(total)

    def outside(self, locus: str) -> FloatArray:
        """Weight of the switches by all but one locus, scaled to a largest of 1; shape of their choices."""
        total = self.log_outside(locus)
        return np.asarray(np.exp(total - total.max()))

    def part(self, locus: str) -> Part:
        """Beliefs at one locus, with what all other loci say of the switches."""
        if locus not in self._parts:
            group = self.groups[self._place[locus][0]]
            keys = [each.key for each in group.assembly.loci]
            weights = np.array([self.outside(key) for key in keys])
            self._parts.update(zip(keys, group.parts(weights), strict=True))
        return self._parts[locus]

    def given(self, choices: FloatArray) -> dict[str, Part]:
        """Beliefs at every locus where only some choices of the switches hold.

        Parameters
        ----------
        choices : float array, shape of the choices of all switches
            1 where they hold, 0 elsewhere.

        Returns
        -------
        dict of str to Part
            By locus key.
        """
        found: dict[str, Part] = {}
        for group in self.groups:
            keys = [each.key for each in group.assembly.loci]
            weights = np.array([self.outside(key) * choices for key in keys])
            found.update(zip(keys, _calibrated(group, group.collected, group.rows, weights), strict=True))
        return found

    def withheld(self, locus: str, sets: Sequence[Collection[str]]) -> tuple[list[Part], FloatArray]:
        """Beliefs at one locus with sets of its records left out.

        Parameters
        ----------
        locus : str
            Locus key.
        sets : sequence of collection of str
            Keys of the records to leave out, one set a question.

        Returns
        -------
        list of Part
            Beliefs, one for each set.
        float array, shape (n_sets,)
            Logarithm of the probability of all records of the unit but those left out.
        """
        number, _ = self._place[locus]
        group = self.groups[number]
        one = next(each for each in group.assembly.loci if each.key == locus)
        rows = [Row(one, frozenset(keys)) for keys in sets]
        collected = group.plan.collect(group.assembly.tables(rows))
        parts = _calibrated(group, collected, rows, np.array([self.outside(locus)]))
        flat = (group.log_evidence(collected) + self.log_outside(locus)).reshape(len(rows), -1)
        return parts, np.asarray(np.logaddexp.reduce(flat, axis=1))


def _calibrated(group: Group, collected: Collected, rows: Sequence[Row], weights: FloatArray) -> list[Part]:
    """Beliefs of each row, with weights of the switches."""
    return _parts(group, rows, *_weighed(group, collected, len(rows), weights))


def _weighed(group: Group, collected: Collected, n_rows: int, weights: FloatArray) -> tuple[Calibrated, FloatArray]:
    """Send weights of the switches down, and weigh the recombination fractions, shape (n_rows, number of r)."""
    n_r = len(group.grid.r)
    spread = np.repeat(np.broadcast_to(weights, (n_rows, *weights.shape[1:])), n_r, axis=0)
    calibrated = collected.distribute(spread)
    logs = calibrated.log_likelihood.reshape(n_rows, n_r) + np.log(group.grid.weights)
    of_r = np.exp(logs - logs.max(axis=1, keepdims=True))
    return calibrated, of_r / of_r.sum(axis=1, keepdims=True)


def _parts(group: Group, rows: Sequence[Row], calibrated: Calibrated, of_r: FloatArray) -> list[Part]:
    return [Part(group, calibrated, row, index, of_r[index]) for index, row in enumerate(rows)]


def group_of(assembly: Assembly, grid: Grid, plan: Plan) -> Group:
    """Loci of one graph, collected towards the switches."""
    return Group(assembly, grid, plan, plan.collect(assembly.tables([Row(locus) for locus in assembly.loci])))


MOST_ENTRIES = 20_000_000
"""Table entries (8 bytes each) up to which a locus is worked out exactly."""


def batches(evidence: Evidence) -> list[list[LocusEvidence]]:
    """Loci by graph: those of two autosomal alleles together, every other by itself."""
    alike = batches_of_size(evidence)
    is_plain = [some[0].linkage is None and some[0].n_alleles == 2 for some in alike]
    together = [some for some, plain in zip(alike, is_plain, strict=True) if plain]
    return together + [[locus] for some, plain in zip(alike, is_plain, strict=True) if not plain for locus in some]


def batches_of_size(evidence: Evidence) -> list[list[LocusEvidence]]:
    """Loci by number of alleles and sex linkage: of one graph where all alleles stay apart."""
    found: dict[tuple[int, SexLinkage | None], list[LocusEvidence]] = {}
    for locus in evidence.loci.values():
        found.setdefault((locus.n_alleles, locus.linkage), []).append(locus)
    return list(found.values())
