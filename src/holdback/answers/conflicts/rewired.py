"""Loci of a part of a pedigree, to be worked out with other parents of some young.

Only the chances of the young given their parents change, so the network of the part stays as it is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from holdback.descent.family import Brood
from holdback.heredity.beliefs.evidence import FloatArray
from holdback.heredity.beliefs.speech import Speech
from holdback.heredity.beliefs.states import States, without_sire
from holdback.heredity.beliefs.unit import Group, Part, Unit
from holdback.heredity.network import Collected

Change = Mapping[str, FloatArray]
"""Young to the chances of its states given its parents' nodes, of the shape of `Assembly.transmission`."""

_ROWS = 1500
"""Problems worked out at once."""

_MOST_AT_ONCE = 4_000_000
"""Table entries worked out at once."""

_MOST_ASKED = 600_000
"""Table entries of loci of one graph up to which they are asked what other parents would say. A complex of many alleles
in a tangled pedigree is larger; it then speaks as recorded."""


class Rewired:
    """One group of loci of a part of a pedigree, to be worked out with other parents.

    Parameters
    ----------
    group : Group
        Loci of one graph, collected.
    """

    def __init__(self, group: Group) -> None:
        self.group = group
        self.assembly = group.assembly
        self._speech = Speech(self.assembly, group.rows)
        self._of_young: dict[str, FloatArray] = {}

    @cached_property
    def _tables(self) -> list[FloatArray]:
        return self.assembly.tables(self.group.rows)

    @cached_property
    def _alone(self) -> dict[str, int]:
        """Young that are nodes, with the number of their factor."""
        layout = self.assembly.layout
        young = [name for name in layout.nodes if name in layout.sire_of]
        first = len(self._tables) - len(self.assembly.couples) - len(young)
        return {name: first + number for number, name in enumerate(young)}

    @cached_property
    def _folded(self) -> dict[str, tuple[int, tuple[str, ...]]]:
        """Young that are no nodes, with the number of their couple's factor and all its young."""
        first = len(self._tables) - len(self.assembly.couples)
        couples = enumerate(self.assembly.couples.values(), start=first)
        return {name: (number, young) for number, young in couples for name in young}

    def held(self, brood: Brood, *, is_sire: bool) -> list[Change]:
        """One change for each genotype at which a parent of a brood is held."""
        axis = 2 if is_sire else -1
        found: list[Change] = []
        for state in range(self.parent_states(brood, is_sire=is_sire).size):
            change = {}
            for young in brood.young:
                table = self.assembly.transmission(young)
                change[young] = np.broadcast_to(table.take([state], axis=axis), table.shape)
            found.append(change)
        return found

    def parent_states(self, brood: Brood, *, is_sire: bool) -> States:
        """States of the parent of a brood."""
        layout = self.assembly.layout
        young = brood.young[0]
        return self.assembly.states[layout.sire_of[young].node if is_sire else layout.dam_of[young]]

    def fatherless(self, brood: Brood) -> Change:
        """Change in which a brood has no sire."""
        change = {}
        for young in brood.young:
            table = self.assembly.transmission(young)
            dam = self.assembly.states[self.assembly.layout.dam_of[young]]
            alone = without_sire(self.assembly.states[young], dam, self.assembly.evidence.second_division)
            change[young] = np.broadcast_to(alone.reshape(1, len(alone), *[1] * (table.ndim - 3), -1), table.shape)
        return change

    def foreign(self, young: str, chances: Mapping[str, FloatArray]) -> Change:
        """Change in which a young is of another clutch.

        Parameters
        ----------
        young : str
            Id.
        chances : mapping of str to float array, shape (n, n)
            Locus to the chances of ordered pairs of alleles there.
        """
        table = self.assembly.transmission(young)
        states = self.assembly.states[young]
        prior = np.array([state_chances(states, chances[locus.key]) for locus in self.assembly.loci])
        prior = np.repeat(prior, len(self.group.grid.r), axis=0)
        shape = (self._n_rows, *table.shape[1:])
        return {young: np.broadcast_to(prior.reshape(*prior.shape, *[1] * (table.ndim - 2)), shape)}

    def log_evidence(self, changes: Sequence[Change]) -> FloatArray:
        """Logarithm of F of each change and locus, shape (n_changes, n_loci, *choices of the switches)."""
        each = max(1, min(_ROWS, _MOST_AT_ONCE // self.group.plan.entries) // self._n_rows)
        found = []
        for start in range(0, len(changes), each):
            some = changes[start : start + each]
            logs = self.group.log_evidence(self.collected(some))
            found.append(logs.reshape(len(some), len(self.assembly.loci), *logs.shape[1:]))
        return np.concatenate(found)

    def collected(self, changes: Sequence[Change]) -> Collected:
        """All changes at all loci as one batch, rows in the order (change, locus, r)."""
        n, count = self._n_rows, len(changes)
        touched = [{self._factor(young) for young in change} for change in changes]
        tables = [table if len(table) == 1 else np.tile(table, _along(count, table)) for table in self._tables]
        for number in frozenset().union(*touched):
            base = self._tables[number]
            tables[number] = np.tile(base, _along(count * n // len(base), base))
        for index, (change, factors) in enumerate(zip(changes, touched, strict=True)):
            for number in factors:
                tables[number][index * n : (index + 1) * n] = self._factor_table(number, change)
        return self.group.plan.collect(tables)

    def parts(self, collected: Collected, n_changes: int, outside: FloatArray) -> list[Part]:
        """Beliefs of each row (change, locus); `outside` is the weight of the switches, shape (n_loci, *choices)."""
        n_r = len(self.group.grid.r)
        weights = np.repeat(np.tile(outside, (n_changes, *[1] * (outside.ndim - 1))), n_r, axis=0)
        calibrated = collected.distribute(weights)
        logs = calibrated.log_likelihood.reshape(-1, n_r) + np.log(self.group.grid.weights)
        of_r = np.exp(logs - logs.max(axis=1, keepdims=True))
        of_r /= of_r.sum(axis=1, keepdims=True)
        rows = self.group.rows * n_changes
        return [Part(self.group, calibrated, row, index, of_r[index]) for index, row in enumerate(rows)]

    @property
    def _n_rows(self) -> int:
        return len(self.assembly.loci) * len(self.group.grid.r)

    def _factor(self, young: str) -> int:
        return self._alone[young] if young in self._alone else self._folded[young][0]

    def _factor_table(self, number: int, change: Change) -> FloatArray:
        """Table of a factor under a change that touches it."""
        young = next(one for one in change if self._factor(one) == number)
        if young in self._alone:
            return self._spread(change[young])
        table: FloatArray = np.ones(1)
        for one in self._folded[young][1]:
            table = table * self._message(one, change.get(one))
        return table

    def _message(self, young: str, transmission: FloatArray | None) -> FloatArray:
        """P(records of a folded young | its parents' nodes)."""
        if transmission is None:
            if young not in self._of_young:
                self._of_young[young] = self._message(young, self.assembly.transmission(young))
            return self._of_young[young]
        table = self._spread(transmission)
        likelihood = self._speech.likelihood(young)
        flat = np.matmul(likelihood[:, None, :], table.reshape(len(table), table.shape[1], -1))
        return np.asarray(flat.reshape(-1, *table.shape[2:]))

    def _spread(self, table: FloatArray) -> FloatArray:
        """A table over r, or over nothing, repeated for every locus and r."""
        return np.tile(table, _along(self._n_rows // len(table), table))


def state_chances(states: States, pairs: FloatArray) -> FloatArray:
    """Chances of the states of an animal from those of ordered pairs of alleles, shape (size,)."""
    number = {each: index for index, each in enumerate(states.pairs[: states.n_unordered])}
    ordered = {each: index for index, each in enumerate(states.pairs[states.n_unordered :], states.n_unordered)}
    found = np.zeros(states.size)
    both = 0.5 if number and ordered else 1.0
    for (one, other), chance in np.ndenumerate(pairs):
        first, second = states.partition[one], states.partition[other]
        if number:
            found[number[min(first, second), max(first, second)]] += both * chance
        if ordered:
            found[ordered[first, second]] += both * chance
    return found


def _along(times: int, table: FloatArray) -> tuple[int, ...]:
    return (times, *[1] * (table.ndim - 1))


def log_ratio_of(unit: Unit, rewired: Sequence[Rewired], changes: Sequence[Change]) -> float:
    """Log likelihood under one change, given for each group, less that of the records as they are."""
    total = unmoved(unit, rewired)
    for one, change in zip(rewired, changes, strict=True):
        total = total + one.log_evidence([change])[0].sum(axis=0)
    return float(np.logaddexp.reduce(np.asarray(total).reshape(-1)) - unit.log_likelihood)


def has_one_sire_node(unit: Unit, brood: Brood) -> bool:
    """Whether one node stands for the sire of the whole brood."""
    return not brood.each_egg and bool(unit.layout.sire_of[brood.young[0]].node)


def rewired_groups(unit: Unit) -> tuple[Rewired, ...]:
    """Groups of a part of a pedigree, ready for other parents; those too large to be asked often are left out."""
    return tuple(Rewired(group) for group in unit.groups if _entries(group) <= _MOST_ASKED)


def _entries(group: Group) -> int:
    """Table entries of all loci of a group."""
    return group.plan.entries * len(group.grid.r) * len(group.assembly.loci)


def unmoved(unit: Unit, rewired: Sequence[Rewired]) -> FloatArray:
    """Logarithm of the prior of the switches and of what the groups left out say of them, shape of their choices."""
    total: FloatArray = unit.log_prior.copy()
    asked = {id(one.group) for one in rewired}
    for group in unit.groups:
        if id(group) not in asked:
            total = total + group.log_evidence().sum(axis=0)
    return total
