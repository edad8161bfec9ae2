"""Chance that nothing at all is left of a line on a haplotype, or that nothing else is.

After t backcrosses a place is of the donor while t crossing-over processes, each on or off with rate 1 a Morgan, are
all on. A chromosome is clear if that never happens along it: a birth-death chain on how many are on, cut off at t. For
other ways of descent t is taken from how fast the line ends along the chromosome, and the chance of each process to be
on from the expected share, so that both are met; for backcrosses this is exact.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from holdback.descent.genome import GenomeMap

FloatArray = npt.NDArray[np.float64]

MATTERS_BELOW = 0.3
"""Expected share of a haplotype above which nobody is clear of the line on every chromosome."""
_MOST_PROCESSES = 24


def chance_clear(mean: FloatArray, ending: FloatArray, genome: GenomeMap) -> FloatArray:
    """Chance that a haplotype has nothing of the line on any chromosome.

    Parameters
    ----------
    mean : float array, any shape
        Expected share of the haplotype, in [0, 1].
    ending : float array, the same shape
        Chance a Morgan that a stretch of the line ends: ``-dW/dr`` at r = 0, of the haplotype.
    genome : GenomeMap
        Chromosomes; its doubt about the map plays no part.

    Returns
    -------
    float array
        0 where the expected share is above `MATTERS_BELOW`.
    """
    found = np.zeros(mean.shape)
    found[mean <= 0.0] = 1.0
    matters = (mean > 0.0) & (mean < MATTERS_BELOW)
    rate = np.where(matters, ending / np.where(matters, mean, 1.0), 0.0)
    processes = np.clip(np.rint(rate), 1, _MOST_PROCESSES).astype(np.int64)
    for count in np.unique(processes[matters]).tolist():
        here = matters & (processes == count)
        found[here] = _clear(mean[here], rate[here], count, genome)
    return found


def _clear(mean: FloatArray, rate: FloatArray, count: int, genome: GenomeMap) -> FloatArray:
    """The same for one number of processes, shape (k,)."""
    on = mean ** (1.0 / count)
    off_rate = rate / count
    on_rate = off_rate * on / (1 - on)
    j = np.arange(count)
    ways = np.array([math.comb(count, one) for one in range(count)], dtype=np.float64)
    start = ways * on[:, None] ** j * (1 - on[:, None]) ** (count - j)
    # In terms of sqrt(start) the chain is symmetric, so its exponential comes from real eigenvalues.
    diagonal = -(j * off_rate[:, None] + (count - j) * on_rate[:, None])
    beside = np.sqrt(on_rate * off_rate)[:, None] * np.sqrt((count - j[:-1]) * (j[:-1] + 1))
    chain = np.zeros((len(mean), count, count))
    chain[:, j, j] = diagonal
    chain[:, j[:-1], j[1:]] = chain[:, j[1:], j[:-1]] = beside
    values, vectors = np.linalg.eigh(chain)
    along = np.einsum("kj,kji->ki", np.sqrt(start), vectors) ** 2
    log_clear = np.zeros(len(mean))
    for length in genome.lengths:
        log_clear += np.log(np.sum(along * np.exp(values * length), axis=1))
    return np.exp(log_clear)
