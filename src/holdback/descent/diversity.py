"""What is left of founders in the animals that are here, and who carries what is rare."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.contributions import gene_parts
from holdback.descent.kinship import kinship
from holdback.descent.pedigree import UNKNOWN, Pedigree

LITTLE = 0.5
"""Part of a founder's genes that one young alone keeps on average; less than this left is a loss under way."""

SEED = 20_000
"""Seed of the drops unless another is given."""

_BITS = 32
"""Founders followed at a time, two bits of a word each."""

_CELLS = 4_000_000
"""Words kept in memory at a time."""

Words = npt.NDArray[np.uint64]


@dataclass(frozen=True, slots=True)
class FounderStanding:
    """What is left of one founder in a cohort.

    Parameters
    ----------
    node : int
        Index of the founder.
    contribution : float
        Expected part of the cohort's genes that came from it, in [0, 1], itself included where it is a member.
    descendants : int
        Members that descend from it, or may, without itself.
    offspring_lines : int
        Its own young over which members descend from it, those that are members included.
    retained : float
        Part of its genes that the members other than itself are expected to hold, in [0, 1].
    retained_se : float
        Standard error of `retained`, by the number of drops.
    at_risk : bool
        Whether the loss of one animal or one brood could take most of what is left.
    why : str
        Why it is at risk, or is not.
    """

    node: int
    contribution: float
    descendants: int
    offspring_lines: int
    retained: float
    retained_se: float
    at_risk: bool
    why: str


def founder_standing(
    pedigree: Pedigree, founders: Sequence[int], cohort: Sequence[int], *, drops: int = 2000, seed: int = SEED
) -> dict[int, FounderStanding]:
    """What is left of founders in a cohort, such as the animals that are here.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    founders : sequence of int
        Indices; any nodes, also such as have parents or descend from each other.
    cohort : sequence of int
        Indices; may be empty.
    drops : int
        Gene drops at one locus; at least 2.
    seed : int
        Of the drops.

    Returns
    -------
    dict of int to FounderStanding
        By founder, in the order given.
    """
    members = frozenset(cohort)
    parts = gene_parts(pedigree, sorted(members)) if members else np.zeros(len(pedigree))
    kept = _retained(pedigree, list(dict.fromkeys(founders)), members, drops=drops, seed=seed)
    found = {}
    for node, (retained, error) in kept.items():
        descendants = len(members.intersection(pedigree.descendants([node])) - {node})
        lines = sum(1 for young in own_young(pedigree, node) if members.intersection(pedigree.descendants([young])))
        at_risk, why = _judged(node in members, descendants, lines, retained)
        found[node] = FounderStanding(
            node, float(parts[node]), descendants, lines, retained, error, at_risk=at_risk, why=why
        )
    return found


def mean_kinships(pedigree: Pedigree, cohort: Sequence[int]) -> tuple[tuple[int, float], ...]:
    """Mean kinship of each member of a cohort with all members, itself included, the lowest first.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    cohort : sequence of int
        Indices; may be empty.

    Returns
    -------
    tuple of (int, float)
        Index and mean kinship; who stands first carries most of what is rare here.
    """
    members = sorted(set(cohort))
    if not members:
        return ()
    means = kinship(pedigree, members).mean(axis=1)
    ranked = sorted(range(len(members)), key=lambda at: (means[at], members[at]))
    return tuple((members[at], float(means[at])) for at in ranked)


def _judged(is_member: bool, descendants: int, lines: int, retained: float) -> tuple[bool, str]:
    """Whether a founder is at risk, and why."""
    if not descendants:
        if is_member:
            return True, "Nobody here descends from it: when it goes, so does all it brought."
        return False, "Nothing of it is left here."
    if descendants == 1:
        return True, "One animal here descends from it."
    if lines == 1:
        return True, "All that descend from it here do so over one of its young."
    if retained < LITTLE:
        return True, "Less than half of its genes are expected to be left here."
    return False, "It lives on here over several of its young."


