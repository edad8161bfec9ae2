"""The young of one pair, part by part.

Loci that share a chromosome, a deadly combination or a look that hides another form a *part*; parts are independent
given the sex of the young, so the whole is never built. Every table holds a chance for each sex of young:
index `HETEROGAMETIC` (the sex with two different sex chromosomes) and index `HOMOGAMETIC`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.heredity.crosses.chain import LinkageGroup, linkage_groups
from holdback.heredity.crosses.couples import Block, BySex, Genotype, YoungTable, joint_blocks, mean_young
from holdback.heredity.crosses.gametes import parent_states
from holdback.heredity.crosses.looks import LookBook, Seen
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief, ParentsJoint
from holdback.species.model import WILD, Pair, Together, pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

HETEROGAMETIC, HOMOGAMETIC = 0, 1
"""Index of each sex of young in a table."""


PartKey = tuple[tuple[str, frozenset[tuple[tuple[Pair, Pair], float]], float], ...]
"""For each locus of a part the chances of both parents there, and the phase."""


@dataclass(slots=True)
class LookClass:
    """All genotypes of a part that look alike.

    Parameters
    ----------
    seen : Seen
        The look.
    hatching, living : list of float, shape (2,)
        Chance that an egg of each sex has the look and hatches, and that the young lives as well.
    members : dict
        Genotype to chance of hatching and of living, by sex.
    """

    seen: Seen
    hatching: list[float]
    living: list[float]
    members: dict[Genotype, tuple[BySex, BySex]]


class Part:
    """Loci of a cross that have to be looked at together.

    Parameters
    ----------
    groups : sequence of LinkageGroup
        Linkage groups of the part.
    cross : Cross
        The pair.
    """

    def __init__(self, groups: Sequence[LinkageGroup], cross: Cross) -> None:
        self.groups = tuple(groups)
        found = {locus for group in groups for locus in group.loci}
        self.loci = tuple(locus for locus in cross.order if locus in found)
        self._places = [
            (place, self.loci.index(locus))
            for place, locus in enumerate(locus for group in groups for locus in group.loci)
        ]
        self.blocks = tuple(cross.blocks(group) for group in groups)
        self.book = cross.book
        self.together = tuple(
            rule for rule in cross.together if cross.catalogue.alleles[rule.alleles[0]].locus in found
        )
        self._survival: dict[Genotype, BySex] = {}
        self.classes = self._classes()

    @property
    def splits_by_sex(self) -> bool:
        """Whether sons and daughters differ here."""
        return any(
            abs(group.hatching[0] - group.hatching[1]) > 1e-15 or abs(group.living[0] - group.living[1]) > 1e-15
            for group in self.classes.values()
        )

    @property
    def all_live(self) -> bool:
        """Whether no genotype of the part dies of what it is."""
        return all(
            self.survival(genotype) == (1.0, 1.0) for found in self.classes.values() for genotype in found.members
        )

    def young(self, tables: Sequence[YoungTable]) -> dict[Genotype, BySex]:
        """Genotypes of the young before any death, given those at each group.

        Returns
        -------
        dict of Genotype to BySex
            Chance given the sex of the young; each sex sums to 1.
        """
        if len(tables) == 1:
            return {self._in_order(genotype): (chances[0], chances[1]) for genotype, chances in tables[0].items()}
        joint: dict[Genotype, BySex] = {}
        for combination in product(*(table.items() for table in tables)):
            hetero = homo = 1.0
            flat: Genotype = ()
            for genotype, chances in combination:
                hetero *= chances[0]
                homo *= chances[1]
                flat += genotype
            joint[self._in_order(flat)] = (hetero, homo)
        return joint

    def survival(self, genotype: Genotype) -> BySex:
        """Chance that a genotype hatches, and that it hatches and lives."""
        known = self._survival.get(genotype)
        if known is not None:
            return known
        in_egg = after = 1.0
        deaths = [self.book.deaths(locus, alleles) for locus, alleles in zip(self.loci, genotype, strict=True)]
        if self.together:
            by_locus = dict(zip(self.loci, genotype, strict=True))
            deaths += [self.book.together_deaths(rule, by_locus) for rule in self.together]
        for egg, later in deaths:
            in_egg *= 1.0 - egg
            after *= 1.0 - later
        self._survival[genotype] = (in_egg, in_egg * after)
        return in_egg, in_egg * after

    def _in_order(self, genotype: Genotype) -> Genotype:
        """Genotype from the order of the groups to the order of the catalogue."""
        if len(genotype) == 1:
            return genotype
        ordered: list[Pair] = [WILD_PAIR] * len(genotype)
        for place, index in self._places:
            ordered[index] = genotype[place]
        return tuple(ordered)

    def _classes(self) -> dict[tuple[tuple[str, str], ...], LookClass]:
        """Looks of the part, averaged over the parents' states."""
        classes: dict[tuple[tuple[str, str], ...], LookClass] = {}
        for genotype, (hetero, homo) in self.young([mean_young(blocks) for blocks in self.blocks]).items():
            hatches, lives = self.survival(genotype)
            seen = self.book.seen(self.loci, genotype)
            found = classes.get(seen.key)
            if found is None:
                found = classes[seen.key] = LookClass(seen, [0.0, 0.0], [0.0, 0.0], {})
            found.hatching[0] += hetero * hatches
            found.hatching[1] += homo * hatches
            found.living[0] += hetero * lives
            found.living[1] += homo * lives
            found.members[genotype] = ((hetero * hatches, homo * hatches), (hetero * lives, homo * lives))
        return classes


