"""Combo names for looks: given only where the look is the combo, exactly and fully."""

from __future__ import annotations

from typing import TYPE_CHECKING

from holdback.heredity.crosses.looks import LookBook, LookKey
from holdback.species.model import Combo

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue


class TradeNames:
    """Combos of a species by the loci they name.

    Parameters
    ----------
    catalogue : Catalogue
        Species.
    """

    def __init__(self, catalogue: Catalogue) -> None:
        self._by_loci: dict[frozenset[str], list[Combo]] = {}
        for combo in catalogue.combos.values():
            if combo.genotypes:
                self._by_loci.setdefault(frozenset(combo.genotypes), []).append(combo)

    def of(self, key: LookKey, book: LookBook) -> str:
        """Combo name of a look, empty where it has none of its own.

        Parameters
        ----------
        key : LookKey
            What is seen.
        book : LookBook
            Looks of the species.

        Returns
        -------
        str
            Name of the first combo whose looks are these and no others, each of them of one genotype.
        """
        shown = dict(key)
        for combo in self._by_loci.get(frozenset(shown), ()):
            looks = [book.look(locus, alleles) for locus, alleles in combo.genotypes.items()]
            # A look that names no allele is shared by several pairs: it cannot tell which of them is there.
            if all(
                look.alleles and look.key == shown[locus] for locus, look in zip(combo.genotypes, looks, strict=True)
            ):
                return combo.name
        return ""
