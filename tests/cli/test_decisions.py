"""Mates, routes, rehearsals and the season plan in the terminal, on the demo and on bad input."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

import pytest

from holdback.cli import main

DEMO = ["--from", str(files("holdback.demo_data") / "collection"), "--on", "2026-05-14"]


def answer(capsys: pytest.CaptureFixture[str], *command: str) -> dict[str, Any]:
    assert main([*command, *DEMO, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert isinstance(found, dict)
    return found


def refused(capsys: pytest.CaptureFixture[str], *command: str) -> str:
    assert main([*command, *DEMO]) != 0
    return capsys.readouterr().err


def test_mates__ranked_with_reasons(capsys: pytest.CaptureFixture[str]) -> None:
    found = answer(capsys, "mates", "Umber", "--project", "Big Clown")
    free = [one for one in found["mates"] if not one["blocked"]]
    assert [one["score"] for one in free] == sorted((one["score"] for one in free), reverse=True)
    assert all(one["reasons"] for one in free[:5])
    by_mate = {one["mate"]: one for one in found["mates"]}
    assert "inbred" in by_mate["22-07"]["blocked"]  # her brother
    assert main(["mates", "Umber", "--project", "Big Clown", *DEMO]) == 0
    assert "Ledger 22-05" in capsys.readouterr().out


def test_mates__by_a_wish_as_the_pair_page_has_it(capsys: pytest.CaptureFixture[str]) -> None:
    """Chance per young of a plain wish is that of `holdback odds`."""
    found = answer(capsys, "mates", "22-11", "--want", "Clown Enchi")
    ledger = next(one for one in found["mates"] if one["mate"] == "22-05")
    assert main(["odds", "22-05", "22-11", "--want", "Clown Enchi", *DEMO[:2], "--json"]) == 0
    odds = json.loads(capsys.readouterr().out)
    assert ledger["per_hatchling"] == pytest.approx(odds["want"]["per_hatchling"], abs=1e-6)


def test_route_and_rehearse__say_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    route = answer(capsys, "route", "big-clown", "--runs", "500", "--seed", "3")
    played = answer(capsys, "rehearse", "Big Clown", "--runs", "500", "--seed", "3")
    assert route["rehearsal"]["reached_by_year"] == played["reached_by_year"]
    assert route["chance"] == played["reached_by_year"]["2030"]["mean"]
    assert route["steps"][-1]["is_goal"]
    assert {"year", "sire", "dam", "keep", "eggs", "chance"} <= route["steps"][0].keys()
    again = answer(capsys, "rehearse", "Big Clown", "--runs", "500", "--seed", "3", "--workers", "2")
    assert again["reached_by_year"] == played["reached_by_year"]


def test_route__a_limit_given_stands_in_place_of_the_projects(capsys: pytest.CaptureFixture[str]) -> None:
    free = answer(capsys, "route", "big-clown", "--share", "Marrowfen>=0", "--runs", "250")
    bound = answer(capsys, "route", "big-clown", "--runs", "250")
    assert free["searched"]["by_season"][4] >= bound["searched"]["by_season"][4] - 1e-9


@pytest.mark.parametrize("extra", [[], ["--mean", "--reserve", "1"]])
def test_season_plan__each_female_once_and_locks_stay(capsys: pytest.CaptureFixture[str], extra: list[str]) -> None:
    found = answer(capsys, "season", "plan", "--lock", "20-07:19-01", *extra)
    dams = [one["dam"] for one in found["pairings"]]
    assert len(dams) == len(set(dams))
    assert ("20-07", "19-01") in {(one["sire"], one["dam"]) for one in found["pairings"]}
    assert not {one["dam"] for one in found["left_out"]} & set(dams)
    assert found["optimal"]
    assert "welfare-neurological:hidden-gene-woma" in found["without_plan"]["banded-giants"]


def test_season_plan__what_limits_cost(capsys: pytest.CaptureFixture[str]) -> None:
    found = answer(capsys, "season", "plan", "--prices")
    assert all(one["gain"] >= 0 and one["sentence"] for one in found["prices"])


@pytest.mark.parametrize(
    "command, code",
    [
        (["mates", "22-11", "--want", "Foo"], "DEC-001"),
        (["mates", "nobody", "--want", "Clown"], "DEC-020"),
        (["mates", "22-11"], "DEC-143"),
        (["route", "no such"], "DEC-140"),
        (["route", "--want", "Clown", "--share", "half"], "DEC-144"),
        (["route", "--want", "Lavender"], "DEC-050"),
        (["route", "--want", "Hidden Gene Woma"], "DEC-142"),
        (["season", "plan", "--lock", "22-05"], "DEC-146"),
        (["season", "plan", "--year", "2020"], "DEC-141"),
        (["season", "plan", "--lock", "22-07:22-11"], "DEC-034"),
        (["rehearse", "big-clown", "--runs", "0"], "DEC-074"),
    ],
)
def test_bad_input__one_clear_sentence(capsys: pytest.CaptureFixture[str], command: list[str], code: str) -> None:
    said = refused(capsys, *command)
    assert code in said
    assert "Traceback" not in said
