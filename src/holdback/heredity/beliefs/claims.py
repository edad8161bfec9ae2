"""What somebody says an animal carries, as likelihoods.

Notation: a claim gives chances c of no, one and two copies of an allele and holds with trust t. In an animal of unknown
descent the belief is to be t c + (1 - t) q, where q are the chances in the population, so the likelihood of a genotype
with k copies is t c[k] / q[k] + (1 - t).
"""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import NDArray

from holdback.heredity.beliefs.evidence import FloatArray
from holdback.heredity.beliefs.looks import BoolArray, frozen
from holdback.heredity.shorthand.reading import Copies
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, pair

IntArray = NDArray[np.int_]

MOST_TRUST = 0.995
"""No claim is trusted beyond this, so that records on young can always speak against it."""

_LEAST_SHARE = 1e-12
_NAMED_CHANCE = re.compile(r"(\d+) ?%")


def claim_likelihood(copies: Copies, trust: float, allele: int, population: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Likelihood of a claim on one allele, and where the claim is a mistake.

    Parameters
    ----------
    copies : tuple of three floats
        Claimed chances of no, one and two copies.
    trust : float
        Chance that the claim holds, in [0, 1]; cut at `MOST_TRUST`.
    allele : int
        Number of the allele.
    population : float array, shape (n, n)
        Hardy-Weinberg chances of the ordered genotypes; sums to 1.

    Returns
    -------
    likelihood : float array, shape (n, n)
        Up to a factor, above 0; read-only.
    wrong : bool array, shape (n, n)
        True at genotypes with a number of copies that the claim gives no chance.
    """
    held = min(trust, MOST_TRUST)
    number = copies_of(allele, len(population))
    share = np.array([population[number == k].sum() for k in range(3)])
    claimed = np.asarray(copies, dtype=float)
    by_copies = held * claimed / np.maximum(share, _LEAST_SHARE) + (1.0 - held)
    return frozen(by_copies[number]), frozen((claimed <= 0.0)[number])


def copies_of(allele: int, n_alleles: int) -> IntArray:
    """Number of copies of an allele in each genotype; int array, shape (n, n)."""
    has: IntArray = (np.arange(n_alleles) == allele).astype(int)
    return np.add.outer(has, has)


def claim_in_words(copies: Copies | None, source: str, name: str, allele: str, *, catalogue: Catalogue) -> str:
    """What a claim says, as a breeder would: "said to be 66 % het Piebald".

    Parameters
    ----------
    copies : tuple of three floats or None
        Claimed chances of no, one and two copies; None where not stated.
    source : str
        How the text said it ("66% het", "possible"); empty for a statement.
    name : str
        Trade name.
    allele : str
        Allele key.
    catalogue : Catalogue
        Species.
    """
    is_hidden = not catalogue.look(catalogue.alleles[allele].locus, pair(WILD, allele)).label
    if copies is None:
        return f"said to be possibly het {name}" if is_hidden else f"said to be possibly {name}"
    none, one, two = copies
    if none >= 1.0:
        return f"said to carry no {name}"
    if two > 0.0:
        return f"said to have two copies of {name}" if two >= 1.0 else f"said to have one or two copies of {name}"
    noun = f"het {name}" if is_hidden else name
    if one >= 1.0:
        return f"said to be {noun}"
    chance = _NAMED_CHANCE.match(source)
    percent = chance[1] if chance else str(int(100.0 * one + 1e-6))
    return f"said to be {percent} % {noun}" if is_hidden else f"said to be {noun} with a chance of {percent} %"
