"""Everything that pages and commands ask of goals and plans, each worked out when it is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from holdback.answers.decisions.goals import goals_of, kept_for_others
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.answers import Answers
    from holdback.answers.season import Season
    from holdback.decisions.goal import Goal, Target
    from holdback.decisions.stock import Stock

Progress = Callable[[float], None]
Cancelled = Callable[[], bool]


class Decisions:
    """Goals of one collection and the plans for them, as it stands on a day.

    Parameters
    ----------
    answers : Answers
        Beliefs, descent and sizes.
    season : Season
        The working year of the day.
    goals : mapping of str to Goal, optional
        Goals by key; those of the collection's open projects if left out.
    """

    def __init__(self, answers: Answers, season: Season, *, goals: Mapping[str, Goal] | None = None) -> None:
        self.answers = answers
        self.season = season
        self.catalogue = answers.catalogue
        self.goals = dict(goals) if goals is not None else goals_of(answers.collection)
        self._targets: dict[Goal, tuple[Target, ...]] = {}

    @cached_property
    def stock(self) -> Stock:
        """Animals at hand, with everything that plans ask of them."""
        from holdback.answers.decisions.stock import stock_of

        return stock_of(self.answers, self.season)

    def key_of(self, text: str) -> str:
        """Key of a project by its key or its name, whatever the case of the letters.

        Raises
        ------
        DecisionError
            DEC-140 if there is no such project.
        """
        asked = text.strip().casefold()
        for key, goal in self.goals.items():
            if asked in (key.casefold(), goal.name.casefold()):
                return key
        known = ", ".join(goal.name for goal in self.goals.values())
        hint = f"Open projects: {known}." if known else "Start one first."
        raise DecisionError(Fault("DEC-140", f"There is no open project {text.strip()!r}.", hint, value=text))

    def targets(self, goal: Goal) -> tuple[Target, ...]:
        """What a goal asks for, as the engine reads it.

        Raises
        ------
        DecisionError
            With everything that is wrong with it.
        """
        if goal not in self._targets:
            from holdback.decisions.wanting import targets_of

            self._targets[goal] = targets_of(
                goal, self.catalogue, lines=self.answers.descent.lines, this_season=self.stock.year
            )
        return self._targets[goal]

    def stock_for(self, key: str) -> Stock:
        """Animals that a project may use: all but those that are kept for another."""
        others = kept_for_others(self.goals, key)
        return self.stock.without(sorted(others)) if others else self.stock
