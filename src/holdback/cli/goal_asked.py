"""The goal that a command is asked about: a project on record, or a wish typed with it."""

from __future__ import annotations

import argparse
import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING

from holdback.answers.season.words import day_asked
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.decisions import Decisions
    from holdback.decisions.goal import Goal

TYPED = "the wish"
"""Key of the goal that was typed."""


def decisions_asked(arguments: argparse.Namespace) -> Decisions:
    """Goals and plans by ``--from`` and ``--on``.

    Raises
    ------
    HoldbackError
        SEA-102 if the day is no date, or as reading the records raises.
    """
    if arguments.folder is None:
        from holdback.cli.sources import start_django

        start_django()
        from holdback.bridge.decisions import decisions_of_records
        from holdback.web.records import clock

        return decisions_of_records(day_asked(arguments.on) or clock.today())
    from holdback.answers import Answers
    from holdback.answers.season.room import room_of
    from holdback.cli.sources import collection_from
    from holdback.species.catalogue import load

    collection = collection_from(arguments.folder)
    day = day_asked(arguments.on) or dt.date.today()  # noqa: DTZ011 - the day where the keeper sits
    return Answers(collection, load(collection.species)).decisions(day, room=room_of(collection, day))


def goal_asked(arguments: argparse.Namespace) -> tuple[Decisions, str]:
    """Goals and plans, and the key of the goal that is asked about.

    Raises
    ------
    HoldbackError
        DEC-140 if there is no such project, DEC-143 if neither a project nor a wish is named, DEC-144 if the share
        cannot be read; as `decisions_asked` raises.
    """
    decisions = decisions_asked(arguments)
    project = getattr(arguments, "project", "") or ""
    if project:
        key = decisions.key_of(project)
        changed = _changed(decisions.goals[key], arguments)
        if changed == decisions.goals[key]:
            return decisions, key
        return decisions.with_goals({**decisions.goals, key: changed}), key
    if not arguments.want.strip() and not arguments.share.strip():
        raise DecisionError(Fault("DEC-143", "Nothing is wanted.", "Name a project, or say what with --want."))
    from holdback.decisions.goal import Goal

    goal = _changed(Goal(name=arguments.want.strip() or arguments.share.strip(), want=arguments.want), arguments)
    return decisions.with_goals({TYPED: goal}), TYPED


def _changed(goal: Goal, arguments: argparse.Namespace) -> Goal:
    """The goal with what was typed in place of what it says."""
    if arguments.share.strip():
        line, share = share_asked(arguments.share)
        goal = replace(goal, line=line, share_at_least=share)
    if arguments.by is not None:
        goal = replace(goal, by=arguments.by)
    if arguments.inbreeding is not None:
        goal = replace(goal, inbreeding_at_most=arguments.inbreeding)
    if arguments.accept:
        goal = replace(goal, accepted=goal.accepted | frozenset(arguments.accept))
    return goal


def share_asked(text: str) -> tuple[str, float]:
    """Line and least share from ``LINE>=0.5``.

    Raises
    ------
    DecisionError
        DEC-144 if it cannot be read.

    Examples
    --------
    >>> share_asked("Marrowfen >= 0.5")
    ('Marrowfen', 0.5)
    """
    line, sign, share = text.partition(">=")
    try:
        value = float(share)
    except ValueError:
        value = -1.0
    if not sign or not line.strip() or not 0 <= value <= 1:
        hint = 'Write the line and the least share, as in "Marrowfen>=0.5".'
        raise DecisionError(Fault("DEC-144", f"The share {text!r} was not read.", hint, field="share", value=text))
    return line.strip(), value
