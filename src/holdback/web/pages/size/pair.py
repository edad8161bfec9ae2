"""What the young of a pair would weigh."""

from __future__ import annotations

from typing import TYPE_CHECKING

from holdback.web.pages.components import LedgerRow
from holdback.web.pages.size.words import deviation_row, mass_row

if TYPE_CHECKING:
    from holdback.answers.size import Sizes


def young_rows(sizes: Sizes, sire: str, dam: str) -> list[LedgerRow]:
    """Ledger of grown daughters and sons of a pair.

    Parameters
    ----------
    sizes : Sizes
        Of the whole collection.
    sire, dam : str
        Ids.
    """
    found = sizes.young(sire, dam)
    return [
        mass_row("A daughter, grown", found.female_g),
        mass_row("A son, grown", found.male_g),
        deviation_row("One young against ordinary", found.one_young),
        deviation_row("All young, on average", found.deviation),
    ]
