"""What the records of an animal say of its states, for many loci or many questions at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from holdback.collection.model import Sex
from holdback.heredity.beliefs.evidence import FloatArray, GeneRecord, LocusEvidence
from holdback.heredity.beliefs.layout import Switch
from holdback.heredity.beliefs.states import Shape, by_state

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
    """

    def __init__(self, assembly: Assembly, rows: Sequence[Row]) -> None:
        self._assembly, self._rows = assembly, rows
        self._flags = {(flag.animal, flag.locus) for flag in assembly.layout.flags}
        self._of_locus: dict[str, list[int]] = {}
        for index, row in enumerate(rows):
            self._of_locus.setdefault(row.locus.key, []).append(index)
        loci = {row.locus.key: row.locus for row in rows}
        self._lethal = {key for key, locus in loci.items() if (locus.survival != 1.0).any()}
        # Loci that say something of every animal: those with deadly genotypes, and where its sex speaks.
        self._always = set(loci) if assembly.is_sex_linked else self._lethal

    def likelihood(self, animal: str) -> FloatArray:
        """P(records | state) up to a factor, of those that cannot be hidden; shape (B or 1, size)."""
        assembly = self._assembly
        found: FloatArray | None = None
        for key in self._always | (self._of_locus.keys() & assembly.evidence.spoken.get(animal, frozenset())):
            for index, values in self._at(animal, key):
                if found is None:
                    found = np.ones((len(self._rows), len(values)))
                found[index] = values
        if found is None:
            return np.ones((1, assembly.states[animal].size))
        return found if len(assembly.grid) == 1 else np.repeat(found, len(assembly.grid), axis=0)

    def _at(self, animal: str, locus: str) -> Iterator[tuple[int, FloatArray]]:
        """Rows of a locus that say something of an animal; rows that leave out the same are worked out once."""
        rows = self._of_locus.get(locus, ())
        made: dict[frozenset[str], FloatArray | None] = {}
        for index in rows:
            left_out = self._left_out(animal, self._rows[index]) if len(rows) > 1 else frozenset()
            if left_out not in made:
                made[left_out] = self._plain(animal, self._rows[index], is_lethal=locus in self._lethal)
            values = made[left_out]
            if values is not None:
                yield index, values

    def _left_out(self, animal: str, row: Row) -> frozenset[str]:
        """Those of the animal's records that a row leaves out."""
        return row.withheld & {SEX_RECORD + animal, *(one.key for one in row.locus.records.get(animal, ()))}

    def flagged(self, flag: Switch) -> FloatArray:
        """Factor between an animal and whether its look is hidden, shape (B, size, 2)."""
        states = self._assembly.states[flag.animal]
        table = np.ones((len(self._rows), states.size, 2))
        for index, row in enumerate(self._rows):
            if row.locus.key == flag.locus:
                hides = by_state(row.locus.hides.astype(np.float64), states)
                table[index, :, 0], table[index, :, 1] = 1.0 - hides, hides
            else:
                for record in self._counted(flag.animal, row):
                    if record.hidden_by == flag.locus:
                        table[index, :, 0] *= by_state(record.likelihood, states)
        return np.repeat(table, len(self._assembly.grid), axis=0)

    def _counted(self, animal: str, row: Row) -> list[GeneRecord]:
        records = row.locus.records.get(animal, ())
        return [record for record in records if record.counted and record.key not in row.withheld]

    def _plain(self, animal: str, row: Row, *, is_lethal: bool) -> FloatArray | None:
        """Likelihood of one row; None where every state is as likely."""
        assembly = self._assembly
        states = assembly.states[animal]
        found = None
        for record in self._counted(animal, row):
            if (animal, record.hidden_by) not in self._flags:
                values = assembly.values(record.likelihood, states)
                found = values if found is None else found * values
        if is_lethal and animal not in assembly.evidence.unborn:
            lives = assembly.values(row.locus.survival, states)
            found = lives if found is None else found * lives
        if assembly.is_sex_linked:
            found = self._with_sex(animal, row, found)
        return found

    def _with_sex(self, animal: str, row: Row, found: FloatArray | None) -> FloatArray | None:
        """The recorded sex, and by which parent the allele is said to have come."""
        assembly = self._assembly
        states = assembly.states[animal]
        n = states.n_unordered
        values = np.ones(states.size) if found is None else found
        sex = assembly.layout.family.sexes[animal]
        if states.shape is Shape.EITHER and sex is not Sex.UNKNOWN and SEX_RECORD + animal not in row.withheld:
            error = assembly.evidence.sex_error
            wrong = slice(0, n) if sex is assembly.evidence.heterogametic else slice(n, None)
            values = values * (1.0 - error)
            values[wrong] *= error / (1.0 - error)
        on_y = row.locus.maker.get(animal)
        if on_y is not None and states.shape is not Shape.PAIRS:
            wild = states.partition[0]
            values = values.copy()
            for index, (a, b) in enumerate(states.pairs[n:], start=n):
                if (a == wild) != (b == wild):
                    values[index] *= 2.0 * (on_y if a == wild else 1.0 - on_y)
        return values
