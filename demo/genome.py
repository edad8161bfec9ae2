"""What the animals of the demo truly are: named genes by plain Mendelian sampling, and a size of many small effects.

A genotype is (allele from the dam, allele from the sire). In a male the second one of the sex-linked locus lies on his
Y. Size and line come from 24 stretches that pass on independently: enough to scatter the share of a first backcross by
about 5 points.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from chance import Chance

WILD = "+"
RECOMBINATION = 0.07
"""Between Banana and the place that makes a male; trade figure 5-10 %, from memory."""
STRETCHES = 24
LINE_EFFECT = 0.60 / (2 * STRETCHES)
"""What one Marrowfen stretch adds to the logarithm of adult mass: a pure one is exp(0.6), about 1.8 times as heavy."""
STRETCH_SD = 0.10 / (2 * STRETCHES) ** 0.5
LOCI = {
    "enchi": "enchi",
    "pastel": "pastel",
    "clown": "clown",
    "piebald": "piebald",
    "banana": "banana",
    "yellow-belly": "yb",
    "mojave": "bel",
    "lesser": "bel",
    "butter": "bel",
    "hidden-gene-woma": "hidden-gene-woma",
    "spider": "spider",
    "vpi-axanthic": "vpi-axanthic",
    "tsk-axanthic": "tsk-axanthic",
}
"""Allele to locus, by the keys of the species file."""
LETHAL = ("hidden-gene-woma", "spider")
"""Two copies die in the egg."""

Stretches = tuple[tuple[int, float], ...]
"""For each stretch: whether it is of the line, and its effect on the logarithm of adult mass."""


@dataclass(frozen=True)
class Genome:
    """Sex, named genes and both sets of stretches of one animal."""

    sex: str
    genes: Mapping[str, tuple[str, str]]
    stretches: tuple[Stretches, Stretches]

    def copies(self, allele: str) -> int:
        """Copies of one allele."""
        return self.genes.get(LOCI[allele], (WILD, WILD)).count(allele)

    @property
    def line_share(self) -> float:
        """Share of stretches that are of the line, as truly inherited."""
        return sum(of_line for half in self.stretches for of_line, _ in half) / (2 * STRETCHES)

    @property
    def size(self) -> float:
        """Breeding value: what the genes add to the logarithm of adult mass."""
        return sum(effect for half in self.stretches for _, effect in half)

    @property
    def dies(self) -> bool:
        """Whether it dies in the egg."""
        return any(self.copies(allele) == 2 for allele in LETHAL)


def founder(sex: str, genes: str, *, of_line: bool, chance: Chance) -> Genome:
    """Founder from alleles as text, ``"enchi clown clown"``; one copy is from the dam, ``banana@Y`` from the sire."""
    pairs: dict[str, tuple[str, str]] = {}
    for word in genes.split():
        allele, _, place = word.partition("@")
        before = pairs.get(LOCI[allele])
        if before is None:
            pairs[LOCI[allele]] = (WILD, allele) if place else (allele, WILD)
        else:
            pairs[LOCI[allele]] = (before[0], allele)
    halves = [
        tuple(
            (int(of_line), chance.normal(0.0, STRETCH_SD) + (LINE_EFFECT if of_line else 0.0)) for _ in range(STRETCHES)
        )
        for _ in range(2)
    ]
    return Genome(sex, pairs, (halves[0], halves[1]))


def young(dam: Genome, sire: Genome | None, chance: Chance) -> Genome:
    """One young of two parents, or of the dam alone (then every place doubles one of her two, and it is a female)."""
    if sire is None:
        half = _passed_stretches(dam, chance)
        doubled = {locus: (one := pair[chance.below(2)], one) for locus, pair in dam.genes.items()}
        return Genome("female", doubled, (half, half))
    is_male = chance.happens(0.5)
    genes = {}
    for locus in sorted({*dam.genes, *sire.genes}):
        from_dam = dam.genes.get(locus, (WILD, WILD))[chance.below(2)]
        pair = sire.genes.get(locus, (WILD, WILD))
        if locus == "banana":
            stays = not chance.happens(RECOMBINATION)
            from_sire = pair[1] if is_male == stays else pair[0]
        else:
            from_sire = pair[chance.below(2)]
        if (from_dam, from_sire) != (WILD, WILD):
            genes[locus] = (from_dam, from_sire)
    halves = (_passed_stretches(dam, chance), _passed_stretches(sire, chance))
    return Genome("male" if is_male else "female", genes, halves)


def _passed_stretches(parent: Genome, chance: Chance) -> Stretches:
    """One of the two at each stretch."""
    return tuple(parent.stretches[chance.below(2)][i] for i in range(STRETCHES))
