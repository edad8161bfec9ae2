"""Small herds of which everything is known, written down as a keeper would, for plans to be made from.

Two loci: a recessive, and a gene that shows in one copy. Genotypes of founders are drawn as common as the catalogue is
told that they are, those of young by Mendel; most animals are looked at, and looks are missed as often as the species
file says. So what may be hidden is as likely as inference takes it to be.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from verification.genes import Gene

from holdback.collection.collection import Collection
from holdback.species.catalogue import Catalogue, load
from holdback.species.model import WILD

YEAR = 2030
"""Season 0; the herd stands in its January."""
GENES = (("piebald", 0.14), ("enchi", 0.1))
DESCRIBED = 0.9
MALES, FEMALES, CLUTCHES, YOUNG = 4, 7, 4, 4
_DAMS_HATCH, _YOUNG_HATCH = YEAR - 7, YEAR - 4

Genotype = tuple[tuple[int, int], ...]
"""Copies on the two chromosomes at each locus; 1 is the gene."""


@dataclass
class PlanHerd:
    """True genotypes by id, and the rows that a keeper has written."""

    genotypes: dict[str, Genotype] = field(default_factory=dict)
    animals: list[dict[str, str]] = field(default_factory=list)
    clutches: list[dict[str, str]] = field(default_factory=list)

    @property
    def collection(self) -> Collection:
        """What the keeper has on record."""
        return Collection.from_frames({"animals": self.animals, "clutches": self.clutches})


def catalogue() -> Catalogue:
    """Species file in which the two genes are as common as they are drawn."""
    return load().changed({"allele": {key: {"frequency": frequency} for key, frequency in GENES}})


def plan_herd(rng: np.random.Generator) -> PlanHerd:
    """One herd with both genes on record: grown founders, and grown young of some of their clutches.

    Herds are drawn again by what is on record alone, which leaves what may be hidden as likely as it was.
    """
    while True:
        herd = _any_herd(rng)
        words = " ".join(row["genes"] for row in herd.animals)
        if all(load().alleles[key].name in words for key, _ in GENES):
            return herd


def _any_herd(rng: np.random.Generator) -> PlanHerd:
    herd = PlanHerd()
    species = catalogue()
    loci = [Gene(key, (WILD, key), frequency, species) for key, frequency in GENES]
    males, females = ([f"{sex}{number}" for number in range(n)] for sex, n in (("M", MALES), ("F", FEMALES)))
    for name in (*males, *females):
        genotype = tuple((_coin(rng, frequency), _coin(rng, frequency)) for _, frequency in GENES)
        _write(herd, rng, loci, name, genotype, sex="male" if name in males else "female", hatched=_DAMS_HATCH)
    for number, dam in enumerate(rng.choice(females, CLUTCHES, replace=False).tolist()):
        sire, clutch = str(rng.choice(males)), f"C{number}"
        herd.clutches.append({"id": clutch, "dam": dam, "sires": sire, "hatched": f"{_YOUNG_HATCH}-07-15"})
        for one in range(YOUNG):
            genotype = child(rng, herd.genotypes[sire], herd.genotypes[dam])
            sex = "male" if rng.random() < 0.5 else "female"
            more = {"clutch": clutch, "sire": sire, "dam": dam}
            _write(herd, rng, loci, f"{clutch}-{one}", genotype, sex=sex, hatched=_YOUNG_HATCH, **more)
    return herd


def child(rng: np.random.Generator, sire: Genotype, dam: Genotype) -> Genotype:
    """Genotype of a young of two: one chromosome of either, each locus by itself."""
    return tuple((his[int(rng.integers(2))], hers[int(rng.integers(2))]) for his, hers in zip(sire, dam, strict=True))


def _coin(rng: np.random.Generator, chance: float) -> int:
    return int(rng.random() < chance)


def _write(
    herd: PlanHerd,
    rng: np.random.Generator,
    loci: list[Gene],
    name: str,
    genotype: Genotype,
    *,
    sex: str,
    hatched: int,
    **more: str,
) -> None:
    """An animal, and its row: what shows of it, or nothing at all."""
    herd.genotypes[name] = genotype
    labels = []
    for gene, (one, two) in zip(loci, genotype, strict=True):
        chances = gene.looks.confusion[gene.looks.look_of[one, two]]
        labels.append(gene.looks.looks[int(rng.choice(len(chances), p=chances))].label)
    words = " ".join(label for label in labels if label) or "Normal"
    row = {"id": name, "sex": sex, "hatched": f"{hatched}-07-15", "genes": words if rng.random() < DESCRIBED else ""}
    herd.animals.append(row | more)
