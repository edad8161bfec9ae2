"""Alleles dropped down a pedigree along whole chromosomes: what an animal really got, not only what is expected.

Crossovers are a Poisson process (no interference; Haldane 1919). Every kind of node is gone through: animals with two
parents, with one or none known, without a sire (see `DropPlan.switching`), and sires of which there are several
candidates: in each drop one of them is drawn.

Small jobs are done in plain NumPy; large ones by the compiled drop where numba is installed. Both draw by the same law,
but not the same numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib.util import find_spec
from typing import TYPE_CHECKING, Protocol

import numpy as np
import numpy.typing as npt

from holdback.descent.drop_bits import ALL, drop_bits
from holdback.descent.drop_plan import DropPlan
from holdback.descent.drop_segments import Flat, drop_segments_plain
from holdback.descent.pedigree import UNKNOWN, Pedigree
from holdback.descent.segments import DroppedSegments, Seed

if TYPE_CHECKING:
    from holdback.descent.genome import GenomeMap

FloatArray = npt.NDArray[np.float64]

LARGE_BITS, LARGE_SEGMENTS = 1_000_000, 100_000
"""Nodes times drops from which the compiled drop is worth loading."""
_BATCH = 50_000
"""Nodes times drops kept in memory at a time."""


class Founding(Protocol):
    """What a founder may be of a line; see `shares.LineFounder`."""

    @property
    def low(self) -> float:
        """Its share at one end."""

    @property
    def high(self) -> float:
        """Its share at the other."""

    @property
    def weight_high(self) -> float:
        """Chance of the higher end."""


def drop_segments(
    pedigree: Pedigree,
    genome: GenomeMap,
    *,
    replicates: int,
    seed: Seed,
    nodes: Sequence[int] | None = None,
    fast: bool | None = None,
) -> DroppedSegments:
    """Exact segments of founder haplotypes in both copies of some nodes.

    Parameters
    ----------
    pedigree : Pedigree
        Who descends from whom.
    genome : GenomeMap
        Chromosomes.
    replicates : int
        Number of drops, at least 1.
    seed : int or SeedSequence
        Of all random numbers; the same seed gives the same drops on the same path.
    nodes : sequence of int, optional
        Nodes wanted; all if not given. Memory is about 8 bytes a segment.
    fast : bool, optional
        True for the compiled drop, False for plain NumPy; chosen by size if not given.

    Raises
    ------
    ModuleNotFoundError
        If the compiled drop is asked for and numba is not installed.
    """
    plan = DropPlan.of(pedigree, nodes)
    lengths, weights = np.array(genome.lengths), np.array(genome.weights)
    compiled = _is_compiled(fast, len(plan) * replicates, LARGE_SEGMENTS)
    made: list[Flat] = []
    for number, child in _batches(replicates, len(plan), seed):
        if compiled:
            from holdback.descent.drop_segments_fast import drop_segments_fast

            made.append(drop_segments_fast(plan, lengths, number, child))
        else:
            made.append(drop_segments_plain(plan, lengths, number, np.random.default_rng(child)))
    before = np.cumsum([0, *(len(one[0]) for one in made)])
    return DroppedSegments(
        tuple(plan.node[plan.asked].tolist()),
        tuple(plan.node[plan.founders].tolist()),
        lengths,
        weights,
        np.concatenate([one[0] for one in made]),
        np.concatenate([one[1] for one in made]),
        np.concatenate([one[2] + skipped for one, skipped in zip(made, before, strict=False)]).reshape(
            replicates, len(lengths), len(plan.asked), 2
        ),
        seed,
        compiled,
    )


def drop_shares(
    pedigree: Pedigree,
    genome: GenomeMap,
    line_haplotype_chances: Mapping[int, Founding],
    *,
    replicates: int,
    seed: Seed,
    nodes: Sequence[int] | None = None,
    fast: bool | None = None,
) -> FloatArray:
    """Share of a line in some nodes, drop by drop; 64 evenly spaced markers on each chromosome.

    Parameters
    ----------
    pedigree : Pedigree
        Who descends from whom.
    genome : GenomeMap
        Chromosomes.
    line_haplotype_chances : mapping of int to Founding
        By founder: the two ends of its share of the line, of which one is drawn in each drop. The entry -1 is for
        parents that are not known, each drawn by itself. Who is left out has nothing of the line.
    replicates, seed, nodes, fast
        As in `drop_segments`.

    Returns
    -------
    float array, shape (replicates, k)
        In [0, 1].

    Notes
    -----
    A founder with a share s of the line has, on each chromosome by itself, one haplotype of the line with chance 2 s
    and the other not of it where s is at most 1/2; else one of the line and the other with chance 2 s - 1. Markers
    stand so close that the spread of a share is too large by less than one part in a thousand.
    """
    plan = DropPlan.of(pedigree, nodes)
    lengths, weights = np.array(genome.lengths), np.array(genome.weights)
    unknown = line_haplotype_chances.get(UNKNOWN)
    foundings = [
        line_haplotype_chances.get(one, unknown if one >= len(pedigree) else None)
        for one in plan.node[plan.founders].tolist()
    ]
    compiled = _is_compiled(fast, len(plan) * replicates, LARGE_BITS)
    made = [np.empty((0, len(plan.asked)))]
    for number, child in _batches(replicates, len(plan), seed):
        of_founders, of_meioses = child.spawn(2)
        labels = founder_labels(foundings, number, len(lengths), np.random.default_rng(of_founders))
        words = np.where(labels, ALL, np.uint64(0))
        if compiled:
            from holdback.descent.drop_bits_fast import drop_bits_fast

            made.append(drop_bits_fast(plan, lengths, weights, words, of_meioses))
        else:
            made.append(drop_bits(plan, lengths, weights, words, np.random.default_rng(of_meioses)))
    return np.concatenate(made)


def founder_labels(
    foundings: Sequence[Founding | None], replicates: int, chromosomes: int, rng: np.random.Generator
) -> npt.NDArray[np.bool_]:
    """Which haplotypes of founders are of the line, shape (replicates, f, c, 2).

    Parameters
    ----------
    foundings : sequence of Founding or None
        What each founder may be; None has nothing of the line.
    replicates, chromosomes : int
        How many.
    rng : Generator
        Random numbers.

    Notes
    -----
    See `drop_shares`.
    """
    lows, highs, weights = (
        np.array([getattr(one, name) if one else 0.0 for one in foundings]) for name in ("low", "high", "weight_high")
    )
    shares = np.where(rng.random((replicates, len(foundings))) < weights, highs, lows)[:, :, None]
    draws = rng.random((replicates, len(foundings), chromosomes))
    of_each = np.minimum(2.0 * shares, 1.0), np.maximum(2.0 * shares - 1.0, 0.0)
    of_line: npt.NDArray[np.bool_] = np.stack([draws < chance for chance in of_each], axis=3)
    return of_line


def _batches(replicates: int, nodes: int, seed: Seed) -> list[tuple[int, np.random.SeedSequence]]:
    """Drops done at a time, each batch with a seed of its own."""
    given = seed if isinstance(seed, np.random.SeedSequence) else np.random.SeedSequence(seed)
    # a copy, as spawning changes what is spawned from
    root = np.random.SeedSequence(given.entropy, spawn_key=given.spawn_key)
    size = max(1, _BATCH // max(1, nodes))
    sizes = [min(size, replicates - done) for done in range(0, replicates, size)]
    return list(zip(sizes, root.spawn(len(sizes)), strict=True))


def _is_compiled(fast: bool | None, work: int, large: int) -> bool:
    return fast if fast is not None else work >= large and find_spec("numba") is not None
