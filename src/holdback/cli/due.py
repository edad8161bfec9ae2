"""`holdback due`: what is late, and what falls due soon."""

from __future__ import annotations

import argparse
import datetime as dt
from typing import TYPE_CHECKING

from holdback.cli.output import print_json, print_wrapped
from holdback.cli.season_source import season_asked

if TYPE_CHECKING:
    from holdback.answers.season import Season
    from holdback.season.outlook import DueItem


def run(arguments: argparse.Namespace) -> int:
    """Print what is to be done, late things first, and the prey wanted."""
    from holdback.answers.season.as_json import due_as_json

    season = season_asked(arguments)
    if arguments.json:
        print_json(due_as_json(season, days=arguments.days))
        return 0
    last = season.on + dt.timedelta(days=arguments.days)
    found = [one for one in season.due if one.first <= last]
    late = [one for one in found if one.last < season.on]
    today = [one for one in found if one.first <= season.on <= one.last]
    soon = [one for one in found if one.first > season.on]
    for title, items in (("Late", late), ("Today", today), (f"In the next {arguments.days} days", soon)):
        if items:
            print(f"{title}: {len(items)}")
            _print(season, items)
            print()
    if not found:
        print_wrapped("Nothing is due.")
    _print_prey(season, last)
    return 0


def _print(season: Season, items: list[DueItem]) -> None:
    """One line for each thing; feeding is drawn together."""
    from holdback.answers.season.words import span_words, subject_words

    for item in items:
        who = subject_words(season.collection, item.subject, is_clutch=item.is_clutch)
        days = span_words(item.first, item.last, today=season.on)
        print_wrapped(f"{days}: {who}, {item.kind}. {item.text}", indent="  ")


def _print_prey(season: Season, last: dt.date) -> None:
    """Prey wanted by then."""
    needs = season.prey(season.on, last)
    if needs:
        said = ", ".join(f"{one.count} of {one.low_g:.0f} to {one.high_g:.0f} g" for one in needs)
        print_wrapped(f"Prey wanted: {said}.")
