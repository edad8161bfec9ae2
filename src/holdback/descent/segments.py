"""Segments that a gene drop left, and what can be read from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

IntArray = npt.NDArray[np.int32]
IndexArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]

Seed = int | np.random.SeedSequence

PLACES = 2**32


@dataclass(frozen=True, slots=True)
class Simulated:
    """A mean over drops.

    Parameters
    ----------
    value : float
        Mean.
    standard_error : float
        Of the mean, by the spread between drops.
    """

    value: float
    standard_error: float

    @classmethod
    def mean(cls, drawn: FloatArray) -> Simulated:
        """Mean of one number from each drop."""
        return cls(float(drawn.mean()), float(drawn.std(ddof=1) / np.sqrt(len(drawn))))


@dataclass(frozen=True, eq=False)
class DroppedSegments:
    """Both haplotypes of some nodes in each drop, as segments of founder haplotypes.

    Founder haplotypes are numbered 2 x founder and 2 x founder + 1, with the founder's index in the pedigree; the
    unknown parent of a node i whose other parent is known counts as founder n + 2 i (sire) or n + 2 i + 1 (dam).

    Parameters
    ----------
    nodes : tuple of int
        Nodes asked for, k of them.
    founders : tuple of int
        Founders of those nodes.
    lengths, weights : float array, shape (c,)
        Morgans of each chromosome, and its part of the genome.
    starts : uint32 array
        Place at which each segment begins, in 2^32nd parts of its chromosome. Segments are sorted by replicate,
        chromosome, node, copy and place; neighbours differ.
    founder_haplotypes : int32 array
        Founder haplotype of each segment.
    ends : int64 array, shape (replicates, c, k, 2)
        One past the last segment of each list.
    seed : int or SeedSequence
        Of all random numbers.
    compiled : bool
        Whether the compiled drop made them: it draws other numbers by the same law.
    """

    nodes: tuple[int, ...]
    founders: tuple[int, ...]
    lengths: FloatArray
    weights: FloatArray
    starts: npt.NDArray[np.uint32]
    founder_haplotypes: IntArray
    ends: IndexArray
    seed: Seed
    compiled: bool

    @property
    def replicates(self) -> int:
        """Number of drops."""
        return len(self.ends)

    def haplotype(self, replicate: int, node: int, copy: int, chromosome: int) -> tuple[FloatArray, IntArray]:
        """Morgans at which the segments of one chromosome begin, and their founder haplotypes.

        Parameters
        ----------
        replicate, chromosome : int
            Which drop and chromosome.
        node : int
            One of `nodes`.
        copy : int
            0 from the sire, 1 from the dam.
        """
        end = int(self.ends[replicate, chromosome, self.nodes.index(node), copy])
        number = int(np.searchsorted(self.ends.ravel(), end - 1, side="right"))
        span = slice(int(self._begins[number]), end)
        morgans: FloatArray = self.starts[span].astype(np.float64) * (self.lengths[chromosome] / PLACES)
        return morgans, self.founder_haplotypes[span]

    def share_of(self, founder_haplotypes: Sequence[int]) -> FloatArray:
        """Part of the genome of each node that comes from some founder haplotypes, shape (replicates, k).

        Parameters
        ----------
        founder_haplotypes : sequence of int
            Numbers as above.
        """
        is_wanted = np.zeros(2 * max(self.founders) + 2, dtype=np.bool_)
        is_wanted[list(founder_haplotypes)] = True
        return self._summed(is_wanted[self.founder_haplotypes])

    def share_by(self, labels: npt.NDArray[np.bool_]) -> FloatArray:
        """Part of the genome of each node that comes from labelled founder haplotypes, shape (replicates, k).

        Parameters
        ----------
        labels : bool array, shape (replicates, f, c, 2)
            Whether each haplotype of each of `founders` is labelled, chromosome by chromosome; one replicate counts for
            all.
        """
        place_of = np.zeros(max(self.founders) + 1, dtype=np.int64)
        place_of[list(self.founders)] = np.arange(len(self.founders))
        by_haplotype = np.moveaxis(labels, 1, 2).reshape(len(labels) * len(self.weights), -1)
        each = np.diff(self.ends.ravel(), prepend=0).reshape(self.replicates * len(self.weights), -1).sum(axis=1)
        lists = np.repeat(np.arange(len(each)) % len(by_haplotype), each)
        haplotypes = 2 * place_of[self.founder_haplotypes >> 1] + (self.founder_haplotypes & 1)
        return self._summed(by_haplotype[lists, haplotypes])

    def _summed(self, counts: npt.NDArray[np.bool_]) -> FloatArray:
        """Part of each node that segments which count make up."""
        picked = np.flatnonzero(counts)
        lists = np.searchsorted(self.ends.ravel(), picked, side="right")
        by_list = np.bincount(lists, self._sizes(picked), self.ends.size).reshape(self.ends.shape)
        shares: FloatArray = np.einsum("rckh,c->rk", by_list, self.weights) / 2.0
        return shares

    def ibd(self, node: int) -> FloatArray:
        """Part of the genome on which both copies of a node are of one founder haplotype, shape (replicates,).

        Its mean is the coefficient of inbreeding.
        """
        first, second = (self._chosen(self.nodes.index(node), copy) for copy in range(2))
        keys = [self._keys[one] for one in (first, second)]
        cuts = np.unique(np.concatenate(keys))
        ids = [
            self.founder_haplotypes[one][np.searchsorted(key, cuts, side="right") - 1]
            for one, key in zip((first, second), keys, strict=True)
        ]
        lists = (cuts // PLACES).astype(np.int64)
        stretches = np.diff(cuts, append=np.uint64(self.replicates * len(self.weights) * PLACES)) / PLACES
        same = np.bincount(lists, np.where(ids[0] == ids[1], stretches, 0.0), self.replicates * len(self.weights))
        shares: FloatArray = same.reshape(self.replicates, -1) @ self.weights
        return shares

    def retained(self, cohort: Sequence[int]) -> FloatArray:
        """Part of each founder's two alleles that is still found in a cohort, mean over the genome.

        Parameters
        ----------
        cohort : sequence of int
            Some of `nodes`.

        Returns
        -------
        float array, shape (replicates, n_founders)
            In [0, 1], in the order of `founders`.
        """
        n = 2 * len(self.founders)
        place_of = np.zeros(2 * max(self.founders) + 2, dtype=np.uint64)
        place_of[[2 * one + copy for one in self.founders for copy in range(2)]] = np.arange(n)
        wanted = [self.nodes.index(one) for one in cohort]
        picked = np.concatenate([self._chosen(one, copy) for one in wanted for copy in range(2)])
        chromosomes = self._keys[picked] // np.uint64(PLACES)
        groups = chromosomes * np.uint64(n) + place_of[self.founder_haplotypes[picked]]
        # twice the room for each group, so that no segment reaches into the next
        begins = groups * np.uint64(2 * PLACES) + self.starts[picked]
        order = np.argsort(begins)
        begins = begins[order]
        reached = np.maximum.accumulate(begins + (self._sizes(picked)[order] * PLACES).astype(np.uint64))
        before = np.concatenate([begins[:1], reached[:-1]])
        new = (reached - np.minimum(np.maximum(begins, before), reached)) / PLACES
        shape = (self.replicates, len(self.weights), len(self.founders), 2)
        found = np.bincount(groups[order].astype(np.int64), new, int(np.prod(shape))).reshape(shape)
        shares: FloatArray = np.einsum("rcfh,c->rf", found, self.weights) / 2.0
        return shares

    @cached_property
    def _begins(self) -> IndexArray:
        return np.concatenate([[0], self.ends.ravel()[:-1]])

    def _sizes(self, picked: IndexArray) -> FloatArray:
        """Part of its chromosome that each of some segments covers."""
        # Every list begins at 0, so that what follows its last segment reads as 2^32; a segment of all is 0 then.
        sizes = self.starts.take(picked + 1, mode="wrap") - self.starts[picked]
        return np.where(sizes == 0, 1.0, sizes / PLACES)

    @cached_property
    def _keys(self) -> npt.NDArray[np.uint64]:
        """Replicate, chromosome and place of each segment as one number."""
        each = np.diff(self.ends.ravel(), prepend=0).reshape(self.replicates * len(self.weights), -1).sum(axis=1)
        lists = np.repeat(np.arange(len(each), dtype=np.uint64), each)
        return lists * np.uint64(PLACES) + self.starts

    def _chosen(self, place: int, copy: int) -> IndexArray:
        """Segments of one haplotype, in order."""
        ends = self.ends[:, :, place, copy].ravel()
        begins = self._begins.reshape(self.ends.shape)[:, :, place, copy].ravel()
        counts = ends - begins
        skipped = np.repeat(begins - np.concatenate([[0], np.cumsum(counts)[:-1]]), counts)
        chosen: IndexArray = np.arange(len(skipped)) + skipped
        return chosen


def founder_genomes(contributions: FloatArray, retained: FloatArray) -> Simulated:
    """Founder genome equivalents of a cohort by what is retained: 1 / sum(p^2 / r).

    Parameters
    ----------
    contributions : float array, shape (n_founders,)
        Expected share p of each founder in the cohort.
    retained : float array, shape (replicates, n_founders)
        As `DroppedSegments.retained` tells; r is its mean.

    Notes
    -----
    Not the same number as 1 / (2 mean kinship). A founder of which nothing was seen in any drop adds nothing: its p is
    at most 2 r, and p^2 / r at most 2 p. The standard error is by the delta method.

    References
    ----------
    Lacy (1989), Analysis of founder representation in pedigrees, Zoo Biology 8:111-123.

    Examples
    --------
    >>> founder_genomes(np.array([0.5, 0.5]), np.array([[1.0, 0.5], [0.5, 1.0]])).value
    1.5
    """
    mean = retained.mean(axis=0)
    seen = mean > 0.0
    p, r = contributions[seen], mean[seen]
    value = 1.0 / float((p**2 / r).sum())
    slopes = value**2 * p**2 / r**2
    spread = Simulated.mean(retained[:, seen] @ slopes).standard_error
    return Simulated(value, spread)
