"""Looks that fit what was seen on an animal, of the genes of one locus together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from holdback.heredity.beliefs.texts import Support, supported_pairs
from holdback.heredity.beliefs.told import Told
from holdback.heredity.shorthand.reading import Copies, ReadGene
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, pair


def looks_with(supports: Sequence[Support], locus: str, catalogue: Catalogue) -> frozenset[str]:
    """Keys of the looks that show of the pairs with these alleles; empty where no animal can have all of them."""
    found = (catalogue.look(locus, each) for each in supported_pairs(supports))
    return frozenset(look.key for look in found if look.label)


def stated_looks(
    shown: Sequence[Told], kept: Sequence[ReadGene], locus: str, catalogue: Catalogue
) -> dict[str, frozenset[str]]:
    """Keys of the looks that fit each gene that was seen.

    Parameters
    ----------
    shown : sequence of Told
        Genes of the locus that somebody saw.
    kept : sequence of ReadGene
        Genes of the locus that the text says are shown and of which nothing is stated.
    locus : str
        Locus key.
    catalogue : Catalogue
        Species.

    Returns
    -------
    dict of str to frozenset of str
        By standing allele: the looks of everything together where one animal can have it all, else of the statements
        together, else of each alone.
    """
    supports = [(one.allele, _support(one, catalogue)) for one in shown]
    if not supports:
        return {}
    beside = [(gene.allele, copies_seen(gene.copies)) for gene in kept]
    together = looks_with([*supports, *beside], locus, catalogue) or looks_with(supports, locus, catalogue)
    return {each[0]: together or looks_with([each], locus, catalogue) for each in supports}


def left_shown(shown: Iterable[ReadGene], seen: Iterable[Told], catalogue: Catalogue) -> list[ReadGene]:
    """Genes that the text says are shown and of which nothing else is stated."""
    stated = {one.allele for one in seen}
    return [gene for gene in shown if gene.shown and catalogue.stands_for(gene.allele) not in stated]


def copies_seen(copies: Copies | None) -> frozenset[int]:
    """One or two copies, as far as they have a chance; one, the least that shows, where neither has."""
    return frozenset(number for number in (1, 2) if copies is None or copies[number] > 0.0) or frozenset({1})


def _support(told: Told, catalogue: Catalogue) -> frozenset[int]:
    """Copies that were seen; whoever sees a gene that one copy does not show may see two."""
    seen = copies_seen(told.copies)
    return seen if catalogue.look(told.locus, pair(WILD, told.allele)).label else seen | {2}
