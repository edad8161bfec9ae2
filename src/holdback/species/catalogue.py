"""A species as the rest of the program asks for it: genes, looks, names, cautions, defaults."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import combinations_with_replacement
from typing import Any

from holdback.collection.model import Sex
from holdback.errors import Fault, SpeciesError
from holdback.species.deciding import BuildsOn
from holdback.species.feeding import FeedingRow
from holdback.species.loading import catalogue_parts, file_data
from holdback.species.looks import look_by_rule
from holdback.species.model import (
    WILD,
    Allele,
    ChromosomePair,
    Combo,
    GrowthRow,
    Linkage,
    Locus,
    LocusLook,
    Mark,
    NotAGene,
    Pair,
    PairingCaution,
    Together,
    Value,
    pair,
)
from holdback.species.naming import Entry, found_in, nearest_name
from holdback.species.wild_range import WildRange


@dataclass(frozen=True, eq=False, repr=False)
class Catalogue:
    """One species file, with a keeper's own genes if there are any; compared by its digest.

    Parameters
    ----------
    key, name, common_name : str
        Key of the file, Latin name, English name.
    sex_system : str
        "XY" or "ZW".
    loci, alleles, combos : mapping
        By key, in file order.
    together : tuple of Together
        Combinations across loci that carriers suffer from.
    pairing_cautions : tuple of PairingCaution
        Pairings that need a word first.
    not_genes : tuple of NotAGene
        Trade words that name no single gene.
    linkages : tuple of Linkage
        Linked pairs of loci; every other pair is free.
    reproduction, chromosomes : mapping of str to Value
        Defaults with range, mark and source.
    chromosome_pairs : tuple of ChromosomePair
        Lengths of each pair of chromosomes; their sum is scaled to ``chromosomes["map_length_morgan"]``.
    records : mapping of str to Value
        How far records are trusted: the names of `trust.RECORDS`, every one a probability.
    size : mapping of str to Value
        Days in which a weight does not count: the names of `weighing.SIZE`.
    decisions : mapping of str to Value
        What plans and ideas count on: the names of `deciding.DECISIONS`.
    builds : tuple of BuildsOn
        Which looks go well together; empty where the file states none.
    growth : tuple of GrowthRow
        Usual mass by age and sex.
    feeding : tuple of FeedingRow
        Usual meals by mass, sex and age; empty where the file states none.
    wild_range : WildRange or None
        Countries that it is reported from in the wild; None where the file states none.
    digest : str
        SHA-256 of what the file says, changes included.
    default_mark : Mark
        Mark of entries that state none.
    sex_system_source : str
        Source key of the sex system.
    species_words : tuple of str
        Words and letters that name the species itself.
    notes, sources : mapping of str to str
        Remarks on the whole file, and citations by key.
    """

    key: str
    name: str
    common_name: str
    sex_system: str
    loci: Mapping[str, Locus]
    alleles: Mapping[str, Allele]
    combos: Mapping[str, Combo]
    together: tuple[Together, ...]
    pairing_cautions: tuple[PairingCaution, ...]
    not_genes: tuple[NotAGene, ...]
    linkages: tuple[Linkage, ...]
    reproduction: Mapping[str, Value]
    growth: tuple[GrowthRow, ...]
    chromosomes: Mapping[str, Value]
    records: Mapping[str, Value]
    size: Mapping[str, Value]
    digest: str
    decisions: Mapping[str, Value] = field(default_factory=dict)
    builds: tuple[BuildsOn, ...] = ()
    wild_range: WildRange | None = None
    feeding: tuple[FeedingRow, ...] = ()
    default_mark: Mark = Mark.COMMON
    sex_system_source: str = ""
    species_words: tuple[str, ...] = ()
    notes: Mapping[str, str] = field(default_factory=dict)
    sources: Mapping[str, str] = field(default_factory=dict)
    chromosome_pairs: tuple[ChromosomePair, ...] = ()
    _data: Mapping[str, Any] = field(default_factory=dict)
    _names: Mapping[str, Entry] = field(default_factory=dict)
    _stands: Mapping[str, str] = field(default_factory=dict)
    _named_looks: Mapping[tuple[str, Pair], LocusLook] = field(default_factory=dict)
    _looks: dict[tuple[str, Pair], LocusLook] = field(default_factory=dict)

    @classmethod
    def from_tables(cls, data: Mapping[str, Any]) -> Catalogue:
        """Catalogue from the tables of a species file as a TOML reader returns them.

        Parameters
        ----------
        data : mapping
            Tables; see the reference for the fields.

        Returns
        -------
        Catalogue
            Complete and checked.

        Raises
        ------
        SpeciesError
            With every fault found.
        """
        return cls(**catalogue_parts(data))

    def __eq__(self, other: object) -> bool:
        """True for a catalogue that says the same."""
        return isinstance(other, Catalogue) and other.digest == self.digest

    def __repr__(self) -> str:
        """Key and the start of the digest; the content would fill pages."""
        return f"Catalogue({self.key!r}, {self.digest[:12]})"

    def __hash__(self) -> int:
        """Hash of the digest."""
        return hash(self.digest)

    def look(self, locus_key: str, alleles: Pair) -> LocusLook:
        """What can be seen of a pair of alleles at one locus.

        Parameters
        ----------
        locus_key : str
            Key of the locus.
        alleles : Pair
            Two allele keys of that locus, `WILD` included, in any order.

        Returns
        -------
        LocusLook
            The same value for all pairs that look alike; its label is empty where the pair looks wild type.

        Raises
        ------
        KeyError
            If the locus or an allele is not in the catalogue, or the allele belongs to another locus.

        Notes
        -----
        Equivalent alleles count as one. Pairs the file names come first, the rest by rule: see `looks`.

        Examples
        --------
        >>> load().look("bel", ("lesser", "mojave")).label
        'Blue-eyed Lucy'
        >>> load().look("pastel", ("pastel", "pastel")).label
        'Super Pastel'
        """
        known = self._looks.get((locus_key, alleles))
        if known is None:
            known = self._looks[locus_key, alleles] = self._new_look(self.loci[locus_key], alleles)
        return known

    def _new_look(self, locus: Locus, alleles: Pair) -> LocusLook:
        for key in alleles:
            if key != WILD and key not in locus.alleles:
                raise KeyError(f"{key!r} is no allele of {locus.key!r}")
        standing = [self._stands.get(key, key) for key in alleles]
        named = self._named_looks.get((locus.key, pair(standing[0], standing[1])))
        if named is not None:
            return named
        present = sorted((key for key in standing if key != WILD), key=locus.alleles.index)
        return look_by_rule(locus, tuple(self.alleles[key] for key in present))

    def pairs(self, locus_key: str) -> tuple[Pair, ...]:
        """Every unordered pair of alleles of a locus, wild type first.

        Parameters
        ----------
        locus_key : str
            Key of the locus.

        Returns
        -------
        tuple of Pair
            ``(n + 1)(n + 2) / 2`` pairs for n named alleles.

        Examples
        --------
        >>> load().pairs("clown")[:3]
        (('+', '+'), ('+', 'clown'), ('+', 'cryptic'))
        """
        keys = (WILD, *self.loci[locus_key].alleles)
        return tuple(pair(first, second) for first, second in combinations_with_replacement(keys, 2))

    def locus_of(self, allele_key: str) -> Locus:
        """Locus of an allele; KeyError if there is no such allele."""
        return self.loci[self.alleles[allele_key].locus]

    def stands_for(self, allele_key: str) -> str:
        """Key of the allele that an allele is held to be the same as, itself if none."""
        return self._stands[allele_key]

    def lethality(self, locus_key: str, alleles: Pair) -> float:
        """Probability in [0, 1] that a young with this pair dies of it; equivalents count as one.

        Parameters
        ----------
        locus_key : str
            Key of the locus.
        alleles : Pair
            Two allele keys of that locus.

        Examples
        --------
        >>> load().lethality("spider", ("spider", "spider")), load().lethality("spider", ("+", "spider"))
        (1.0, 0.0)
        """
        assert locus_key in self.loci
        first, second = (self._stands.get(key, key) for key in alleles)
        return self.alleles[first].lethal if first == second and first != WILD else 0.0

    def lethal_stage(self, alleles: Pair) -> str:
        """When a young with this pair dies: "in egg" or "after hatching"; empty where it lives."""
        first, second = (self._stands.get(key, key) for key in alleles)
        return self.alleles[first].lethal_stage if first == second and first != WILD else ""

    def find(self, text: str) -> Entry | None:
        """Allele, combo or trade word of that name or alias; None if there is none.

        Parameters
        ----------
        text : str
            Name in any case; hyphens, spaces and a plural ending do not count.

        Examples
        --------
        >>> load().find("killer bees").name, load().find("OD").name
        ('Killer Bee', 'Orange Dream')
        """
        return found_in(self._names, text)

    def names(self) -> Mapping[str, Entry]:
        """Every name and alias in normal form (see `naming.normal_form`) with what it stands for."""
        return self._names

    def suggest(self, text: str) -> str:
        """Nearest known name to a text, empty if none comes near."""
        return nearest_name(self._names, text)

    def is_heterogametic(self, sex: Sex) -> bool:
        """True for the sex with two different sex chromosomes: males under XY, females under ZW."""
        return sex is (Sex.MALE if self.sex_system == "XY" else Sex.FEMALE)

    def changed(self, patch: Mapping[str, Any]) -> Catalogue:
        """Catalogue with a keeper's own genes and edits laid over it; this one stays as it is.

        Parameters
        ----------
        patch : mapping
            Tables in the structure of the species file.

        Returns
        -------
        Catalogue
            Itself if the patch is empty.

        Raises
        ------
        SpeciesError
            With every fault of the result.

        Examples
        --------
        >>> own = load().changed({"allele": {"marl": {"inheritance": "recessive"}}})
        >>> own.find("Marl").mark
        <Mark.OWN: 'your own'>
        """
        from holdback.species.changes import laid_over

        return Catalogue.from_tables(laid_over(self._data, patch)) if patch else self


def load(key: str = "python_regius", *, changes: Mapping[str, Any] | None = None) -> Catalogue:
    """Catalogue of a species that ships with the package.

    Parameters
    ----------
    key : str
        Key of the species.
    changes : mapping, optional
        A keeper's own genes and edits, in the structure of the species file.

    Returns
    -------
    Catalogue
        The same object for the same species without changes; read once per process.

    Raises
    ------
    SpeciesError
        If there is no such species, or the changes do not fit.
    """
    shipped = _shipped(key)
    return shipped.changed(changes) if changes else shipped


@lru_cache(maxsize=8)
def _shipped(key: str) -> Catalogue:
    found = Catalogue.from_tables(file_data(key))
    if found.key != key:
        what = f"The file {key}.toml calls itself {found.key!r}."
        raise SpeciesError(Fault("SPE-004", what, "Give the file the name of its key.", file=f"{key}.toml"))
    return found
