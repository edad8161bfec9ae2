"""`holdback season`: where every female stands in the year, and what is to come."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from holdback.cli.output import print_json, print_wrapped
from holdback.cli.season_source import season_asked

if TYPE_CHECKING:
    from holdback.answers.season import Season
    from holdback.season.outlook import Fitness, Outlook, Window


def run(arguments: argparse.Namespace) -> int:
    """Print one paragraph a female, the places wanted, and who may breed."""
    from holdback.answers.season.as_json import season_as_json

    season = season_asked(arguments)
    if arguments.json:
        print_json(season_as_json(season))
        return 0
    print(f"Season {season.year}, as it stands on {season.on.isoformat()}")
    print()
    for outlook in season.outlooks:
        if arguments.all or _is_of_interest(outlook):
            _print_female(season, outlook)
    _print_room(season)
    _print_fitness(season, is_all=arguments.all)
    return 0


def _is_of_interest(outlook: Outlook) -> bool:
    """Whether anything is on record of her this season."""
    cycle = outlook.cycle
    return bool(cycle.together or cycle.follicles or cycle.ovulated or cycle.shed or cycle.has_laid or cycle.rests)


def _print_female(season: Season, outlook: Outlook) -> None:
    from holdback.answers.descent.names import listed, named
    from holdback.answers.season.words import day_words, in_ten

    cycle = outlook.cycle
    sires = listed(list(dict.fromkeys(named(season.collection, one.sire) for one in cycle.together)))
    print(f"{named(season.collection, cycle.dam)}{f' with {sires}' if sires else ''}: {outlook.step}")
    if cycle.laid:
        print(f"  laid {day_words(cycle.laid)}{f', clutch {cycle.clutch}' if cycle.clutch else ''}")
    elif not cycle.has_laid and outlook.laying:
        print_wrapped(
            f"lays this season in {in_ten(outlook.lays.mean / 100)} cases. {outlook.lays.ground}", indent="  "
        )
    for word, window in (
        ("sheds", outlook.shedding),
        ("lays", outlook.laying),
        ("hatches", outlook.hatching),
        ("young ready", outlook.ready),
    ):
        if window:
            _print_window(season, word, window)
    for law, word in ((outlook.eggs, "eggs"), (outlook.young, "young")):
        if law:
            low, high = law.window()
            print(f"  {word:<12}{law.mean:.1f} ({low} to {high})")
    for text in (outlook.advice, outlook.caution):
        if text:
            print_wrapped(text, indent="  ")
    print()


def _print_window(season: Season, word: str, window: Window) -> None:
    from holdback.answers.season.words import window_words

    days = window_words(window.law, today=season.on)
    print_wrapped(f"{word:<12}{days}, {window.estimate.basis}. {window.estimate.ground}", indent="  ")


def _print_room(season: Season) -> None:
    """The fullest week for eggs and for young."""
    load = season.load
    for weeks, places, what in (
        (load.eggs, load.egg_places, "egg places"),
        (load.young, load.tubs_free, "tubs for young"),
    ):
        if not weeks:
            continue
        peak = max(weeks, key=lambda one: (one.upper, one.expected))
        there = "nobody said how many there are" if places is None else f"{places} there"
        print_wrapped(
            f"Most {what} in the week of {peak.monday.isoformat()}: {peak.expected:.0f} expected, at most {peak.upper} "
            f"in nine seasons of ten; {there}."
        )
    print()


def _print_fitness(season: Season, *, is_all: bool) -> None:
    """Who may breed; of those who may not, the first reason."""
    from holdback.answers.descent.names import listed, named
    from holdback.season.outlook import Verdict

    may = [named(season.collection, one.animal) for one in season.fitness if one.verdict is Verdict.MAY]
    print_wrapped(f"May breed: {listed(may) or 'nobody'}.")
    rest: list[Fitness] = [one for one in season.fitness if one.verdict is not Verdict.MAY]
    for one in rest if is_all else [one for one in rest if one.verdict in {Verdict.STOP, Verdict.REST}]:
        reason = one.reasons[0].text if one.reasons else ""
        print_wrapped(f"{named(season.collection, one.animal)}: {one.verdict}. {reason}", indent="  ")
