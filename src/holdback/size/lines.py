"""Shares of a line as the evaluation of sizes takes them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class LineShares:
    """Expected share of one line in each node of a pedigree.

    Parameters
    ----------
    line : str
        Name.
    means : float array, shape (n_nodes,)
        Expected share, in [0, 1].
    variances : float array, shape (n_nodes,)
        Variance of the share of each node given the shares of its parents: doubt about a founder's claim (two ends,
        half and half) and chance in meiosis; 0 where neither is.
    """

    line: str
    means: FloatArray
    variances: FloatArray
