"""What a gene text says at each locus, in the terms of inference: looks that fit it, and claims.

A look is named by its key in the species file. Equivalent alleles are one, under the key that stands for them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import product

from holdback.heredity.shorthand import ReadGene, Reading, read
from holdback.heredity.shorthand.reading import HELD_BACK, Copies
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, LocusLook, Pair, pair

Support = tuple[str, frozenset[int]]
"""Allele key with the numbers of copies that a text leaves open."""

_ABSENT = ("no", "no het")
_PROVEN = "proven-het"
_OTHER_CHANCE = re.compile(r"\bhet|%", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class TextClaim:
    """A hidden or doubtful gene of a text.

    Parameters
    ----------
    gene : ReadGene
        As read.
    is_proven : bool
        True for a het that the text calls proven, and for one that it rules out.
    """

    gene: ReadGene
    is_proven: bool = False


@dataclass(frozen=True, slots=True)
class TextAtLocus:
    """What a text says at one locus.

    Parameters
    ----------
    shown : tuple of ReadGene
        Genes that show, or may show.
    looks : frozenset of str
        Keys of all looks that fit the text; empty where nothing shown is named.
    claims : tuple of TextClaim
        Hidden and doubtful genes.
    is_silent : bool
        True where the text says something of the locus that tells nothing certain of the look.
    open_alleles : tuple of str
        Standing alleles of which a look without named genes may be made ("Blue-eyed Lucy").
    """

    shown: tuple[ReadGene, ...] = ()
    looks: frozenset[str] = frozenset()
    claims: tuple[TextClaim, ...] = ()
    is_silent: bool = False
    open_alleles: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class TextGenes:
    """A gene text, locus by locus.

    Parameters
    ----------
    is_described : bool
        True where it names a gene or says normal: then what it does not name is not seen (common practice, no source).
    is_normal : bool
        True where it names nothing that shows and says normal.
    loci : mapping of str to TextAtLocus
        Loci that it speaks of.
    names : mapping of str to str
        Standing allele to the trade name that the text uses, genes that it rules out left out.
    hides : mapping of str to str
        Locus key to what the look shown there hides, "all" or locus keys; only looks that hide something.
    makers : mapping of str to str
        Locus key to "male maker" or "female maker".
    """

    is_described: bool
    is_normal: bool
    loci: Mapping[str, TextAtLocus] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    hides: Mapping[str, str] = field(default_factory=dict)
    makers: Mapping[str, str] = field(default_factory=dict)


@lru_cache(maxsize=8192)
def text_genes(text: str, catalogue: Catalogue) -> TextGenes:
    """Gene text as inference takes it; equal texts are read once.

    Parameters
    ----------
    text : str
        Trade shorthand.
    catalogue : Catalogue
        Its species.
    """
    reading = read(text, catalogue)
    by_locus: dict[str, list[ReadGene]] = {}
    for gene in reading.genes:
        by_locus.setdefault(gene.locus, []).append(gene)
    proven = _proven(reading)
    loci = {locus: _at_locus(locus, genes, proven, catalogue) for locus, genes in by_locus.items()}
    is_normal = "normal" in reading.status
    return TextGenes(
        is_described=bool(reading.genes) or is_normal,
        is_normal=is_normal and not any(here.shown or here.is_silent or here.open_alleles for here in loci.values()),
        loci=loci,
        names=_names(reading.genes, catalogue),
        hides=_hides(loci, catalogue),
        makers=_makers(by_locus),
    )


def _at_locus(locus: str, genes: Sequence[ReadGene], proven: frozenset[str], catalogue: Catalogue) -> TextAtLocus:
    if any(gene.said == HELD_BACK for gene in genes):
        return TextAtLocus(is_silent=True)
    opened = _open_look(locus, genes, catalogue)
    if any(not gene.allele for gene in genes):
        return opened
    shown = tuple(gene for gene in genes if gene.shown is not False)
    looks = frozenset(look.key for look in _text_looks(locus, shown, catalogue))
    claims = [
        TextClaim(gene, is_proven=gene.allele in proven or gene.source == "no het")
        for gene in genes
        if gene.shown is None or (gene.shown is False and gene.source != "no")
    ]
    return TextAtLocus(shown, looks, tuple(claims), is_silent=bool(shown) and not looks)


def _open_look(locus: str, genes: Sequence[ReadGene], catalogue: Catalogue) -> TextAtLocus:
    """A look named without its genes; silent where the words name no single look, as a whole complex does."""
    labels = {gene.source.removeprefix("combo ") for gene in genes if not gene.allele}
    looks: set[str] = set()
    alleles: dict[str, None] = {}
    if locus in catalogue.loci:
        for each in catalogue.pairs(locus):
            look = catalogue.look(locus, each)
            if look.label in labels:
                looks.add(look.key)
                alleles |= dict.fromkeys(catalogue.stands_for(key) for key in each if key != WILD)
    return TextAtLocus(looks=frozenset(looks), is_silent=not looks, open_alleles=tuple(alleles))


def _text_looks(locus: str, shown: Sequence[ReadGene], catalogue: Catalogue) -> tuple[LocusLook, ...]:
    supports = [(gene.allele, _support(gene)) for gene in shown]
    return tuple(catalogue.look(locus, each) for each in supported_pairs(supports)) if shown else ()


def _support(gene: ReadGene) -> frozenset[int]:
    """Numbers of copies that the words leave open; a gene that may show may also be absent."""
    copies: Copies = gene.copies or (0.0, 1.0, 1.0)
    said = frozenset(number for number in (1, 2) if copies[number] > 0.0)
    return said if gene.shown else said | {0}


def supported_pairs(supports: Iterable[Support]) -> tuple[Pair, ...]:
    """Pairs with one of the given numbers of copies of each allele and wild type beside them.

    Examples
    --------
    >>> supported_pairs([("lesser", frozenset({1})), ("mojave", frozenset({0, 1}))])
    (('+', 'lesser'), ('lesser', 'mojave'))
    """
    keys, numbers = zip(*supports, strict=True)
    found = []
    for drawn in product(*(sorted(each) for each in numbers)):
        alleles = [key for key, number in zip(keys, drawn, strict=True) for _ in range(number)]
        if len(alleles) <= 2:
            full = [*alleles, WILD, WILD]
            found.append(pair(full[0], full[1]))
    return tuple(dict.fromkeys(found))


def _proven(reading: Reading) -> frozenset[str]:
    """Alleles in the scope of "proven het": up to the next het or percentage."""
    ends = [warning.end for warning in reading.warnings if warning.code == _PROVEN]
    found = set()
    for gene in reading.genes:
        for end in ends:
            place = reading.text.find(gene.text, end)
            if gene.source == "het" and place >= 0 and not _OTHER_CHANCE.search(reading.text[end:place]):
                found.add(gene.allele)
    return frozenset(found)


def _names(genes: Iterable[ReadGene], catalogue: Catalogue) -> dict[str, str]:
    """Names by standing allele; where two names of one allele are used, the name of the allele that stands."""
    names: dict[str, str] = {}
    for gene in genes:
        if gene.allele and gene.said != HELD_BACK and gene.source not in _ABSENT:
            standing = catalogue.stands_for(gene.allele)
            same = names.setdefault(standing, gene.name) == gene.name
            names[standing] = gene.name if same else catalogue.alleles[standing].name
    return names


def _hides(loci: Mapping[str, TextAtLocus], catalogue: Catalogue) -> dict[str, str]:
    hides = {}
    for locus, here in loci.items():
        if here.looks:
            looks = [catalogue.look(locus, each) for each in catalogue.pairs(locus)]
            words = {look.hides for look in looks if look.key in here.looks}
            if "" not in words:
                hides[locus] = "all" if "all" in words else " ".join(sorted(words))
    return hides


def _makers(by_locus: Mapping[str, Sequence[ReadGene]]) -> dict[str, str]:
    makers = {}
    for locus, genes in by_locus.items():
        said = {gene.maker for gene in genes} - {""}
        if len(said) == 1:
            makers[locus] = said.pop()
    return makers
