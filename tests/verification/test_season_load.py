"""Places foretold hold for invented keepers, in a short form."""

from __future__ import annotations

from verification.season_load import scores


def test_scores__upper_numbers_are_passed_in_about_one_week_of_ten() -> None:
    """Of 24 keepers; weeks of one keeper go together, so that the error is some three in a hundred."""
    for score in scores(24).values():
        assert score.weeks > 300
        assert score.passed - 3 * score.error < 0.1 < score.reached + 3 * score.error
        assert 0.85 < score.ratio < 1.15
