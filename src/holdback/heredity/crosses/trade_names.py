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
            Name of the first combo whose looks are these and no others.
        """
        shown = dict(key)
        for combo in self._by_loci.get(frozenset(shown), ()):
            if all(book.look(locus, alleles).key == shown[locus] for locus, alleles in combo.genotypes.items()):
                return combo.name
        return ""
