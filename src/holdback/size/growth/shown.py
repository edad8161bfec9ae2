"""How much of the adult deviation shows at hatching.

It multiplies what each animal has of its own. Sought together with those deviations at their joint mode it would come
out far too large, and the deviations too small: the more it is, the cheaper they are. So it is sought like a standard
deviation, at the mode of what the readings leave of it with the deviations integrated out.
"""

from __future__ import annotations

import numpy as np

from holdback.size.growth.columns import SHOWN, SHOWN_SD
from holdback.size.growth.equations import Moments, Solved
from holdback.size.growth.linearised import Curves, State
from holdback.size.growth.spread import Spread

STEP = 0.2
"""Largest move in one round."""


def shown_step(curves: Curves, spread: Spread, found: Solved, spreads: Moments, state: State) -> float:
    """One step of Fisher scoring towards the mode of the part that shows at hatching.

    Notes
    -----
    With a the adult deviation, w the own deviation at hatching and v its variance, the readings depend on the part
    only through what hatches, lambda a + w; so the slope of their log-likelihood is the sum of E[a w | y] / v (Fisher's
    identity).
    """
    data, columns = curves.data, curves.columns
    s = columns.n_shared
    who = np.flatnonzero(data.has_age & ~data.is_usual)
    row = np.zeros((len(who), s + columns.n_own))
    row[:, columns.lines] = data.shares[who]
    row[:, s - 2], row[:, s] = 1.0, 1.0
    by_row = np.matmul(row[:, None, :], spreads.variance[who])[:, 0]
    deviation = curves.deviation(state)[who]
    variance = found.absorbed.own_prior[who, 1]
    reliability = np.clip(1.0 - spreads.variance[who, s + 1, s + 1] / variance, 0.0, 1.0)
    score = np.sum((deviation * state.own[who, 1] + by_row[:, s + 1]) / variance)
    information = np.sum((deviation**2 + np.sum(by_row * row, axis=1)) * reliability / variance)
    prior = (columns.shown - SHOWN) / SHOWN_SD**2
    return float(np.clip((score - prior) / (information + 1.0 / SHOWN_SD**2), -STEP, STEP))
