"""Play a plan forward many times: chances by year, what it takes, how it fails, and plans held against each other.

`rehearse` plays one plan, `compare` several on the same luck. The rules of play stand in `mating` and `choosing`.
"""

from holdback.decisions.rehearsal.failing import Failure
from holdback.decisions.rehearsal.rehearse import compare, rehearse
from holdback.decisions.rehearsal.result import Comparison, Difference, Mean, Rehearsal, Season, Spread, StepUse
from holdback.decisions.rehearsal.setting import Costs

__all__ = [
    "Comparison",
    "Costs",
    "Difference",
    "Failure",
    "Mean",
    "Rehearsal",
    "Season",
    "Spread",
    "StepUse",
    "compare",
    "rehearse",
]
