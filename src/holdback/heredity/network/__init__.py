"""Exact inference on discrete factor graphs.

A `Graph` says which variables stand together, a `Plan` how to sum over all but some of them, and `Calibrated` holds the
answers. Nothing here knows genetics.

References
----------
Lauritzen & Spiegelhalter (1988), Local computations with probabilities on graphical structures.
"""

from holdback.heredity.network.calibrated import Calibrated
from holdback.heredity.network.collected import Collected
from holdback.heredity.network.elimination import TooWide, cost
from holdback.heredity.network.graph import Graph
from holdback.heredity.network.plan import Plan

__all__ = ["Calibrated", "Collected", "Graph", "Plan", "TooWide", "cost"]
