"""Herds drawn from the very model that inference assumes, with the truth kept beside the records.

First the sires and all genotypes, then what is written down of them. Draws of a whole herd are made again until every
recorded animal is alive, as inference takes it that they all are.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray
from verification.genes import WHITE, Alleles, Gene, genes
from verification.pedigrees import Pedigree, pedigree

from holdback.collection.model import NO_SIRE, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.claims import claim_likelihood
from holdback.heredity.beliefs.evidence import Evidence, GeneRecord, LocusEvidence, RecordKind

SEX_ERROR = 0.02
SECOND_DIVISION = 0.3
DESCRIBED = 0.65
"""Share of animals whose looks are recorded."""
CLAIMED = 0.35
"""Share of animals of unknown descent of which a seller says something at a locus."""
MOST_WHITE = 3
"""Animals whose look may be hidden; each adds a choice that all loci share."""


@dataclass(frozen=True, eq=False)
class Truth:
    """What is so.

    Parameters
    ----------
    sexes : mapping of str to Sex
        Of every animal.
    sires : mapping of str to str
        By young: candidate that is its sire.
    genotypes : mapping of str to mapping of str to Alleles
        By locus and animal.
    """

    sexes: Mapping[str, Sex]
    sires: Mapping[str, str]
    genotypes: Mapping[str, Mapping[str, Alleles]]


@dataclass(frozen=True, eq=False)
class Herd:
    """Records, and what is so."""

    family: Family
    evidence: Evidence
    truth: Truth


def herd(seed: np.random.SeedSequence, animals: int, *, wrong_sires: float = 0.0) -> Herd:
    """One herd.

    Parameters
    ----------
    seed : numpy.random.SeedSequence
        Its own.
    animals : int
        About how many.
    wrong_sires : float
        Share of clutches with one recorded sire that are by another male of the herd; inference is not told of it.
    """
    structure, biology, writing = (np.random.default_rng(each) for each in seed.spawn(3))
    found = pedigree(structure, animals)
    return _Drawing(found, biology, wrong_sires).herd(writing)


@dataclass
class _Drawing:
    """The draws of one herd."""

    pedigree: Pedigree
    rng: np.random.Generator
    wrong_sires: float
    sexes: dict[str, Sex] = field(default_factory=dict)
    sires: dict[str, str] = field(default_factory=dict)
    claims: dict[str, dict[str, list[GeneRecord]]] = field(default_factory=dict)
    makers: dict[str, float] = field(default_factory=dict)

    def herd(self, writing: np.random.Generator) -> Herd:
        genotypes: dict[str, dict[str, Alleles]] = {}
        for gene in genes():
            self.claims[gene.key] = self._claims(gene)
        # the lethal gene comes first: with it, the sires are drawn until all live
        first, *others = genes()
        while not genotypes:
            self._draw_sires()
            at = self._drop(first)
            if at is not None:
                genotypes[first.key] = at
        for gene in others:
            at = self._drop(gene)
            assert at is not None
            genotypes[gene.key] = at
        truth = Truth(self.sexes, self.sires, genotypes)
        return _Writing(self.pedigree, writing, truth, self.claims, self.makers).herd()

    def _draw_sires(self) -> None:
        """Sires and sexes; a clutch without a sire is of females, so none with a later sire in it is drawn so."""
        while True:
            for brood in self.pedigree.broods:
                self._draw_sire(brood)
            unsired = [young for young, sire in self.sires.items() if sire == NO_SIRE]
            if not any(self.pedigree.roles[young] is Sex.MALE for young in unsired):
                break
        for name, role in self.pedigree.roles.items():
            either = Sex.MALE if self.rng.random() < 0.5 else Sex.FEMALE
            self.sexes[name] = either if role is Sex.UNKNOWN else role
        self.sexes.update(dict.fromkeys(unsired, Sex.FEMALE))

    def _draw_sire(self, brood: Brood) -> None:
        names, weights = zip(*((one.animal, one.weight) for one in brood.sires), strict=True)
        chosen = str(self.rng.choice(names, p=weights))
        if len(names) == 1 and self.rng.random() < self.wrong_sires:
            males = [name for name, role in self.pedigree.roles.items() if role is Sex.MALE]
            older = [name for name in males if name < brood.young[0] and name != chosen]
            chosen = str(self.rng.choice(older or [UNKNOWN_SIRE]))
        for young in brood.young:
            self.sires[young] = str(self.rng.choice(names, p=weights)) if brood.each_egg else chosen

    def _claims(self, gene: Gene) -> dict[str, list[GeneRecord]]:
        """What sellers say of founders, settled before their genotypes."""
        found: dict[str, list[GeneRecord]] = {}
        born = {young for brood in self.pedigree.broods for young in brood.young}
        for name in self.pedigree.roles:
            if name not in born and self.rng.random() < CLAIMED:
                copies = [(1 / 3, 2 / 3, 0.0), (0.0, 1.0, 0.0), (0.5, 0.5, 0.0)][int(self.rng.integers(3))]
                trust = float(self.rng.choice((0.7, 0.9, 0.98)))
                allele = int(self.rng.integers(1, len(gene.alleles)))
                table, wrong = claim_likelihood(copies, trust, allele, gene.population)
                key = f"claim:{name}:{gene.alleles[allele]}"
                found[name] = [GeneRecord(key, name, RecordKind.CLAIM, "", table, wrong)]
                if gene.linkage and self.pedigree.roles[name] is Sex.MALE:
                    self.makers[name] = float(self.rng.choice((0.1, 0.9)))
        return found

    def _drop(self, gene: Gene) -> dict[str, Alleles] | None:
        """Genotypes of all recorded animals, None where one of them does not live."""
        r = self._recombination(gene)
        found: dict[str, Alleles] = {}
        unknown: dict[str, Alleles] = {}
        brood_of = {young: brood for brood in self.pedigree.broods for young in brood.young}
        for name, sex in self.sexes.items():
            brood = brood_of.get(name)
            if brood is None:
                found[name] = self._founder(gene, name)
                continue
            assert brood.dam is not None
            sire, dam = self.sires[name], found[brood.dam]
            if sire == NO_SIRE:
                found[name] = self._fused(dam)
            else:
                key = name if brood.each_egg else brood.key
                if sire == UNKNOWN_SIRE and key not in unknown:
                    unknown[key] = self._from(gene, np.outer(gene.frequencies, gene.frequencies))
                father = unknown[key] if sire == UNKNOWN_SIRE else found[sire]
                from_sire = father[self._haplotype(gene, sex, r)]
                found[name] = (dam[int(self.rng.integers(2))], from_sire)
            if self.rng.random() >= gene.survival[found[name]]:
                return None
        return found

    def _recombination(self, gene: Gene) -> float:
        if gene.linkage is None:
            return 0.5
        while True:
            r = float(self.rng.beta(gene.linkage.alpha, gene.linkage.beta))
            if r < 0.5:
                return r

    def _haplotype(self, gene: Gene, sex: Sex, r: float) -> int:
        """Which allele a sire passes: 1 is that on the Y, which sons get unless it recombines."""
        if gene.linkage is None:
            return int(self.rng.integers(2))
        return int((sex is Sex.MALE) != (self.rng.random() < r))

    def _founder(self, gene: Gene, name: str) -> Alleles:
        table = gene.population.copy()
        for claim in self.claims[gene.key].get(name, ()):
            table = table * claim.likelihood
        if gene.linkage and name in self.makers:
            on_y = self.makers[name]
            table[0, 1:] *= 2.0 * on_y
            table[1:, 0] *= 2.0 * (1.0 - on_y)
        return self._from(gene, table)

    def _from(self, gene: Gene, table: NDArray[np.float64]) -> Alleles:
        number = int(self.rng.choice(table.size, p=table.ravel() / table.sum()))
        return number // len(gene.alleles), number % len(gene.alleles)

    def _fused(self, dam: Alleles) -> Alleles:
        if self.rng.random() < SECOND_DIVISION:
            return dam
        one = dam[int(self.rng.integers(2))]
        return one, one


@dataclass(frozen=True, eq=False)
class _Writing:
    """What is written down of a herd."""

    pedigree: Pedigree
    rng: np.random.Generator
    truth: Truth
    claims: Mapping[str, Mapping[str, Sequence[GeneRecord]]]
    makers: Mapping[str, float]

    def herd(self) -> Herd:
        family = Family(self._sexes(), tuple(map(_ordered, self.pedigree.broods)))
        records = {gene.key: {name: list(each) for name, each in self.claims[gene.key].items()} for gene in genes()}
        names = list(family.sexes)
        hideable = set(self.rng.choice(names, MOST_WHITE, replace=False).tolist())
        for name in names:
            if self.rng.random() < DESCRIBED:
                for one in self._looks(name, may_hide=name in hideable):
                    records[one[0]].setdefault(name, []).append(one[1])
        loci = {gene.key: self._locus(gene, records[gene.key]) for gene in genes()}
        evidence = Evidence(loci, sex_error=SEX_ERROR, second_division=SECOND_DIVISION)
        return Herd(family, evidence, self.truth)

    def _sexes(self) -> dict[str, Sex]:
        """Recorded sexes: of breeders as they are, of the others often unknown and now and then wrong."""
        found = {}
        for name, role in self.pedigree.roles.items():
            true = self.truth.sexes[name]
            other = Sex.MALE if true is Sex.FEMALE else Sex.FEMALE
            written = other if self.rng.random() < SEX_ERROR else true
            is_left_open = self.rng.random() < 0.4
            found[name] = role if role is not Sex.UNKNOWN else Sex.UNKNOWN if is_left_open else written
        return found

    def _looks(self, name: str, *, may_hide: bool) -> list[tuple[str, GeneRecord]]:
        """Look at every locus; on an animal that may be white, nothing may have been written of white."""
        pairs = {key: at[name] for key, at in self.truth.genotypes.items()}
        white = next(gene for gene in genes() if gene.key == WHITE)
        is_hidden = may_hide and bool(white.looks.hiding[pairs[WHITE]])
        is_open = may_hide and self.rng.random() < 0.5
        found, shows = [], False
        for gene in genes():
            if gene.key == WHITE:
                if not is_open:
                    found.append((WHITE, self._look(gene, name, self._written(gene, pairs[WHITE]))))
                continue
            written = 0 if is_hidden else self._written(gene, pairs[gene.key])
            record = self._look(gene, name, written)
            if may_hide and written == 0:
                record = replace(record, hidden_by=WHITE)
            shows = shows or written > 0
            found.append((gene.key, record))
        if may_hide and shows:
            # whatever is seen is seen on an animal that is not white
            table = np.where(white.looks.hiding, 1e-9, 1.0)
            found.append((WHITE, GeneRecord(f"seen:{name}", name, RecordKind.LOOK, "", table, white.looks.hiding)))
        return found

    def _written(self, gene: Gene, alleles: Alleles) -> int:
        """Number of the look that is written down of a genotype."""
        chances = gene.looks.confusion[gene.looks.look_of[alleles]]
        return int(self.rng.choice(len(chances), p=chances))

    @staticmethod
    def _look(gene: Gene, name: str, written: int) -> GeneRecord:
        likelihood, wrong = gene.looks.record(frozenset({gene.looks.looks[written].key}))
        return GeneRecord(f"look:{name}:{gene.key}", name, RecordKind.LOOK, "", likelihood, wrong)

    def _locus(self, gene: Gene, records: Mapping[str, list[GeneRecord]]) -> LocusEvidence:
        return LocusEvidence(
            key=gene.key,
            alleles=gene.alleles,
            frequencies=gene.frequencies,
            survival=gene.survival,
            linkage=gene.linkage,
            records={name: tuple(each) for name, each in records.items()},
            hides=gene.looks.hiding if gene.key == WHITE else np.zeros(gene.survival.shape, dtype=bool),
            maker=self.makers if gene.linkage else {},
        )


def _ordered(brood: Brood) -> Brood:
    """The brood with its likeliest candidate sire first, as a breeder would write it."""
    return replace(brood, sires=tuple(sorted(brood.sires, key=lambda one: -one.weight)))
