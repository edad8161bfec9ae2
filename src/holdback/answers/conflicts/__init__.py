"""Records that cannot be true together, and what to correct."""

from __future__ import annotations

from holdback.answers.conflicts.conflict import CODES, Conflict, Explanation, Kind
from holdback.answers.conflicts.finding import conflicts_of
from holdback.answers.conflicts.scoring import Score, WrongRecord, score

__all__ = ["CODES", "Conflict", "Explanation", "Kind", "Score", "WrongRecord", "conflicts_of", "score"]
