"""Which hatchlings to hold back: ranked by what each makes possible, for so many tubs."""

from holdback.decisions.holdbacks.as_json import as_json
from holdback.decisions.holdbacks.candidate import Candidate, Keeping, Project
from holdback.decisions.holdbacks.hold_backs import hold_backs
from holdback.decisions.holdbacks.result import ForSale, HoldBacks, Mind, ProjectGain, Ranked, Waiting
from holdback.decisions.holdbacks.selling import for_sale
from holdback.decisions.holdbacks.tools import Play, Search, Tools

__all__ = [
    "Candidate",
    "ForSale",
    "HoldBacks",
    "Keeping",
    "Mind",
    "Play",
    "Project",
    "ProjectGain",
    "Ranked",
    "Search",
    "Tools",
    "Waiting",
    "as_json",
    "for_sale",
    "hold_backs",
]
