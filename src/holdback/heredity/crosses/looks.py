"""What can be seen of a genotype at several loci, and what each genotype survives.

A look that hides everything leaves only itself to be seen; of two such looks the one earlier in the catalogue is seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.species.model import WILD, LocusLook, Pair, Together, pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

IN_EGG = "in egg"
"""Stage of a death before hatching."""

LookKey = tuple[tuple[str, str], ...]
"""What is seen, as (locus key, look key) in catalogue order; the wild-type look is left out."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What can be seen of a genotype.

    Parameters
    ----------
    key : LookKey
        Identity of the look.
    looks : tuple of LocusLook
        Visible looks that are not wild type.
    unseen : frozenset of str
        Locus keys whose look another look hides.
    hides_all : bool
        Whether one of the looks hides every other locus.
    """

    key: LookKey
    looks: tuple[LocusLook, ...]
    unseen: frozenset[str]
    hides_all: bool


class LookBook:
    """Looks, deaths and identity of alleles, asked of the catalogue once each.

    Parameters
    ----------
    catalogue : Catalogue
        Species.
    """

    def __init__(self, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self._looks: dict[tuple[str, Pair], LocusLook] = {}

    def look(self, locus: str, alleles: Pair) -> LocusLook:
        """Look of one pair."""
        found = self._looks.get((locus, alleles))
        if found is None:
            found = self._looks[locus, alleles] = self.catalogue.look(locus, alleles)
        return found

    def identity(self, allele: str) -> str:
        """Key of the allele that an allele counts as."""
        if allele == WILD:
            return allele
        return self.catalogue.stands_for(allele)

    def copies(self, allele: str, alleles: Pair) -> int:
        """Copies of an allele, or of one that counts as it."""
        return sum(self.identity(each) == allele for each in alleles)

    def seen(self, loci: Sequence[str], genotype: Sequence[Pair]) -> Seen:
        """What can be seen of a genotype.

        Parameters
        ----------
        loci : sequence of str
            Locus keys in catalogue order.
        genotype : sequence of Pair
            Pair at each locus.
        """
        every = ((locus, self.look(locus, alleles)) for locus, alleles in zip(loci, genotype, strict=True))
        shown = [(locus, look) for locus, look in every if look.label]
        hider = next((entry for entry in shown if entry[1].hides == "all"), None)
        if hider is not None:
            shown, unseen = [hider], frozenset(loci) - {hider[0]}
        else:
            unseen = frozenset(locus for _, look in shown for locus in look.hides.split()) & frozenset(loci)
            shown = [entry for entry in shown if entry[0] not in unseen]
        return Seen(
            key=tuple((locus, look.key) for locus, look in shown),
            looks=tuple(look for _, look in shown),
            unseen=unseen,
            hides_all=hider is not None,
        )

    def deaths(self, locus: str, alleles: Pair) -> tuple[float, float]:
        """Chance that a pair dies in the egg, and that it dies after hatching."""
        chance = self.catalogue.lethality(locus, alleles) if WILD not in alleles else 0.0
        if chance <= 0.0:
            return 0.0, 0.0
        stages = [self.catalogue.alleles[self.identity(allele)].lethal_stage for allele in alleles]
        return _by_stage(chance, next((stage for stage in stages if stage), IN_EGG))

    def togethers(self, in_play: Iterable[str]) -> tuple[Together, ...]:
        """Deadly combinations that alleles in play can make."""
        present = {self.identity(allele) for allele in in_play}
        return tuple(
            rule
            for rule in self.catalogue.together
            if rule.lethal > 0.0 and all(self.identity(allele) in present for allele in rule.alleles)
        )

    def together_deaths(self, rule: Together, genotype: dict[str, Pair]) -> tuple[float, float]:
        """Chance that a genotype dies of a combination, in the egg and after hatching."""
        for allele in rule.alleles:
            alleles = genotype[self.catalogue.alleles[allele].locus]
            if not self.copies(self.identity(allele), alleles):
                return 0.0, 0.0
        return _by_stage(rule.lethal, rule.lethal_stage)

    def label(self, look: LocusLook, present: Iterable[str]) -> str:
        """Name of a look, said with the name the keeper uses where only one of several equivalent alleles is in play.

        Parameters
        ----------
        look : LocusLook
            Look with the name of the allele that stands for its equivalents.
        present : iterable of str
            Alleles in play at the locus.
        """
        label = look.label
        for allele in look.alleles:
            used = [each for each in present if each != WILD and self.identity(each) == self.identity(allele)]
            if len(used) == 1 and used[0] != allele:
                label = label.replace(self.catalogue.alleles[allele].name, self.catalogue.alleles[used[0]].name)
        return label

    def telling(self, locus: str, allele: str, present: Iterable[str]) -> dict[str, frozenset[int]]:
        """Numbers of copies of an allele that each look leaves open.

        Parameters
        ----------
        locus, allele : str
            Keys.
        present : iterable of str
            Alleles in play at the locus, the wild type apart.

        Returns
        -------
        dict of str to frozenset of int
            Look key to the numbers of copies that show as this look.
        """
        alleles = [WILD, *sorted(set(present) - {WILD})]
        found: dict[str, set[int]] = {}
        for index, first in enumerate(alleles):
            for second in alleles[index:]:
                both = pair(first, second)
                found.setdefault(self.look(locus, both).key, set()).add(self.copies(allele, both))
        return {key: frozenset(copies) for key, copies in found.items()}


def _by_stage(chance: float, stage: str) -> tuple[float, float]:
    return (chance, 0.0) if stage == IN_EGG else (0.0, chance)