class Cross:
    """One sire and one dam, in parts.

    Parameters
    ----------
    sire, dam : GenotypeBelief
        The parents, with their sexes.
    catalogue : Catalogue
        Species.
    r : mapping of str to float, optional
        Recombination with the sex-determining region to use instead of the species' values.
    book : LookBook, optional
        Looks asked of the catalogue before.
    joint : ParentsJoint, optional
        What the parents may be together, instead of independently of each other. The beliefs may then allow for more:
        loci, parts and what is said of a parent follow the beliefs.
    parts : dict, optional
        Parts of crosses of the same two beliefs with other joints; one that would come out the same is taken from it.
    """

    def __init__(
        self,
        sire: GenotypeBelief,
        dam: GenotypeBelief,
        catalogue: Catalogue,
        *,
        r: Mapping[str, float] | None = None,
        book: LookBook | None = None,
        joint: ParentsJoint | None = None,
        parts: dict[PartKey, Part] | None = None,
    ) -> None:
        self.sire, self.dam, self.catalogue, self.joint = sire, dam, catalogue, joint
        self.book = book or LookBook(catalogue)
        self.alleles = {
            locus: present for locus in {**sire.loci, **dam.loci} if (present := _alleles(sire, dam, locus)) - {WILD}
        }
        self.order = tuple(locus for locus in catalogue.loci if locus in self.alleles)
        self.together: tuple[Together, ...] = self.book.togethers(
            allele for present in self.alleles.values() for allele in present
        )
        self.groups = linkage_groups(catalogue, self.alleles, r)
        known = {} if parts is None else parts
        self.parts = tuple(self._part(groups, known) for groups in self._joined())

    @property
    def by_sex(self) -> bool:
        """Whether sons and daughters differ anywhere."""
        return any(part.splits_by_sex for part in self.parts)

    @property
    def in_doubt(self) -> bool:
        """Whether either parent may be more than one thing anywhere."""
        return any(
            len(blocks) > 1 or len(blocks[0].sires) > 1 or len(blocks[0].dams) > 1
            for part in self.parts
            for blocks in part.blocks
        )

    def blocks(self, group: LinkageGroup) -> tuple[Block, ...]:
        """What the parents may be at a linkage group."""
        first, second = (self.catalogue.is_heterogametic(parent.sex) for parent in (self.sire, self.dam))
        if self.joint is not None:
            return joint_blocks(self.joint, group, sire_is_heterogametic=first)
        sires = parent_states(self.sire, group, heterogametic=first)
        return (Block(1.0, sires, parent_states(self.dam, group, heterogametic=second)),)

    def both_at(self, locus: str) -> Mapping[tuple[Pair, Pair], float]:
        """Probabilities over the pairs of sire and dam at one locus."""
        if self.joint is not None:
            return self.joint.at(locus)
        return {
            (mine, hers): chance * other
            for mine, chance in self.sire.at(locus).items()
            for hers, other in self.dam.at(locus).items()
        }

    def _part(self, groups: Sequence[LinkageGroup], known: dict[PartKey, Part]) -> Part:
        """Part of some groups, new unless an equal one is known."""
        if self.joint is None:
            return Part(groups, self)
        key = tuple(
            (locus, frozenset(self.joint.at(locus).items()), self.joint.phase.get(locus, 0.5))
            for group in groups
            for locus in group.loci
        )
        part = known.get(key)
        if part is None:
            part = known[key] = Part(groups, self)
        return part

    def _joined(self) -> list[list[LinkageGroup]]:
        """Groups that a deadly combination or a hiding look ties together."""
        of_locus = {locus: index for index, group in enumerate(self.groups) for locus in group.loci}
        root = list(range(len(self.groups)))

        def top(index: int) -> int:
            while root[index] != index:
                index = root[index]
            return index

        for tied in self._ties():
            first, *others = sorted({top(of_locus[locus]) for locus in tied})
            for other in others:
                root[other] = first
        joined: dict[int, list[LinkageGroup]] = {}
        for index, group in enumerate(self.groups):
            joined.setdefault(top(index), []).append(group)
        return list(joined.values())

    def _ties(self) -> list[set[str]]:
        """Sets of loci that cannot be taken apart, linkage aside."""
        ties = [{self.catalogue.alleles[allele].locus for allele in rule.alleles} for rule in self.together]
        for locus, present in self.alleles.items():
            alleles = sorted(present)
            for index, first in enumerate(alleles):
                for second in alleles[index:]:
                    hides = self.book.look(locus, pair(first, second)).hides
                    if hides and hides != "all":
                        ties.append({locus, *(other for other in hides.split() if other in self.alleles)})
        return ties


def _alleles(sire: GenotypeBelief, dam: GenotypeBelief, locus: str) -> set[str]:
    """Alleles that a young may have at a locus."""
    return {
        allele
        for parent in (sire, dam)
        for alleles, odds in parent.at(locus).items()
        if odds > 0.0
        for allele in alleles
    }


def sex_of(index: int, catalogue: Catalogue) -> Sex:
    """Sex of the young at an index of a table."""
    male_is_heterogametic = catalogue.is_heterogametic(Sex.MALE)
    return Sex.MALE if (index == HETEROGAMETIC) == male_is_heterogametic else Sex.FEMALE
