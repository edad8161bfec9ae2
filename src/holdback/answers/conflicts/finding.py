"""All conflicts of a collection, worst first."""

from __future__ import annotations

from holdback.answers.conflicts.candidates import Breeders
from holdback.answers.conflicts.conflict import CODES, Conflict
from holdback.answers.conflicts.papers import lethal_conflicts, paper_conflicts, text_conflicts
from holdback.answers.conflicts.search import conflicts_of_genes
from holdback.answers.conflicts.singles import line_conflicts
from holdback.answers.conflicts.tallies import tally_conflicts
from holdback.collection.collection import Collection
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.memory import Memory
from holdback.species.catalogue import Catalogue

_WHOLE = ("CNF-020", "CNF-023")
_PAPER = ("CNF-030", "CNF-031", "CNF-032")
_MILD = ("CNF-021", "CNF-022", "CNF-013", *_PAPER, "CNF-040")
"""Codes told after all others: nothing there contradicts itself."""


def conflicts_of(
    collection: Collection, catalogue: Catalogue, beliefs: Beliefs, *, memory: Memory | None = None
) -> tuple[Conflict, ...]:
    """Records that cannot all be true, each with what would explain it.

    Parameters
    ----------
    collection : Collection
        Checked records.
    catalogue : Catalogue
        Species with the keeper's own genes.
    beliefs : Beliefs
        Of the same collection.
    memory : Memory, optional
        Where plans are kept; that of the beliefs if none is given.

    Returns
    -------
    tuple of Conflict
        Worst first; findings that one explanation covers are one conflict.

    Notes
    -----
    Chances are posterior: prior times likelihood of every rival, all loci in play. Priors are those of the species
    file ("records"). The surest conflict is taken first and, if one explanation is likelier than not, what remains is
    asked again as if that were corrected, so that one wrong parent is not told many times. Parts of the pedigree that
    are sampled are searched for wrong looks and claims, not for wrong parents.
    """
    breeders = Breeders(collection, catalogue, beliefs.family)
    found, corrected = conflicts_of_genes(collection, catalogue, beliefs, breeders, memory or beliefs.memory)
    found += text_conflicts(collection, catalogue)
    found += lethal_conflicts(collection, catalogue, beliefs)
    found += line_conflicts(collection, catalogue, beliefs)
    found += _papers_left(list(paper_conflicts(collection, catalogue, corrected)), found)
    found += tally_conflicts(collection, beliefs.family, breeders)
    order = list(CODES)
    return tuple(sorted(found, key=lambda one: (one.code in _MILD, -one.chance, order.index(one.code), one.animals)))


def _papers_left(papers: list[Conflict], told: list[Conflict]) -> list[Conflict]:
    """Percentages that no other conflict explains already."""
    explained = {
        (animal, one.locus) for one in told if one.code in (*_WHOLE, "CNF-010", "CNF-011") for animal in one.animals
    }
    return [one for one in papers if not any((animal, one.locus) in explained for animal in one.animals)]
