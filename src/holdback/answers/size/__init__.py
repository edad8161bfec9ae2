"""Sizes of a collection as pages, commands and papers ask for them."""

from holdback.answers.size.line_odds import LineOdds
from holdback.answers.size.responses import LineResponse
from holdback.answers.size.sizes import Ranked, Sizes

__all__ = ["LineOdds", "LineResponse", "Ranked", "Sizes"]
