"""Goals as sentences."""

from __future__ import annotations

import pytest

from holdback.decisions.goal import Budget, Goal, SizeAim, SizeWish
from holdback.decisions.goal_words import goal_limits, goal_sentence
from holdback.species.catalogue import load

FREE = 1.0


@pytest.mark.parametrize(
    "goal,sentence",
    [
        (
            Goal("Harbour", "female Clown Enchi", line="Ember", share_at_least=0.5, by=2031, budget=Budget(tubs=4)),
            "A Clown Enchi female, at least half Ember by pedigree, inbred no more than 12.5 %, by the 2031 season, "
            "on 4 tubs.",
        ),
        (Goal("Harbour", "het Clown Enchi", inbreeding_at_most=FREE), "An Enchi het Clown animal."),
        (Goal("Harbour", "Ivory", number=2, inbreeding_at_most=0.0), "Two Ivory animals, not inbred."),
        (Goal("Harbour", "Super Pinstripe", inbreeding_at_most=FREE), "A two-copy Pinstripe animal."),
        (
            Goal("Harbour", "Clown", ("Enchi", "Pastel", "Fire"), 2, "Spider Woma", inbreeding_at_most=FREE),
            "A Clown animal, with at least two of Enchi, Pastel and Fire, without Spider or Woma.",
        ),
        (
            Goal("Harbour", "Clown", ("Enchi", "Pastel"), 2, inbreeding_at_most=FREE),
            "A Clown Enchi Pastel animal.",
        ),
        (
            Goal("Harbour", "male", line="Ember", inbreeding_at_most=FREE, size=SizeWish(SizeAim.BIGGER)),
            "A male, of Ember as far as may be, the bigger the better.",
        ),
        (
            Goal("Harbour", "Clown", inbreeding_at_most=FREE, size=SizeWish(SizeAim.BAND, 1200.0, 1800.0)),
            "A Clown animal, 1,200 to 1,800 g grown.",
        ),
        (
            Goal(
                "Harbour",
                "Clown",
                line="Ember",
                share_at_least=0.375,
                inbreeding_at_most=FREE,
                size=SizeWish(SizeAim.BAND, 1500.0),
                budget=Budget(eggs=40, money=1200.0),
            ),
            "A Clown animal, at least 37.5 % Ember by pedigree, at least 1,500 g grown, within 40 eggs, "
            "for no more than 1,200.",
        ),
    ],
)
def test_goal_sentence(goal: Goal, sentence: str) -> None:
    assert "".join(piece.text for piece in goal_sentence(goal, load())) == sentence


def test_goal_sentence__what_was_chosen() -> None:
    goal = Goal("Harbour", "female Clown", by=2031)
    assert [piece.text for piece in goal_sentence(goal, load()) if piece.is_chosen] == ["Clown", "12.5 %", "2031"]


def test_goal_limits() -> None:
    assert goal_limits(Goal("Harbour", "Clown")) == (
        "A year sooner is worth 10 eggs to you.",
        "Nothing lethal or marked for welfare.",
    )
    assert goal_limits(Goal("Harbour", "Spider", year_worth_eggs=0.0, accepted=frozenset({"wobble"}))) == (
        "Nothing lethal, and nothing marked for welfare, but what you have spoken for.",
    )
