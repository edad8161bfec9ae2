"""Records that cannot be true together, and what to correct."""

from __future__ import annotations

from holdback.answers.conflicts.conflict import CODES, Conflict, Explanation, Kind
from holdback.answers.conflicts.finding import conflicts_of

__all__ = ["CODES", "Conflict", "Explanation", "Kind", "conflicts_of"]
