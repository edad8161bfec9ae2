"""How big animals are, and what of it they pass on: growth, breeding values, line effects."""

from holdback.size.evaluate import evaluate
from holdback.size.evaluation import AnimalSize, Compared, Hatchling, LineEffect, Sharpening, SizeEvaluation, Variances
from holdback.size.growth.curves_of import Range, YoungSize
from holdback.size.lines import LineShares

__all__ = [
    "AnimalSize",
    "Compared",
    "Hatchling",
    "LineEffect",
    "LineShares",
    "Range",
    "Sharpening",
    "SizeEvaluation",
    "Variances",
    "YoungSize",
    "evaluate",
]
