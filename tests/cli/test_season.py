"""`season`, `due` and `calendar` as a new user runs them, on the demo's folder and on bad input."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from icalendar import Calendar

from holdback.cli import main
from holdback.demo_data import LAST_DAY, folder

FROM = ["--from", str(folder() / "collection"), "--on", LAST_DAY.isoformat()]


def test_season__json_has_the_promised_keys(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["season", *FROM, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["season"], answer["on"]) == (2026, "2026-05-14")
    females = {one["animal"]: one for one in answer["females"]}
    assert females["22-11"]["laying"]["first"] > "2026-05-14"
    assert females["22-11"]["laying"]["last"] < females["22-11"]["hatching"]["first"]
    assert females["17-02"]["step"] == "laid"
    assert females["17-02"]["laying"] is None
    clutch = answer["clutches"]["26-01"]
    assert clutch["laid"] == clutch["alive"] + clutch["lost"] + clutch["slugs"] + clutch["not_known"] == 8
    assert len(answer["room"]["eggs"]) > 10
    assert all(week["upper_90"] >= int(week["expected"]) for week in answer["room"]["eggs"])
    assert {one["verdict"] for one in answer["may_breed"].values()} <= {
        "may breed", "not yet", "rest", "stop", "not known",
    }  # fmt: skip


def test_season__reads_natural(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["season", *FROM]) == 0
    printed = capsys.readouterr().out
    assert "Season 2026" in printed
    assert "Umber 22-11 with Ledger 22-05: ovulated" in printed
    assert "Most egg places" in printed
    assert "May breed:" in printed


def test_due__late_things_come_first_and_keys_are_unique(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["due", *FROM, "--days", "14", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    keys = [one["key"] for one in answer["due"]]
    assert len(keys) == len(set(keys)) > 10
    assert all(one["first"] <= "2026-05-28" for one in answer["due"])
    assert answer["prey"]
    assert main(["due", *FROM]) == 0
    printed = capsys.readouterr().out
    assert printed.index("Late:") < printed.index("Today:")
    assert "Prey wanted:" in printed


def test_calendar__is_brought_up_to_date_under_the_same_ids(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "season.ics"
    assert main(["calendar", str(file), *FROM]) == 0
    first = {str(one["uid"]): one for one in Calendar.from_ical(file.read_bytes()).walk("VEVENT")}
    assert main(["calendar", str(file), *FROM[:2], "--on", "2026-05-19"]) == 0
    later = {str(one["uid"]): one for one in Calendar.from_ical(file.read_bytes()).walk("VEVENT")}
    assert first.keys() <= later.keys()
    changed = [uid for uid in first if int(later[uid]["sequence"]) == 1]
    assert changed
    assert all(first[uid].to_ical() == later[uid].to_ical() for uid in first if int(later[uid]["sequence"]) == 0)
    capsys.readouterr()
    assert main(["calendar", *FROM]) == 0
    assert capsys.readouterr().out.startswith("BEGIN:VCALENDAR")


def test_calendar__leaves_a_file_of_another_program_as_it_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "other.ics"
    file.write_text("BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//other//EN\nEND:VCALENDAR\n")
    before = file.read_bytes()
    assert main(["calendar", str(file), *FROM]) == 1
    assert "SEA-201" in capsys.readouterr().err
    assert file.read_bytes() == before
    assert main(["calendar", str(tmp_path / "none" / "x.ics"), *FROM]) == 1
    assert "SEA-202" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["season", "due", "calendar"])
def test_commands__a_day_that_is_none_is_refused(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command, *FROM[:2], "--on", "14 May"]) == 1
    assert "SEA-102" in capsys.readouterr().err
