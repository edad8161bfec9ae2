"""What is known of one animal's genotype, locus by locus, and of two animals together.

Beliefs at different loci are independent here. Where they are not (a doubtful sire) the caller mixes over the states
that tie them together; two animals that share an unknown ancestor are told by what they may be together.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.species.model import WILD, Pair

WILD_PAIR: Pair = (WILD, WILD)
"""Two copies of the wild type."""


@dataclass(frozen=True, slots=True)
class GenotypeBelief:
    """Probabilities over the genotypes of one animal.

    Parameters
    ----------
    sex : Sex
        Sex of the animal.
    loci : mapping of str to mapping of Pair to float
        Locus key to probabilities over unordered pairs, each summing to 1. A locus not listed is wild type for sure.
    phase : mapping of str to float
        Sex-linked locus key to the probability that, in the heterogametic sex, the *second* allele of the sorted pair
        sits on the sex-limited chromosome (the Y of an XY species). Not listed: 0.5. Only pairs of two different
        alleles have a phase.
    basis : mapping of str to Basis
        Locus key to how its belief is known; not listed: `Basis.CLAIMED`.
    """

    sex: Sex = Sex.UNKNOWN
    loci: Mapping[str, Mapping[Pair, float]] = field(default_factory=dict)
    phase: Mapping[str, float] = field(default_factory=dict)
    basis: Mapping[str, Basis] = field(default_factory=dict)

    def at(self, locus: str) -> Mapping[Pair, float]:
        """Probabilities over the pairs of one locus; certain wild type where nothing is recorded."""
        return self.loci.get(locus, {WILD_PAIR: 1.0})

    def copies(self, locus: str, allele: str) -> tuple[float, float, float]:
        """Probabilities of no, one and two copies of an allele."""
        odds = [0.0, 0.0, 0.0]
        for alleles, probability in self.at(locus).items():
            odds[alleles.count(allele)] += probability
        return odds[0], odds[1], odds[2]


@dataclass(frozen=True, slots=True)
class ParentsJoint:
    """What a sire and a dam may be together, in one possible state of what several loci share.

    Parameters
    ----------
    weight : float
        Probability of that state, such as which of two males sired the dam's clutch.
    loci : mapping of str to mapping of (Pair, Pair) to float
        Locus key to probabilities over the sire's and the dam's unordered pair, each summing to 1. At a locus not
        listed both are wild type for sure. Loci are independent within a state.
    phase : mapping of str to float
        Phase of the heterogametic parent given its pair, as in `GenotypeBelief.phase`. Not listed: 0.5.

    Examples
    --------
    Two sibs, one copy each for sure or none in either:

    >>> het = ("+", "clown")
    >>> both = {(het, het): 0.5, (WILD_PAIR, WILD_PAIR): 0.5}
    >>> ParentsJoint(1.0, {"clown": both}).at("pied")
    {(('+', '+'), ('+', '+')): 1.0}
    """

    weight: float
    loci: Mapping[str, Mapping[tuple[Pair, Pair], float]] = field(default_factory=dict)
    phase: Mapping[str, float] = field(default_factory=dict)

    def at(self, locus: str) -> Mapping[tuple[Pair, Pair], float]:
        """Probabilities over the pairs of both at one locus; both wild type for sure where nothing is listed."""
        return self.loci.get(locus, {(WILD_PAIR, WILD_PAIR): 1.0})


@dataclass(frozen=True, slots=True)
class Wish:
    """What a young should be: accepted genotypes locus by locus, and a sex.

    Parameters
    ----------
    text : str
        The wish as typed.
    loci : mapping of str to frozenset of Pair
        Locus key to the pairs that will do; a locus not listed may be anything.
    sex : Sex
        `Sex.UNKNOWN` where either will do.
    """

    text: str
    loci: Mapping[str, frozenset[Pair]] = field(default_factory=dict)
    sex: Sex = Sex.UNKNOWN
