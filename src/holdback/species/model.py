"""What a species file says, as frozen values.

A locus holds the wild type, written `WILD`, and named alleles. A genotype at a locus is an unordered pair of allele
keys (`Pair`, sorted). What can be seen of a pair is a `LocusLook`: pairs that look alike share one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

WILD = "+"
"""Key of the wild-type allele at every locus."""

FREQUENCY = 0.002
"""Share of an allele among captive animals of unknown descent where the species file states none; an assumption."""

Pair = tuple[str, str]
"""Unordered genotype at one locus: two allele keys in sorted order (`WILD` sorts first)."""


def pair(first: str, second: str) -> Pair:
    """Unordered genotype of two alleles.

    Examples
    --------
    >>> pair("pastel", "+")
    ('+', 'pastel')
    """
    return (first, second) if first <= second else (second, first)


class Mark(StrEnum):
    """How far a statement can be trusted."""

    PUBLISHED = "published"
    COMMON = "common practice, no source"
    MEMORY = "from memory"
    OWN = "your own"


class Inheritance(StrEnum):
    """How many copies show; not how it is drawn."""

    RECESSIVE = "recessive"
    INCOMPLETE_DOMINANT = "incomplete dominant"
    DOMINANT = "dominant"


class Ease(StrEnum):
    """How hard a look is to tell by eye."""

    PLAIN = "plain"
    SUBTLE = "subtle"
    HARD = "hard"


@dataclass(frozen=True, slots=True)
class Value:
    """A number of the species file with its range, mark and source."""

    value: float
    low: float
    high: float
    unit: str
    mark: Mark
    source: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Flag:
    """A welfare statement about carriers of an allele.

    Parameters
    ----------
    kind : str
        "neurological", "lethal", "kinking", "female fertility", "eyes", "hatchling vigour", "husbandry".
    copies : int
        1: any carrier; 2: animals with two copies only.
    text : str
        What is known, in a sentence.
    mark : Mark
        Trust.
    source : str
        Citation, or empty.
    """

    kind: str
    copies: int
    text: str
    mark: Mark
    source: str = ""


@dataclass(frozen=True, slots=True)
class Allele:
    """One named allele.

    Parameters
    ----------
    key, name : str
        Slug (unique in the species) and trade name.
    locus : str
        Key of its locus.
    inheritance : Inheritance
        Whether one copy shows.
    one_copy, two_copies : str
        Look in words on an otherwise wild-type animal; empty is not known.
    two_copies_name : str
        Trade name of the two-copy form where it has one of its own ("Ivory"); else empty.
    aliases : tuple of str
        Other spellings, abbreviations and line names read as this allele.
    same_as : str
        Key of an allele of the same locus that it is held to be identical with ("lesser" for Butter); else empty.
        Looks treat both as one; the name is kept.
    lethal : float
        Probability that two copies die, 0 to 1.
    lethal_stage : str
        "in egg" or "after hatching"; empty where `lethal` is 0.
    ease_one, ease_two : Ease
        How hard one and two copies are to tell by eye.
    missed, imagined : float
        Chance that a keeper misses the look where it shows, and that one is named where none is.
    frequency : float
        Share of this allele, in [0, 0.5), among captive animals of unknown descent of which nothing is said.
    tags : tuple of str
        What it does to the look ("brightens", "darkens", "reds", "fades the head", "reduces pattern", "bands", ...).
    flags : tuple of Flag
        Welfare statements.
    mark : Mark
        Trust in class and locus.
    source, note : str
        Citation key or text; anything a keeper should know.
    """

    key: str
    name: str
    locus: str
    inheritance: Inheritance
    one_copy: str = ""
    two_copies: str = ""
    two_copies_name: str = ""
    aliases: tuple[str, ...] = ()
    same_as: str = ""
    lethal: float = 0.0
    lethal_stage: str = ""
    ease_one: Ease = Ease.PLAIN
    ease_two: Ease = Ease.PLAIN
    missed: float = 0.01
    imagined: float = 0.001
    frequency: float = FREQUENCY
    tags: tuple[str, ...] = ()
    flags: tuple[Flag, ...] = ()
    mark: Mark = Mark.COMMON
    source: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class SexLinkage:
    """Recombination between a locus and the sex-determining region, in the heterogametic sex.

    Parameters
    ----------
    r : Value
        Recombination fraction in [0, 0.5], with its uncertain range.
    alpha, beta : float
        Beta prior on `r`, for engines that integrate over it.
    """

    r: Value
    alpha: float
    beta: float


@dataclass(frozen=True, slots=True)
class Locus:
    """One place in the genome with its named alleles.

    Parameters
    ----------
    key, name : str
        Slug and trade name ("blue-eyed leucistic complex"; for a single-allele locus the allele's name).
    alleles : tuple of str
        Keys of the named alleles in file order; the wild type is not listed.
    sex_linkage : SexLinkage or None
        None for an autosomal locus.
    gene : str
        Published gene symbol, or empty.
    mark : Mark
        Trust in the grouping.
    source, note : str
        Citation; text.
    aliases : tuple of str
        Other names of the whole complex ("BEL complex").
    """

    key: str
    name: str
    alleles: tuple[str, ...]
    sex_linkage: SexLinkage | None = None
    gene: str = ""
    mark: Mark = Mark.COMMON
    source: str = ""
    note: str = ""
    aliases: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LocusLook:
    """What can be seen of a genotype at one locus.

    Parameters
    ----------
    key : str
        Stable id, ``"<locus>:<word>"``; ``"<locus>:"`` for the wild-type look.
    label : str
        Trade name ("Super Pastel", "Ivory"); empty for the wild-type look.
    alleles : tuple of str
        Keys of the alleles that the label names.
    text : str
        Look in words; empty where nothing is known.
    hides : str
        "" for nothing, "all" where it hides every other locus, else locus keys separated by spaces.
    ease : Ease
        How hard it is to tell by eye.
    mark : Mark
        Trust.
    """

    key: str
    label: str
    alleles: tuple[str, ...] = ()
    text: str = ""
    hides: str = ""
    ease: Ease = Ease.PLAIN
    mark: Mark = Mark.COMMON


@dataclass(frozen=True, slots=True)
class Combo:
    """A trade name for several genes together.

    Parameters
    ----------
    key, name : str
        Slug and trade name.
    genotypes : mapping of str to Pair
        Locus key to the pair it states.
    optional : tuple of str
        Allele keys often left out of the name.
    aliases : tuple of str
        Other spellings.
    mark : Mark
        Trust.
    note : str
        Anything a reader should know.
    """

    key: str
    name: str
    genotypes: Mapping[str, Pair]
    optional: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    mark: Mark = Mark.COMMON
    note: str = ""


@dataclass(frozen=True, slots=True)
class Together:
    """What carriers of several alleles at once suffer: a lethal or cautioned combination across loci.

    Parameters
    ----------
    alleles : tuple of str
        Allele keys; one copy of each is enough.
    lethal : float
        Probability that a young carrying all of them dies, 0 to 1.
    lethal_stage : str
        "in egg" or "after hatching"; empty where `lethal` is 0.
    text : str
        What is known.
    mark : Mark
        Trust.
    """

    alleles: tuple[str, ...]
    lethal: float
    lethal_stage: str
    text: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class PairingCaution:
    """A pairing that needs a word before it is made.

    Parameters
    ----------
    code : str
        Stable code.
    level : str
        "note", "think" or "stop".
    sire, dam : tuple of str
        Any of these allele keys in the sire and any of those in the dam; an empty tuple is anyone. Applies both ways
        round unless `dam_only`.
    dam_only : bool
        True where only the dam's genes matter ("Desert females").
    message : str
        What, why and what to do.
    mark : Mark
        Trust.
    """

    code: str
    level: str
    sire: tuple[str, ...]
    dam: tuple[str, ...]
    message: str
    mark: Mark
    dam_only: bool = False


@dataclass(frozen=True, slots=True)
class NotAGene:
    """A trade word that names no single gene ("ringer", "dinker", a locality)."""

    name: str
    aliases: tuple[str, ...]
    text: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class GrowthRow:
    """Ordinary mass at an age, by sex; the range is what the trade calls usual."""

    age_months: float
    sex: str
    low_g: float
    high_g: float
    mark: Mark
    source: str = ""


@dataclass(frozen=True, slots=True)
class Linkage:
    """Recombination fraction between two autosomal loci; loci not listed are free (0.5)."""

    loci: tuple[str, str]
    r: Value


@dataclass(frozen=True, slots=True)
class ChromosomePair:
    """One pair of chromosomes.

    Parameters
    ----------
    name : str
        What it is called, such as "3".
    morgan : float
        Map length in Morgan before all are scaled to the length of the whole map.
    dna_mb : float
        Length of its DNA in million base pairs.
    mark : Mark
        Trust.
    source, note : str
        Source key, and remarks.
    """

    name: str
    morgan: float
    dna_mb: float
    mark: Mark
    source: str = ""
    note: str = ""
