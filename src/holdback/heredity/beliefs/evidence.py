"""What the records say of genes, as likelihoods: the input of inference, locus by locus.

Notation: a locus has alleles numbered from 0 (the wild type) to n - 1; an unordered pair of them is a genotype. A
`GeneRecord` gives P(record | genotype) up to a factor, as a symmetric n by n array.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holdback.collection.model import PartialDate, Sex
from holdback.species.model import WILD, Pair, SexLinkage

FloatArray = NDArray[np.float64]


class RecordKind(StrEnum):
    """What sort of record speaks."""

    LOOK = "look"
    """What the animal shows, or was looked at for and does not show."""
    CLAIM = "claim"
    """What somebody says it carries."""
    SEX = "sex"
    """Its sex, which speaks at a sex-linked locus."""


@dataclass(frozen=True, slots=True, eq=False)
class GeneRecord:
    """One record on one animal at one locus.

    Parameters
    ----------
    key : str
        Stable within the collection: "look:22-05:clown", "claim:17-02:piebald", "seen:22-05:clown:0".
    animal : str
        Id.
    kind : RecordKind
        Look, claim or sex.
    words : str
        What it says, as a breeder would: "shows Clown", "looks normal", "said to be 66 % het Pied".
    likelihood : float array, shape (n, n)
        Symmetric; P(record | genotype) up to a factor, every entry above 0.
    wrong : bool array, shape (n, n)
        Symmetric; True at the genotypes under which the record is a mistake.
    by : str
        Who saw or says it; may be empty.
    date : PartialDate or None
        When.
    hidden_by : str
        Locus key of a look that would hide this one; empty where nothing that the animal may be hides it. Where it is
        hidden, the record says nothing.
    counted : bool
        False for a record that is kept for comparison but adds nothing: a percentage that only repeats what the
        recorded parents say.
    """

    key: str
    animal: str
    kind: RecordKind
    words: str
    likelihood: FloatArray
    wrong: NDArray[np.bool_]
    by: str = ""
    date: PartialDate | None = None
    hidden_by: str = ""
    counted: bool = True


@dataclass(frozen=True, eq=False)
class LocusEvidence:
    """One locus with everything recorded at it.

    Parameters
    ----------
    key : str
        Locus key.
    alleles : tuple of str
        Allele keys in play, `WILD` first; alleles held to be the same are one, under the key that stands for them.
    frequencies : float array, shape (n,)
        Of the alleles among animals of unknown descent of which nothing is said; sums to 1.
    survival : float array, shape (n, n)
        Symmetric; chance that a genotype lives to be recorded.
    linkage : SexLinkage or None
        None for an autosomal locus.
    records : mapping of str to tuple of GeneRecord
        By animal id.
    hides : bool array, shape (n, n)
        Symmetric; True at genotypes whose look hides other loci.
    maker : mapping of str to float
        Sex-linked locus: probability, by claim, that a one-copy animal of the heterogametic sex carries its allele on
        the sex-limited chromosome; only animals of which it is said.
    """

    key: str
    alleles: tuple[str, ...]
    frequencies: FloatArray
    survival: FloatArray
    linkage: SexLinkage | None = None
    records: Mapping[str, tuple[GeneRecord, ...]] = field(default_factory=dict)
    hides: NDArray[np.bool_] = field(default_factory=lambda: np.zeros((0, 0), dtype=bool))
    maker: Mapping[str, float] = field(default_factory=dict)

    @property
    def n_alleles(self) -> int:
        """Number of alleles in play, the wild type among them."""
        return len(self.alleles)

    @cached_property
    def settings(self) -> bytes:
        """All that holds for every animal, in one text: what tells this locus from one with the same records."""
        tables = (self.frequencies, self.survival, self.hides)
        about = repr((self.key, self.alleles, self.linkage)).encode()
        return b"\0".join([about, *(table.tobytes() for table in tables)])

    @cached_property
    def digests(self) -> dict[tuple[str, ...], str]:
        """Digests made so far, by the animals they are of; see `memory`."""
        return {}

    def pair(self, first: int, second: int) -> Pair:
        """Pair of allele keys of two allele numbers."""
        one, other = sorted((self.alleles[first], self.alleles[second]))
        return one, other


@dataclass(frozen=True, eq=False)
class Evidence:
    """Everything recorded on the genes of a collection.

    Parameters
    ----------
    loci : mapping of str to LocusEvidence
        Locus key to evidence; loci of which nobody said anything are not listed.
    sex_error : float
        Chance that a recorded sex is wrong, for animals without young; in [0, 0.5).
    heterogametic : Sex
        Male in an XY species, female in a ZW species.
    second_division : float
        Parthenogenesis by terminal fusion: chance that a young of a dam with two different alleles has both;
        in [0, 2/3].
    unborn : frozenset of str
        Animals that died in the egg: `LocusEvidence.survival` does not count for them.
    """

    loci: Mapping[str, LocusEvidence]
    sex_error: float = 0.02
    heterogametic: Sex = Sex.MALE
    second_division: float = 0.3
    unborn: frozenset[str] = frozenset()

    @cached_property
    def hidden(self) -> tuple[tuple[str, str], ...]:
        """Animal and hiding locus of every counted record that may be hidden, each once."""
        return tuple(
            dict.fromkeys(
                (animal, record.hidden_by)
                for locus in self.loci.values()
                for animal, records in locus.records.items()
                for record in records
                if record.hidden_by and record.counted and record.hidden_by in self.loci
            )
        )


def two_allele_locus(key: str, allele: str, frequency: float) -> LocusEvidence:
    """Locus of the wild type and one allele without records; a start for checks and examples.

    Examples
    --------
    >>> two_allele_locus("clown", "clown", 0.002).frequencies.tolist()
    [0.998, 0.002]
    """
    return LocusEvidence(
        key=key,
        alleles=(WILD, allele),
        frequencies=np.array([1.0 - frequency, frequency]),
        survival=np.ones((2, 2)),
        hides=np.zeros((2, 2), dtype=bool),
    )
