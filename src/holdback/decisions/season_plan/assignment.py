"""Best pairs where every pair has a worth of its own and males have only their caps: an assignment problem."""

from __future__ import annotations

import numpy as np

from holdback.decisions.season_plan.plan_input import FloatArray, IntArray


def pair_up(worth: FloatArray, caps: IntArray) -> IntArray:
    """Pairs of the largest total worth, a female once and a male at most as often as his cap.

    Parameters
    ----------
    worth : float array, shape (n_males, n_females)
        Worth of each pair; pairs worth 0 or less, and those that are nan, are not made.
    caps : int array, shape (n_males,)
        Most pairs of each male.

    Returns
    -------
    int array, shape (n_pairs, 2)
        Places of sire and dam, by dam.

    Notes
    -----
    Each male stands in the assignment as often as his cap, but not more often than there are females for him, and an
    unmade pair counts 0. Solved by shortest augmenting paths as implemented in scipy.

    References
    ----------
    Crouse (2016), On implementing 2D rectangular assignment algorithms, IEEE Trans. Aerosp. Electron. Syst. 52:1679.
    """
    from scipy.optimize import linear_sum_assignment  # type: ignore[import-untyped]

    gain = np.where(worth > 0, worth, 0.0)
    copies = np.minimum(caps, (gain > 0).sum(axis=1))
    slot = np.repeat(np.arange(len(caps)), copies)
    dams, slots = linear_sum_assignment(gain[slot].T, maximize=True)
    made = gain[slot[slots], dams] > 0
    return np.column_stack([slot[slots[made]], dams[made]]).astype(np.int64)
