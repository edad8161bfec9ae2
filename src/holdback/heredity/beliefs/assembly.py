"""A layout and one locus, or many loci of two alleles at once, as a factor graph with tables.

Notation: the batch axis B comes first in every table. Its rows are (row, r) in that order, where a row is a locus with
some of its records withheld (see `speech`) and r runs over the grid of the recombination fraction (one point at an
autosomal locus).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from holdback.collection.model import NO_SIRE, Sex
from holdback.descent.family import UNKNOWN_SIRE
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, LocusEvidence
from holdback.heredity.beliefs.layout import Layout, SireNode
from holdback.heredity.beliefs.lumping import partitions
from holdback.heredity.beliefs.speech import Row, Speech
from holdback.heredity.beliefs.states import (
    Partition,
    Shape,
    States,
    autosomal,
    founder_prior,
    sex_linked,
    state_map,
    without_sire,
)
from holdback.heredity.network import Graph


class Assembly:
    """Factor graph of a layout for loci of one kind.

    Parameters
    ----------
    layout : Layout
        Nodes and switches.
    evidence : Evidence
        What was recorded.
    loci : sequence of LocusEvidence
        One locus, or any number of autosomal loci of two alleles.
    grid : sequence of float
        Recombination fractions to work out, for a sex-linked locus.
    lumped : bool
        Whether alleles that nothing recorded tells apart are one class.
    """

    def __init__(
        self,
        layout: Layout,
        evidence: Evidence,
        loci: Sequence[LocusEvidence],
        grid: Sequence[float] = (0.5,),
        *,
        lumped: bool = True,
    ) -> None:
        self.layout, self.evidence, self.loci, self.grid = layout, evidence, tuple(loci), tuple(grid)
        self.is_sex_linked = loci[0].linkage is not None
        self._partition = self._partitions(lumped=lumped)
        self.states = self._all_states()
        self.doubtful = {node.node: node for node in layout.doubtful}
        self.number = {name: index for index, name in enumerate((*layout.nodes, *self._switch_names))}

    @cached_property
    def _switch_names(self) -> tuple[str, ...]:
        return tuple(switch.name for switch in self.layout.switches)

    @property
    def switch_numbers(self) -> tuple[int, ...]:
        """Variables of the switches, in layout order."""
        return tuple(self.number[name] for name in self._switch_names)

    def _partitions(self, *, lumped: bool) -> Mapping[str, Partition]:
        layout = self.layout
        if not lumped or self.loci[0].n_alleles == 2:
            return dict.fromkeys(layout.youngest_first, tuple(range(self.loci[0].n_alleles)))
        parents = {name: tuple(layout.parents(name)) for name in layout.youngest_first}
        hiding = frozenset(flag.animal for flag in layout.flags if flag.locus == self.loci[0].key)
        return partitions(self.loci[0], layout.youngest_first, parents, hiding=hiding)

    def _all_states(self) -> dict[str, States]:
        names = dict.fromkeys([*self.layout.animals, *self.layout.nodes])
        if self.is_sex_linked:
            return {name: States(self._partition[name], self._shape(name)) for name in names}
        made = {partition: States(partition) for partition in self._partition.values()}
        return {name: made[self._partition[name]] for name in names}

    def _shape(self, name: str) -> Shape:
        """What a state is at a sex-linked locus."""
        sex = self.layout.sex_of(name)
        is_parent = name in self.layout.breeders or name not in self.layout.family.sexes
        if not is_parent and (sex is Sex.UNKNOWN or self.evidence.sex_error > 0.0):
            return Shape.EITHER
        if sex is self.evidence.heterogametic:
            return Shape.ORDERED
        return Shape.EITHER if sex is Sex.UNKNOWN else Shape.PAIRS

    def size(self, name: str) -> int:
        """Number of states of a node; a sire that may be none has one more, at the end."""
        return self.states[name].size + (1 if name in self.doubtful and self.doubtful[name].may_be_none else 0)

    # --- the graph ------------------------------------------------------------------------------------------------

    @cached_property
    def graph(self) -> Graph:
        """Variables and factors; the order of factors is that of `tables`."""
        sizes = [self.size(name) for name in self.layout.nodes]
        sizes += [len(switch.choices) for switch in self.layout.switches]
        scopes = tuple(tuple(self.number[name] for name in scope) for scope in self._scopes())
        return Graph(tuple(sizes), scopes, keep=(self.switch_numbers,) if self.switch_numbers else ())

    def _scopes(self) -> list[tuple[str, ...]]:
        layout = self.layout
        scopes: list[tuple[str, ...]] = [(name,) for name in layout.founders]
        scopes += [(animal,) for animal in self._spoken]
        scopes += [(flag.animal, flag.name) for flag in layout.flags]
        for node in layout.doubtful:
            scopes += [self._choice_scope(node, candidate) for candidate in node.candidates]
        scopes += [(young, *self.parents(young)) for young in self._unfolded_young]
        scopes += list(self.couples)
        return scopes

    @cached_property
    def _spoken(self) -> tuple[str, ...]:
        """Recorded animals that are nodes."""
        return tuple(name for name in self.layout.nodes if name in self.layout.family.sexes)

    @cached_property
    def _unfolded_young(self) -> tuple[str, ...]:
        return tuple(name for name in self.layout.nodes if name in self.layout.sire_of)

    def parents(self, young: str) -> tuple[str, ...]:
        """Sire node and dam node of a young; the dam alone where there was no sire."""
        return self.layout.couple_of(young)

    @property
    def couples(self) -> Mapping[tuple[str, ...], tuple[str, ...]]:
        """Folded young by their parents' nodes."""
        return self.layout.couples

    def _choice_scope(self, node: SireNode, candidate: str) -> tuple[str, ...]:
        assert node.switch is not None
        own = (node.node, node.switch.name)
        return own if candidate in (UNKNOWN_SIRE, NO_SIRE) else (*own, candidate)

    # --- the tables -----------------------------------------------------------------------------------------------

    def tables(self, rows: Sequence[Row]) -> list[FloatArray]:
        """Tables of all factors, each of shape (B or 1, *sizes of its scope)."""
        layout = self.layout
        speech = Speech(self, rows)
        alike = {self.states[name]: name for name in layout.founders}
        priors = {states: self._founder(name, rows) for states, name in alike.items()}
        tables = [priors[self.states[name]] for name in layout.founders]
        tables += [speech.likelihood(animal) for animal in self._spoken]
        tables += [speech.flagged(flag) for flag in layout.flags]
        for node in layout.doubtful:
            tables += [self._choice(node, candidate, rows) for candidate in node.candidates]
        tables += [self._tiled(self.transmission(young), rows) for young in self._unfolded_young]
        tables += [self._folded(young, speech, rows) for young in self.couples.values()]
        return tables

    def _tiled(self, table: FloatArray, rows: Sequence[Row]) -> FloatArray:
        """A table over the grid of r, repeated for every row."""
        return table if len(table) == 1 else np.tile(table, (len(rows), *[1] * (table.ndim - 1)))

    def _founder(self, name: str, rows: Sequence[Row]) -> FloatArray:
        found = np.array([founder_prior(self.states[name], row.locus.frequencies) for row in rows])
        return np.repeat(found, len(self.grid), axis=0)

    def transmission(self, young: str) -> FloatArray:
        """P(young | its parents' nodes), shape (1 or number of r, size of young, *sizes of the parents' nodes)."""
        node, dam = self.layout.sire_of[young], self.layout.dam_of[young]
        own, of_dam = self.states[young], self.states[dam]
        if not node.node:
            return without_sire(own, of_dam, self.evidence.second_division)[None]
        of_sire = self.states[node.node]
        if self.is_sex_linked:
            hetero_is_sire = self.evidence.heterogametic is Sex.MALE
            table = sex_linked(own, of_sire, of_dam, r=self.grid, hetero_is_sire=hetero_is_sire)
        else:
            table = autosomal(own, of_sire, of_dam)[None]
        if node.may_be_none:
            alone = without_sire(own, of_dam, self.evidence.second_division)
            alone = np.broadcast_to(alone[None, :, None, :], (len(table), own.size, 1, of_dam.size))
            table = np.concatenate([table, alone], axis=2)
        return table

    def _choice(self, node: SireNode, candidate: str, rows: Sequence[Row]) -> FloatArray:
        """1 unless the switch names this candidate; then 1 where the sire node has the candidate's genotype."""
        assert node.switch is not None
        states, size = self.states[node.node], self.size(node.node)
        n, chosen = len(node.candidates), node.candidates.index(candidate)
        if candidate == NO_SIRE:
            table = np.ones((1, size, n))
            table[0, :, chosen] = 0.0
            table[0, states.size, chosen] = 1.0
            return table
        if candidate == UNKNOWN_SIRE:
            table = np.ones((len(rows) * len(self.grid), size, n))
            table[:, :, chosen] = 0.0
            table[:, : states.size, chosen] = self._founder(node.node, rows)
            return table
        to = state_map(self.states[candidate], states)
        table = np.ones((1, size, n, len(to)))
        table[0, :, chosen, :] = 0.0
        table[0, to, chosen, np.arange(len(to))] = 1.0
        return table

    def _folded(self, young: Sequence[str], speech: Speech, rows: Sequence[Row]) -> FloatArray:
        """Product over folded young of one couple of P(their records | parents)."""
        table: FloatArray = np.ones((1, *(self.size(name) for name in self.parents(young[0]))))
        alike: dict[States, list[tuple[str, FloatArray]]] = {}
        for one in young:
            likelihood = speech.said(one)
            if likelihood is not None:
                alike.setdefault(self.states[one], []).append((one, likelihood))
        for some in alike.values():
            said = np.array([likelihood for _, likelihood in some])
            table = table * self._message(some[0][0], said, rows).prod(axis=0)
        return table

    def _message(self, young: str, said: FloatArray, rows: Sequence[Row]) -> FloatArray:
        """P(records | parents) of young with the states of this one, shape (n_young, B, *sizes of the parents' nodes).

        `said` is of shape (n_young, B, size of the young).
        """
        table = self.transmission(young)
        flat = table.reshape(*table.shape[:2], -1)
        if len(table) == 1:
            found = said.reshape(-1, said.shape[-1]) @ flat[0]
        else:
            found = np.matmul(said[:, :, None, :], np.tile(flat, (len(rows), 1, 1)))
        return np.asarray(found.reshape(*said.shape[:2], *table.shape[2:]))
