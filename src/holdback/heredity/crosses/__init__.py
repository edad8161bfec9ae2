"""Crosses: the exact distribution of the young of a pair, and how many eggs a wish takes."""

from holdback.heredity.crosses.clutch import EggCount, eggs_needed
from holdback.heredity.crosses.joint import odds_joint
from holdback.heredity.crosses.odds import odds, odds_mixture, spread_over_r
from holdback.heredity.crosses.result import (
    ENGINE_VERSION,
    Caution,
    HiddenGene,
    Odds,
    Outcome,
    TurnsOn,
    WantOdds,
)

__all__ = [
    "ENGINE_VERSION",
    "Caution",
    "EggCount",
    "HiddenGene",
    "Odds",
    "Outcome",
    "TurnsOn",
    "WantOdds",
    "eggs_needed",
    "odds",
    "odds_joint",
    "odds_mixture",
    "spread_over_r",
]
