"""What one parent, or any animal, shows and may carry, out of its genotype belief."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from holdback.heredity.genotype import GenotypeBelief
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD
from holdback.web.pages.wording import SURE, WORTH_TELLING, about

SHOWN = 0.95
"""Chance from which a look is said as shown without its chance; the animal's page has the number."""


LEAST_SEEN = 0.05
"""Chance from which a look is spoken of: rarer ones are slips of the eye."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A look at one locus with its chance."""

    name: str
    chance: float

    @property
    def is_sure(self) -> bool:
        """Whether it is said without its chance."""
        return self.chance >= SHOWN

    @property
    def words(self) -> str:
        """The look, and its chance where it is not sure."""
        return self.name if self.is_sure else f"{self.name}, {about(self.chance)}"


@dataclass(frozen=True, slots=True)
class Carried:
    """An allele that does not show, with the chance that it is there."""

    allele: str
    name: str
    chance: float

    @property
    def is_sure(self) -> bool:
        """Whether it is said without its chance."""
        return self.chance >= SURE

    @property
    def words(self) -> str:
        """The gene, and its chance where it is not sure."""
        return self.name if self.is_sure else f"{self.name}, {about(self.chance)}"


def seen(belief: GenotypeBelief, catalogue: Catalogue) -> list[Seen]:
    """Looks that an animal has or may have, locus by locus; surest first."""
    found = []
    for locus in belief.loci:
        chances: dict[str, float] = {}
        for alleles, chance in belief.at(locus).items():
            label = catalogue.look(locus, alleles).label
            if label:
                chances[label] = chances.get(label, 0.0) + chance
        found += [Seen(label, chance) for label, chance in chances.items() if chance >= LEAST_SEEN]
    return sorted(found, key=lambda each: -each.chance)


def carried(belief: GenotypeBelief, catalogue: Catalogue) -> list[Carried]:
    """Alleles that an animal has or may have without showing them; surest first.

    Notes
    -----
    The chance is that of having the allele at all, shown or not; one that is likelier to show than to stay hidden is
    told among the looks.
    """
    found = []
    for locus in belief.loci:
        hidden: dict[str, float] = {}
        shown: dict[str, float] = {}
        for alleles, chance in belief.at(locus).items():
            into = shown if catalogue.look(locus, alleles).label else hidden
            for allele in set(alleles) - {WILD}:
                into[allele] = into.get(allele, 0.0) + chance
        found += [
            Carried(allele, catalogue.alleles[allele].name, chance + shown.get(allele, 0.0))
            for allele, chance in hidden.items()
            if chance >= WORTH_TELLING and chance >= shown.get(allele, 0.0)
        ]
    return sorted(found, key=lambda each: -each.chance)


def in_a_sentence(parts: Iterable[Seen | Carried], none: str) -> str:
    """Parts as sentences: the sure ones together, each unsure one with its chance."""
    told = list(parts)
    sure = ", ".join(part.name for part in told if part.is_sure)
    unsure = [part.words for part in told if not part.is_sure]
    return ". ".join([sure, *unsure] if sure else unsure) or none
