"""Young of parents of known genotype at the loci of a target.

The tables are those of `holdback.heredity.crosses`; each is asked for once. Loci on one chromosome, and those of
combinations that kill, form a *part*; parts are independent given the sex of the young.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.decisions.goal import Target
from holdback.heredity.crosses.chain import LinkageGroup, linkage_groups
from holdback.heredity.crosses.couples import BySex, Genotype, YoungTable, young_table
from holdback.heredity.crosses.gametes import phased_states
from holdback.heredity.crosses.looks import LookBook
from holdback.species.model import Pair, Together

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

Table = Mapping[Genotype, BySex]
"""Genotype at the loci of a part to the chance that an egg gives it alive, given the sex of the young."""

Row = tuple[int, float, Table]
"""Number of the sire's phase, chance of the phases of both parents, and their young."""

_PHASES = 64
"""More than a parent has phases at one group."""


@dataclass(frozen=True, eq=False)
class Part:
    """Loci that have to be looked at together.

    Parameters
    ----------
    groups : tuple of LinkageGroup
        Linkage groups of the part.
    loci : tuple of str
        Their loci, in their order.
    sex_linked : tuple of str
        Those of them that are linked to sex.
    may_die : bool
        Whether a genotype of the part may kill.
    """

    groups: tuple[LinkageGroup, ...]
    loci: tuple[str, ...]
    sex_linked: tuple[str, ...]
    may_die: bool


class YoungTables:
    """Young of parents of known genotype, part by part.

    Parameters
    ----------
    target : Target
        What is wanted. Asked about are its loci, and those of combinations that kill together with one of its genes.
    catalogue : Catalogue
        Species.
    """

    def __init__(self, target: Target, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.book = LookBook(catalogue)
        self.loci = _asked(target, catalogue)
        self.parts = tuple(self._parts(_deadly(self.loci, catalogue)))
        self._deadly = tuple(
            tuple(rule for rule in _deadly(self.loci, catalogue) if _loci_of(rule, catalogue) <= set(part.loci))
            for part in self.parts
        )
        self._sire_is_heterogametic = catalogue.is_heterogametic(Sex.MALE)
        self._tables: dict[tuple[int, Genotype, Genotype, tuple[float, ...]], tuple[Row, ...]] = {}

    def rows(self, index: int, sire: Genotype, dam: Genotype, phase: tuple[float, ...]) -> tuple[Row, ...]:
        """Young of one couple at a part, for every phase of the two.

        Parameters
        ----------
        index : int
            Number of the part.
        sire, dam : Genotype
            Their pairs at its loci.
        phase : tuple of float
            Phase of the heterogametic parent at each sex-linked locus of the part, as in `ParentsJoint.phase`.
        """
        key = (index, sire, dam, phase)
        known = self._tables.get(key)
        if known is None:
            known = self._tables[key] = tuple(self._rows(index, sire, dam, phase))
        return known

    def _rows(self, index: int, sire: Genotype, dam: Genotype, phase: tuple[float, ...]) -> Iterator[Row]:
        part = self.parts[index]
        phases = dict(zip(part.sex_linked, phase, strict=True))
        by_group, start = [], 0
        for group in part.groups:
            end = start + len(group.loci)
            mine, hers = (
                phased_states(pairs[start:end], phases, group, heterogametic=is_heterogametic)
                for pairs, is_heterogametic in (
                    (sire, self._sire_is_heterogametic),
                    (dam, not self._sire_is_heterogametic),
                )
            )
            by_group.append(
                [
                    (number, his.weight * her.weight, young_table(his.gametes, her.gametes))
                    for number, his in enumerate(mine)
                    for her in hers
                ]
            )
            start = end
        for chosen in product(*by_group):
            number, weight = 0, 1.0
            for one, share, _ in chosen:
                number, weight = number * _PHASES + one, weight * share
            yield number, weight, self._living(index, [table for _, _, table in chosen])

    def _living(self, index: int, tables: Sequence[YoungTable]) -> Table:
        """Young of all groups of a part together, those that die of their genes taken out."""
        table: dict[Genotype, BySex] = {}
        for cells in product(*(each.items() for each in tables)):
            genotype: Genotype = ()
            hetero = homo = 1.0
            for pairs, chances in cells:
                genotype += pairs
                hetero, homo = hetero * chances[0], homo * chances[1]
            lives = self._lives(index, genotype)
            table[genotype] = (hetero * lives, homo * lives)
        return table

    def _lives(self, index: int, genotype: Genotype) -> float:
        """Chance that a genotype does not die of itself, in the egg or after."""
        by_locus: dict[str, Pair] = dict(zip(self.parts[index].loci, genotype, strict=True))
        deaths = [self.book.deaths(locus, alleles) for locus, alleles in by_locus.items()]
        deaths += [self.book.together_deaths(rule, by_locus) for rule in self._deadly[index]]
        lives = 1.0
        for in_egg, after in deaths:
            lives *= (1.0 - in_egg) * (1.0 - after)
        return lives

    def _parts(self, deadly: tuple[Together, ...]) -> Iterator[Part]:
        groups = linkage_groups(self.catalogue, self.loci)
        top = list(range(len(groups)))
        of_locus = {locus: number for number, group in enumerate(groups) for locus in group.loci}
        for rule in deadly:
            tied = {top[of_locus[locus]] for locus in _loci_of(rule, self.catalogue)}
            top = [min(tied) if number in tied else number for number in top]
        for number in sorted(set(top)):
            mine = tuple(group for group, first in zip(groups, top, strict=True) if first == number)
            loci = tuple(locus for group in mine for locus in group.loci)
            alleles = [self.catalogue.alleles[key] for locus in loci for key in self.catalogue.loci[locus].alleles]
            yield Part(
                groups=mine,
                loci=loci,
                sex_linked=tuple(locus for group in mine if group.sex_linked for locus in group.loci),
                may_die=len(mine) > 1 or any(allele.lethal > 0.0 for allele in alleles),
            )


def _asked(target: Target, catalogue: Catalogue) -> tuple[str, ...]:
    """Loci of a target, and those of combinations that kill together with a gene that it wants."""
    wanted = {key for gene in target.genes if gene.copies for key in gene.alleles}
    tied = [
        catalogue.alleles[key].locus
        for rule in catalogue.together
        if rule.lethal > 0.0 and wanted & set(rule.alleles)
        for key in rule.alleles
    ]
    return tuple(dict.fromkeys((*target.loci, *tied)))


def _deadly(loci: tuple[str, ...], catalogue: Catalogue) -> tuple[Together, ...]:
    """Combinations that kill at these loci."""
    return tuple(rule for rule in catalogue.together if rule.lethal > 0.0 and _loci_of(rule, catalogue) <= set(loci))


def _loci_of(rule: Together, catalogue: Catalogue) -> set[str]:
    return {catalogue.alleles[key].locus for key in rule.alleles}
