"""What the records of an animal say of its states, for many loci or many questions at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from holdback.collection.model import Sex
from holdback.heredity.beliefs.evidence import FloatArray, LocusEvidence
from holdback.heredity.beliefs.layout import Switch
from holdback.heredity.beliefs.states import Shape, States, by_state, representatives

if TYPE_CHECKING:
    from holdback.heredity.beliefs.assembly import Assembly

SEX_RECORD = "sex:"
"""Start of the key of the record of an animal's sex."""


@dataclass(frozen=True, eq=False)
class Row:
    """A locus with some of its records left out.

    Parameters
    ----------
    locus : LocusEvidence
        The locus.
    withheld : frozenset of str
        Keys of records that are not counted.
    """

    locus: LocusEvidence
    withheld: frozenset[str] = frozenset()


class Speech:
    """What the records say of each animal, for the rows of one batch.

    Parameters
    ----------
    assembly : Assembly
        Where the states come from.
    rows : sequence of Row
        Loci and what is withheld.
    animals : sequence of str, optional
        Animals that will be asked for; all of the layout unless given.
    """

    def __init__(self, assembly: Assembly, rows: Sequence[Row], animals: Sequence[str] | None = None) -> None:
        self._assembly, self._rows = assembly, rows
        self._animals = assembly.layout.animals if animals is None else animals
        self._flags = {(flag.animal, flag.locus) for flag in assembly.layout.flags}
        self._said: dict[str, FloatArray] = {}
        for alike in self._read():
            self._said.update(zip(alike.animals, alike.multiplied(len(rows)), strict=True))
        if assembly.is_sex_linked:
            for animal in self._animals:
                self._add_sex(animal)

    def likelihood(self, animal: str) -> FloatArray:
        """P(records | state) up to a factor, of those that cannot be hidden; shape (B or 1, size)."""
        found = self.said(animal)
        if found is None:
            return np.ones((1, self._assembly.states[animal].size))
        return found

    def said(self, animal: str) -> FloatArray | None:
        """As `likelihood`; None where nothing is recorded."""
        found = self._said.get(animal)
        n_r = len(self._assembly.grid)
        return found if found is None or n_r == 1 else np.repeat(found, n_r, axis=0)

    def _read(self) -> Iterable[_Alike]:
        """Everything that is said, gathered by the states of the animals."""
        alike: dict[States, _Alike] = {}
        place_of: dict[str, tuple[_Alike, int]] = {}
        for locus, numbers in self._by_locus():
            records, deadly = locus.records, (locus.survival != 1.0).any()
            withheld = frozenset().union(*(self._rows[number].withheld for number in numbers))
            for animal in self._animals if deadly else [one for one in self._animals if one in records]:
                found = place_of.get(animal)
                if found is None:
                    states = self._assembly.states[animal]
                    one = alike.setdefault(states, _Alike(states))
                    found = place_of[animal] = one, one.place(animal)
                one, place = found
                turn = 0
                for record in records.get(animal, ()):
                    if record.counted and (animal, record.hidden_by) not in self._flags:
                        kept = self._without(record.key, numbers) if record.key in withheld else numbers
                        one.add(turn, place, kept, record.likelihood)
                        turn += 1
                if deadly and animal not in self._assembly.evidence.unborn:
                    one.add(turn, place, numbers, locus.survival)
        return alike.values()

    def _by_locus(self) -> Iterable[tuple[LocusEvidence, list[int]]]:
        """Each locus with its rows."""
        found: dict[str, tuple[LocusEvidence, list[int]]] = {}
        for number, row in enumerate(self._rows):
            found.setdefault(row.locus.key, (row.locus, []))[1].append(number)
        return found.values()

    def _without(self, record: str, numbers: Sequence[int]) -> list[int]:
        """Rows that do not leave a record out."""
        return [number for number in numbers if record not in self._rows[number].withheld]

    def flagged(self, flag: Switch) -> FloatArray:
        """Factor between an animal and whether its look is hidden, shape (B, size, 2)."""
        states = self._assembly.states[flag.animal]
        table = np.ones((len(self._rows), states.size, 2))
        for index, row in enumerate(self._rows):
            if row.locus.key == flag.locus:
                hides = by_state(row.locus.hides.astype(np.float64), states)
                table[index, :, 0], table[index, :, 1] = 1.0 - hides, hides
            else:
                for record in row.locus.records.get(flag.animal, ()):
                    if record.counted and record.hidden_by == flag.locus and record.key not in row.withheld:
                        table[index, :, 0] *= by_state(record.likelihood, states)
        return np.repeat(table, len(self._assembly.grid), axis=0)

    def _add_sex(self, animal: str) -> None:
        """The recorded sex, and by which parent the allele is said to have come."""
        states = self._assembly.states[animal]
        n = states.n_unordered
        sex = self._assembly.layout.family.sexes[animal]
        if states.shape is Shape.EITHER and sex is not Sex.UNKNOWN:
            error = self._assembly.evidence.sex_error
            values = np.full(states.size, 1.0 - error)
            values[slice(0, n) if sex is self._assembly.evidence.heterogametic else slice(n, None)] = error
            self._of(animal)[self._without(SEX_RECORD + animal, range(len(self._rows)))] *= values
        if states.shape is not Shape.PAIRS:
            wild = states.partition[0]
            one_copy = [n + index for index, (a, b) in enumerate(states.pairs[n:]) if (a == wild) != (b == wild)]
            for number, row in enumerate(self._rows):
                on_y = row.locus.maker.get(animal)
                if on_y is not None:
                    for index in one_copy:
                        said = on_y if states.pairs[index][0] == wild else 1.0 - on_y
                        self._of(animal)[number, index] *= 2.0 * said

    def _of(self, animal: str) -> FloatArray:
        """What is said of an animal so far, shape (n_rows, size)."""
        if animal not in self._said:
            self._said[animal] = np.ones((len(self._rows), self._assembly.states[animal].size))
        return self._said[animal]


class _Alike:
    """Animals of the same states with everything said of them, before it is multiplied.

    Parameters
    ----------
    states : States
        Their states.
    """

    def __init__(self, states: States) -> None:
        self._states = states
        self.animals: list[str] = []
        self._numbers: dict[int, int] = {}  # many records share their tables
        self._tables: list[FloatArray] = []
        self._turns: list[tuple[list[int], list[int], list[int]]] = []

    def place(self, animal: str) -> int:
        """Place of one more animal."""
        self.animals.append(animal)
        return len(self.animals) - 1

    def add(self, turn: int, place: int, rows: Sequence[int], table: FloatArray) -> None:
        """A table over pairs of alleles, the `turn`-th on an animal at the locus of some rows."""
        if turn == len(self._turns):
            self._turns.append(([], [], []))
        number = self._numbers.get(id(table))
        if number is None:
            number = self._numbers[id(table)] = len(self._tables)
            self._tables.append(table)
        places, into, numbers = self._turns[turn]
        for row in rows:
            places.append(place)
            into.append(row)
            numbers.append(number)

    def multiplied(self, n_rows: int) -> FloatArray:
        """Product of everything said, shape (n_animals, n_rows, size)."""
        found = np.ones((len(self.animals), n_rows, self._states.size))
        if self._tables:
            first, second = representatives(self._states)
            values = np.array(self._tables, dtype=np.float64)[:, first, second]
            for places, rows, numbers in self._turns:
                found[places, rows] *= values[numbers]
        return found
