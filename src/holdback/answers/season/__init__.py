"""The working year of one collection, for pages and commands."""

from holdback.answers.season.season import Season

__all__ = ["Season"]
