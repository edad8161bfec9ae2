"""`holdback calendar`: the season as an iCalendar file."""

from __future__ import annotations

import argparse
import datetime as dt
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from holdback.cli.output import print_json
from holdback.cli.season_source import season_asked
from holdback.errors import Fault, HoldbackError

if TYPE_CHECKING:
    from holdback.answers.season import Season
    from holdback.calendars.ical import Told

NAME = "Holdback season"


def run(arguments: argparse.Namespace) -> int:
    """Write the calendar to a file, in step with what that file said before, or to standard output."""
    season = season_asked(arguments)
    told = _told(season, arguments.target)
    if arguments.target:
        _write(Path(arguments.target), told)
    if arguments.json:
        print_json({"file": arguments.target or "", "entries": [_as_json(one) for one in told]})
    elif arguments.target:
        gone = sum(one.is_called_off for one in told)
        print(f"{len(told) - gone} entries, {gone} called off, in {arguments.target}.")
    else:
        from holdback.calendars.ical import calendar_bytes

        sys.stdout.write(calendar_bytes(told, name=NAME).decode())
    return 0


def _told(season: Season, target: str) -> tuple[Told, ...]:
    """What the calendar says now; the ids are the same whether the records come from a folder or the database."""
    from holdback.calendars.entries import entries_of
    from holdback.calendars.ical import told_in, told_now

    before = {}
    if target and Path(target).is_file():
        before = told_in(Path(target).read_bytes(), file=Path(target).name)
    return told_now(entries_of(season), before, now=dt.datetime.now(dt.UTC))


def _write(file: Path, told: tuple[Told, ...]) -> None:
    """Put the calendar in its place in one step."""
    from holdback.calendars.ical import calendar_bytes

    beside = file.with_name(f".{file.name}.new")
    try:
        beside.write_bytes(calendar_bytes(told, name=NAME))
        beside.replace(file)
    except OSError as fault:
        what = f"The calendar cannot be written ({fault.strerror})."
        raise HoldbackError(Fault("SEA-202", what, "Name a file in a folder that is there.", file=file.name)) from fault


def _as_json(one: Told) -> dict[str, object]:
    entry = one.entry
    return {
        "uid": entry.uid,
        "summary": entry.summary,
        "first": entry.first.isoformat(),
        "last": entry.last.isoformat(),
        "description": entry.text,
        "status": "CANCELLED" if one.is_called_off else str(entry.standing),
        "sequence": one.sequence,
    }
