"""What a young should be, written in trade shorthand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from holdback.errors import Fault, ShorthandError
from holdback.heredity.genotype import Wish
from holdback.heredity.shorthand.codes import ASK, FAULT
from holdback.heredity.shorthand.reader import read
from holdback.heredity.shorthand.reading import ReadGene, Reading
from holdback.species.model import Pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_HARMLESS = {"het-of-visible", "equivalent-names", "het-pair-shows", "unread"}


def read_wish(text: str, catalogue: Catalogue) -> Wish:
    """Genotypes that will do, locus by locus.

    Parameters
    ----------
    text : str
        "female Enchi Clown": at least one Enchi, and shows Clown. "het Clown": carries at least one. "Super Pastel":
        two copies. "no Spider": none. Names held to be the same gene are accepted for each other.
    catalogue : Catalogue
        Species.

    Returns
    -------
    Wish
        Accepted pairs at each locus named.

    Raises
    ------
    ShorthandError
        SHO-101 for words that were not read, SHO-102 for an open question, SHO-103 for a chance in a wish,
        SHO-104 where nothing is wished, SHO-105 where no genotype will do; all faults together.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> sorted(read_wish("Super Pastel", load()).loci["pastel"])[:1]
    [('citrus-pastel', 'citrus-pastel')]
    """
    reading = read(text, catalogue)
    faults = [*_unread(reading), *_open(reading)]
    loci: dict[str, frozenset[Pair]] = {}
    for gene in reading.genes:
        fault = _chance(gene, text)
        if fault:
            faults.append(fault)
        elif gene.copies:
            allowed = _accepted(gene, catalogue)
            loci[gene.locus] = loci.get(gene.locus, frozenset(catalogue.pairs(gene.locus))) & allowed
    faults += [
        Fault("SHO-105", f"No genotype at {catalogue.loci[locus].name} meets the wish.", "Wish for less.", value=text)
        for locus, pairs in loci.items()
        if not pairs
    ]
    if not faults and not loci and reading.sex == "unknown":
        faults.append(Fault("SHO-104", f"{text!r} wishes for nothing.", "Name a gene or a sex.", value=text))
    if faults:
        raise ShorthandError(faults)
    return Wish(text=text, loci=loci, sex=reading.sex)


def _unread(reading: Reading) -> list[Fault]:
    return [
        Fault(
            "SHO-101",
            f"{part.text!r} was not read.",
            f"Did you mean {part.suggestion}?" if part.suggestion else "Take it out, or add it as a gene of your own.",
            value=part.text,
        )
        for part in reading.unread
    ]


def _open(reading: Reading) -> list[Fault]:
    return [
        Fault("SHO-102", warning.message, "Write it so that it can be read in one way.", value=warning.code)
        for warning in reading.warnings
        if warning.level in (ASK, FAULT) and warning.code not in _HARMLESS
    ]


def _chance(gene: ReadGene, text: str) -> Fault | None:
    if gene.copies is None or max(gene.copies) == 1:
        return None
    return Fault(
        "SHO-103", f"{gene.text!r} is a chance; a young has a gene or not.", "Leave the number out.", value=text
    )


def _accepted(gene: ReadGene, catalogue: Catalogue) -> frozenset[Pair]:
    """Pairs of the gene's locus that carry it, or names held to be the same, in the copies wished for."""
    allele = catalogue.alleles[gene.allele]
    first = allele.same_as or allele.key
    same = {key for key in catalogue.loci[gene.locus].alleles if first in (key, catalogue.alleles[key].same_as)}
    assert gene.copies is not None
    least, most = {0: (0, 0), 1: (1, 2), 2: (2, 2)}[gene.copies.index(1.0)]
    return frozenset(pair for pair in catalogue.pairs(gene.locus) if least <= sum(key in same for key in pair) <= most)
