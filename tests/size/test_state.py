"""What a keeper writes of the state an animal is weighed in, read loosely."""

from __future__ import annotations

import pytest

from holdback.size.state import state_of


@pytest.mark.parametrize(
    "state, words",
    [
        ("gravid", ["gravid", "Gravid!", "egg bound", "eggbound", "prelay", "pre-lay", "ovulating", "with eggs"]),
        ("after laying", ["after laying", "post lay", "postlay", "post-lay", "after clutch", "just laid", "off eggs"]),
        ("in shed", ["in shed", "In Shed", "pre shed", "in blue", "shedding", "opaque"]),
        ("fed", ["fed", "full", "just fed", "after meal", "post-feed? fed", "ate yesterday", "with a meal"]),
        ("empty", ["empty", "EMPTY ", "unfed", "not fed", "before feeding", "fasted 10 d", "empty, before a meal"]),
        ("", ["", "three readings", "new scale", "not gravid", "no eggs", "calm", "federal scale", "not in shed"]),
    ],
)  # fmt: skip
def test_state_of__words(state: str, words: list[str]) -> None:
    assert {word: state_of(word) for word in words} == dict.fromkeys(words, state)