def own_young(pedigree: Pedigree, node: int) -> Iterator[int]:
    """Young of a node, those of a brood whose sire it may be included.

    Parameters
    ----------
    pedigree : Pedigree
        With nodes of any kind.
    node : int
        Index.

    Yields
    ------
    int
        Index of each.
    """
    stack = list(pedigree.young[node])
    while stack:
        young = stack.pop()
        if young in pedigree.candidates:
            stack.extend(pedigree.young[young])
        else:
            yield young


def _retained(
    pedigree: Pedigree, founders: list[int], members: frozenset[int], *, drops: int, seed: int
) -> dict[int, tuple[float, float]]:
    """Part of each founder's two copies that members other than itself hold: mean over drops and its standard error."""
    rng = np.random.default_rng(seed)
    found: dict[int, tuple[float, float]] = {}
    for start in range(0, len(founders), _BITS):
        some = founders[start : start + _BITS]
        below = frozenset(pedigree.descendants(some))
        nodes = [node for node in pedigree.ancestors(members) if node in below] if members else []
        size = max(1, _CELLS // max(1, 2 * len(nodes)))
        held = np.concatenate(
            [
                _held(pedigree, some, nodes, members, drops=min(size, drops - done), rng=rng)
                for done in range(0, drops, size)
            ]
        )
        for number, node in enumerate(some):
            values = held[:, number]
            found[node] = float(values.mean()), float(values.std(ddof=1) / np.sqrt(drops))
    return found


def _held(
    pedigree: Pedigree,
    founders: list[int],
    nodes: list[int],
    members: frozenset[int],
    *,
    drops: int,
    rng: np.random.Generator,
) -> npt.NDArray[np.float64]:
    """Part of each founder held, shape (drops, founders); bits 2 k and 2 k + 1 stand for the copies of the k-th."""
    nothing = np.zeros((2, drops), dtype=np.uint64)
    copies: dict[int, Words] = {}
    number = {node: at for at, node in enumerate(founders)}
    held = np.zeros((drops, len(founders)))
    everywhere = np.zeros((len(founders), drops), dtype=np.uint64)
    for node in nodes:
        mine = _copies(pedigree, node, copies, nothing, rng)
        if node in members:
            for at, founder in enumerate(founders):
                if founder != node:
                    everywhere[at] |= mine[0] | mine[1]
        if node in number:
            tags = np.array([[1 << 2 * number[node]], [2 << 2 * number[node]]], dtype=np.uint64)
            mine = mine | tags
        copies[node] = mine
    for at in range(len(founders)):
        both = everywhere[at] >> np.uint64(2 * at)
        held[:, at] = ((both & np.uint64(1)) + ((both >> np.uint64(1)) & np.uint64(1))) / 2.0
    return held


def _copies(pedigree: Pedigree, node: int, copies: dict[int, Words], nothing: Words, rng: np.random.Generator) -> Words:
    """Copies that a node gets, shape (2, drops); who is not among `copies` has nothing of the founders."""
    drops = nothing.shape[1]
    if node in pedigree.candidates:
        sires, weights = zip(*pedigree.candidates[node], strict=True)
        drawn = rng.choice(len(sires), size=drops, p=np.array(weights) / sum(weights))
        return np.stack([copies.get(one, nothing) for one in sires])[drawn, :, np.arange(drops)].T
    sire, dam = pedigree.parents[node].tolist()
    if sire == dam != UNKNOWN:
        of_dam = copies.get(dam, nothing)
        once = _drawn(of_dam, rng)
        return np.where(rng.random(drops) < pedigree.kept, of_dam, np.stack([once, once]))
    return np.stack([_drawn(copies.get(parent, nothing), rng) for parent in (sire, dam)])


def _drawn(copies: Words, rng: np.random.Generator) -> Words:
    """One of two copies, drop by drop."""
    drawn: Words = np.where(rng.random(copies.shape[1]) < 0.5, copies[0], copies[1])
    return drawn
