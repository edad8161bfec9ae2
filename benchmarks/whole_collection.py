"""An invented collection with looks at every gene of the species, or at one gene of many alleles.

The pedigree is that of `beliefs`. At every locus the founders' alleles are drawn and passed down by chance, and a
quarter of the animals were looked at. Every pair of alleles has a look of its own, but two alleles are a recessive and
its wild type. A look is wrong at a chance of .01, and then any other is as likely.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import beliefs as pedigrees
import generator
import numpy as np

from holdback.collection.model import Animal, Candidate, Clutch, Records, Sex
from holdback.descent.family import Brood, Family
from holdback.heredity.beliefs import Evidence, GeneRecord, LocusEvidence, RecordKind
from holdback.species import load
from holdback.species.model import WILD

LOOKED_AT = 0.25
SHARE = 0.05
"""Share of each allele but the wild type."""
MOST_ALLELES = 4
"""Alleles of a locus of the species that are in play; a collection rarely has more."""
CLUTCH = 6

Genotype = tuple[int, int]


def family_of(drawn: pedigrees.Pedigree) -> Family:
    """Family of a pedigree, clutch by clutch; no sex is recorded."""
    clutches: dict[int, list[int]] = {}
    first = 0
    for animal, pair in enumerate(drawn.parents):
        if pair is not None:
            if animal - first == CLUTCH or drawn.parents[first] != pair:
                first = animal
            clutches.setdefault(first, []).append(animal)
    broods = [_brood(drawn, first, young) for first, young in clutches.items()]
    return Family({name_of(animal): Sex.UNKNOWN for animal in range(len(drawn.parents))}, tuple(broods))


def name_of(animal: int) -> str:
    """Id of an animal of a pedigree."""
    return f"A{animal}"


def _brood(drawn: pedigrees.Pedigree, first: int, young: Sequence[int]) -> Brood:
    pair = drawn.parents[first]
    assert pair is not None, "founders are in no clutch"
    return Brood(f"C{first}", name_of(pair[1]), (Candidate(name_of(pair[0])),), tuple(name_of(one) for one in young))


def of_species(drawn: pedigrees.Pedigree) -> Evidence:
    """Looks at all loci of the species."""
    random = generator.rng("looks")
    loci = {}
    for locus in load().loci.values():
        alleles = (WILD, *locus.alleles)[:MOST_ALLELES]
        loci[locus.key] = replace(looked_at(drawn, locus.key, alleles, random), linkage=locus.sex_linkage)
    return Evidence(loci, sex_error=0.0)


def of_one_gene(drawn: pedigrees.Pedigree, n_alleles: int) -> Evidence:
    """Looks at one autosomal locus of many alleles."""
    alleles = (WILD, *(f"allele {number}" for number in range(1, n_alleles)))
    return Evidence({"gene": looked_at(drawn, "gene", alleles, generator.rng(f"{n_alleles} alleles"))}, sex_error=0.0)


def looked_at(
    drawn: pedigrees.Pedigree, key: str, alleles: tuple[str, ...], random: np.random.Generator
) -> LocusEvidence:
    """Looks at one locus."""
    n = len(alleles)
    frequencies = np.array([1.0 - SHARE * (n - 1)] + [SHARE] * (n - 1))
    looks = list(_looks(n))
    records = {}
    for animal, genotype in enumerate(_dropped(drawn, frequencies, random)):
        if random.random() < LOOKED_AT:
            right = next(number for number, look in enumerate(looks) if look[genotype] > 0.5)
            others = [number for number in range(len(looks)) if number != right]
            seen = looks[right if random.random() > pedigrees.WRONG else int(random.choice(others))]
            name = name_of(animal)
            records[name] = (GeneRecord(f"look:{name}", name, RecordKind.LOOK, "", seen, seen < 0.5),)
    return LocusEvidence(key, alleles, frequencies, np.ones((n, n)), records=records, hides=np.zeros((n, n), bool))


def _dropped(
    drawn: pedigrees.Pedigree, frequencies: pedigrees.FloatArray, random: np.random.Generator
) -> list[Genotype]:
    """Genotypes of all animals by chance."""
    genotypes: list[Genotype] = []
    for pair in drawn.parents:
        if pair is None:
            first, second = random.choice(len(frequencies), 2, p=frequencies)
        else:
            first, second = (genotypes[parent][int(random.integers(2))] for parent in pair)
        genotypes.append((int(first), int(second)))
    return genotypes


def _looks(n: int) -> Iterator[pedigrees.FloatArray]:
    """Likelihood of each look, shape (n, n)."""
    shown = [[pair] for pair in genotypes_of(n)] if n > 2 else [[(0, 0), (0, 1)], [(1, 1)]]
    for genotypes in shown:
        table = np.full((n, n), pedigrees.WRONG / (len(shown) - 1))
        for a, b in genotypes:
            table[a, b] = table[b, a] = 1.0 - pedigrees.WRONG
        yield table


def one_look_changed(evidence: Evidence, animal: str) -> tuple[Evidence, str]:
    """The same with another look of one animal, at the first locus at which it was looked at; and that locus."""
    locus = next(one for one in evidence.loci.values() if animal in one.records)
    (record,) = locus.records[animal]
    looks = (each.likelihood for records in locus.records.values() for each in records)
    other = next(look for look in looks if look is not record.likelihood)
    records = {**locus.records, animal: (replace(record, likelihood=other, wrong=other < 0.5),)}
    return replace(evidence, loci={**evidence.loci, locus.key: replace(locus, records=records)}), locus.key


def genotypes_of(n: int) -> list[Genotype]:
    """All unordered pairs of alleles."""
    return [(a, b) for a in range(n) for b in range(a, n)]


def chances(frequencies: pedigrees.FloatArray) -> tuple[pedigrees.FloatArray, pedigrees.FloatArray]:
    """Chance of each genotype of a founder, shape (g,), and of a young by sire and dam, shape (g, g, g)."""
    genotypes = genotypes_of(len(frequencies))
    gametes = np.zeros((len(genotypes), len(frequencies)))
    for number, genotype in enumerate(genotypes):
        for allele in genotype:
            gametes[number, allele] += 0.5
    founder = np.empty(len(genotypes))
    inherited = np.empty((len(genotypes),) * 3)
    for number, (a, b) in enumerate(genotypes):
        both = 1.0 if a == b else 2.0
        founder[number] = both * frequencies[a] * frequencies[b]
        one_way = np.outer(gametes[:, a], gametes[:, b])
        inherited[:, :, number] = (one_way + one_way.T) * both / 2.0
    return founder, inherited


def said_of_genotypes(locus: LocusEvidence) -> dict[int, pedigrees.FloatArray]:
    """Likelihood of each genotype by the look of each animal that was looked at."""
    first, second = np.array(genotypes_of(locus.n_alleles)).T
    return {int(name[1:]): record.likelihood[first, second] for name, (record,) in locus.records.items()}


def state_of_genotypes(classes: Sequence[int], states: Sequence[Genotype]) -> list[int]:
    """State that each genotype falls in where some alleles are one class.

    Parameters
    ----------
    classes : sequence of int
        Class of each allele.
    states : sequence of (int, int)
        Unordered pairs of classes, the smaller first.
    """
    pairs = (sorted((classes[a], classes[b])) for a, b in genotypes_of(len(classes)))
    return [states.index((first, second)) for first, second in pairs]


def lines(animals: int) -> Records:
    """Records of about so many animals bred in lines, with the genes of the founders and of a quarter of the rest."""
    drawn = pedigrees.pedigree(animals)
    random = generator.rng("records")
    sires = {pair[0] for pair in drawn.parents if pair}
    dams = {pair[1] for pair in drawn.parents if pair}
    clutches = {young: brood.key for brood in family_of(drawn).broods for young in brood.young}
    found = []
    for animal, pair in enumerate(drawn.parents):
        is_male = animal in sires or (animal not in dams and random.random() < 0.5)
        is_described = pair is None or random.random() < LOOKED_AT
        found.append(
            Animal(
                id=name_of(animal),
                sex=Sex.MALE if is_male else Sex.FEMALE,
                sires=(Candidate(name_of(pair[0])),) if pair else (),
                dam=name_of(pair[1]) if pair else None,
                clutch=clutches.get(name_of(animal)),
                genes=str(random.choice(generator.GENES)) if is_described else "",
            )
        )
    nests = {one.clutch: Clutch(one.clutch, one.dam, one.sires) for one in found if one.clutch}
    return Records(animals=tuple(found), clutches=tuple(nests.values()))
