"""Exact inference on discrete factor graphs.

A `Graph` says which variables stand together, a `Plan` how to sum over all but some of them, and `Calibrated` holds the
answers. Where the tables would be too large, a `Sampler` estimates them. Nothing here knows genetics.

References
----------
Lauritzen & Spiegelhalter (1988), Local computations with probabilities on graphical structures.
"""

from holdback.heredity.network.calibrated import Calibrated
from holdback.heredity.network.collected import Collected
from holdback.heredity.network.elimination import TooWide, cost
from holdback.heredity.network.graph import Graph
from holdback.heredity.network.plan import Plan
from holdback.heredity.network.sampling import LOOSE, STRICT, Cancelled, NoStartError, Rule, Sampled, Sampler

__all__ = [
    "LOOSE",
    "STRICT",
    "Calibrated",
    "Cancelled",
    "Collected",
    "Graph",
    "NoStartError",
    "Plan",
    "Rule",
    "Sampled",
    "Sampler",
    "TooWide",
    "cost",
]
