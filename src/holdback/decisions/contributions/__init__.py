"""How much each animal of a line should give to the next generation, and the litters that come nearest to it."""

from holdback.decisions.contributions.frontier import frontier
from holdback.decisions.contributions.litters import LitterLimits, Litters, least_litters, litters
from holdback.decisions.contributions.optimum import (
    Contributions,
    contributions,
    kinship_limit,
    least_inbreeding,
    most_gain,
)

__all__ = [
    "Contributions",
    "LitterLimits",
    "Litters",
    "contributions",
    "frontier",
    "kinship_limit",
    "least_inbreeding",
    "least_litters",
    "litters",
    "most_gain",
]
