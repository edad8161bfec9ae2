"""Plans for the goals of a keeper, over the records of a collection."""

from holdback.answers.decisions.decisions import RUNS, Decisions

__all__ = ["RUNS", "Decisions"]
