"""Tokens of trade shorthand and the names a scanner looks for."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING, NamedTuple

from holdback.heredity.shorthand.words import WORDS, Entry, squashed
from holdback.species.model import Allele, Combo, Inheritance, Locus, NotAGene

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue


class Token(NamedTuple):
    """A piece of the text: its kind, words, place, and what it carries."""

    kind: str
    text: str
    start: int
    end: int
    carried: object = None


class OpenName(NamedTuple):
    """A combo that does not say which genes make it, and its locus or None."""

    combo: Combo
    locus: Locus | None


class EitherSpecies(NamedTuple):
    """Letters that are both short for an allele and the initials of the species."""

    allele: Allele


Named = Allele | Combo | NotAGene | Locus | OpenName | EitherSpecies
"""What a name can stand for."""

_kept: dict[str, Mapping[str, Entry]] = {}


def vocabulary(catalogue: Catalogue, lines: Collection[str] = ()) -> Mapping[str, Entry]:
    """Squashed name to token kind and meaning: the words of the trade, the names of the species and known lines.

    Parameters
    ----------
    catalogue : Catalogue
        Names are taken from here; they win over words of the trade, save for letters that also name the species.
    lines : collection of str
        Line names known to the keeper.

    Notes
    -----
    Built once per catalogue (by digest); known lines are laid over it.
    """
    if catalogue.digest not in _kept:
        _kept[catalogue.digest] = _built(catalogue)
    known = _kept[catalogue.digest]
    return {**{squashed(line): ("LINENAME", line) for line in lines}, **known} if lines else known


def _built(catalogue: Catalogue) -> dict[str, Entry]:
    entries: dict[str, Entry] = dict(WORDS)
    for locus in catalogue.loci.values():
        if len(locus.alleles) > 1:
            entries.update(dict.fromkeys(_complex_spellings(locus), ("NAME", locus)))
    names = catalogue.names()
    for name, entry in names.items():
        key = squashed(name)
        if isinstance(entry, NotAGene) and _hides_gene(key, entry, names):
            continue
        if isinstance(entry, Combo) and not entry.genotypes:
            entries[key] = ("NAME", OpenName(entry, _locus_of(entry, entries)))
            continue
        if key not in WORDS or WORDS[key][0] in ("FILLER", "STATUS"):
            entries[key] = ("NAME", entry)
    for species in (catalogue.common_name, catalogue.name, *catalogue.species_words):
        key = squashed(species)
        _, carried = entries.get(key, ("", None))
        entries[key] = ("NAME", EitherSpecies(carried)) if isinstance(carried, Allele) else ("FILLER", None)
    return entries


def _complex_spellings(locus: Locus) -> set[str]:
    """Name and aliases of a complex, with and without the word "complex" unless an allele has that name."""
    names = {locus.name, *locus.aliases}
    # "lesser/mojave complex" without its last word is no name of the complex but two genes.
    short = {name.removesuffix("complex") for name in names if name.endswith("complex") and "/" not in name}
    return {squashed(name) for name in names | short}


def _locus_of(combo: Combo, entries: Mapping[str, Entry]) -> Locus | None:
    """Complex that shares a spelling with a combo ("BEL", "BEL complex")."""
    for name in (combo.name, *combo.aliases):
        _, carried = entries.get(squashed(f"{name} complex"), ("", None))
        if isinstance(carried, Locus):
            return carried
    return None


def _hides_gene(key: str, entry: NotAGene, names: Mapping[str, object]) -> bool:
    """True for a spelling that is another spelling of the same word and a gene ("high white pied")."""
    own = [squashed(name) for name in (entry.name, *entry.aliases)]
    rests = [key.removeprefix(word) for word in own if key.startswith(word) and key != word]
    return any(isinstance(names.get(rest), Allele) for rest in rests)


def is_recessive(allele: Allele) -> bool:
    """True where one copy does not show."""
    return allele.inheritance is Inheritance.RECESSIVE
