"""Male maker or female maker: on which sex chromosome a male carries a sex-linked gene.

In an XY species a one-copy male with the allele on his Y gives it to nearly all of his sons and few of his daughters,
one with it on his X the other way round. Which he is follows from his parents and his young.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.answers.grounds_telling import said

if TYPE_CHECKING:
    from holdback.heredity.beliefs import Beliefs
    from holdback.species.catalogue import Catalogue

_CARRIES = 0.5
_SURE = 0.95


@dataclass(frozen=True, slots=True)
class Maker:
    """What a one-copy animal of the heterogametic sex makes of its sex-linked gene.

    Parameters
    ----------
    locus, gene : str
        Locus key and trade name of the gene.
    on_limited : float
        Chance, given one copy, that the allele sits on the sex-limited chromosome (the Y of an XY species).
    sentence : str
        The same in words.
    """

    locus: str
    gene: str
    on_limited: float
    sentence: str


def makers_of(beliefs: Beliefs, catalogue: Catalogue, animal: str) -> tuple[Maker, ...]:
    """Sex-linked genes that an animal probably has one copy of, with the chromosome they sit on.

    Returns
    -------
    tuple of Maker
        Empty for the homogametic sex, an animal of unknown sex, and genes that it hardly carries.

    Raises
    ------
    KeyError
        If there is no such animal.
    """
    if not catalogue.is_heterogametic(beliefs.family.sexes[animal]):
        return ()
    found = []
    for key, locus in beliefs.evidence.loci.items():
        second_on_y = beliefs.phase(animal, key) if locus.linkage is not None else None
        if second_on_y is None:
            continue
        for allele in locus.alleles[1:]:
            if beliefs.copies(animal, key, allele)[1] >= _CARRIES:
                # The wild type sorts first, so that the second of the pair is the named allele.
                name = catalogue.alleles[allele].name
                found.append(Maker(key, name, second_on_y, _in_words(second_on_y, catalogue)))
    return tuple(found)


def _in_words(on_limited: float, catalogue: Catalogue) -> str:
    if catalogue.sex_system != "XY":
        where = "on the W" if on_limited >= 0.5 else "on the Z"
        return f"Carried {where} with {said(max(on_limited, 1.0 - on_limited))}."
    if on_limited >= _SURE:
        return f"Male maker ({said(on_limited)}): nearly all of his sons get it, few of his daughters."
    if on_limited <= 1.0 - _SURE:
        return f"Female maker ({said(1.0 - on_limited)}): nearly all of his daughters get it, few of his sons."
    return f"Male or female maker is open: male maker {said(on_limited)}. His young, sexed, will tell."
