"""Mates, routes, rehearsals and the season plan in the terminal: on a small invented herd, once on the demo."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

import pytest
from tests.decisions.rehearsal.plans import double_visual, one_cross

from holdback.cli import main
from holdback.cli.route import print_chances
from holdback.decisions.rehearsal import rehearse

DEMO = ["--from", str(files("holdback.demo_data") / "collection"), "--on", "2026-05-14"]
HERD = {
    "animals.csv": """id,name,sex,hatched,origin,sire,dam,clutch,genes,status,notes
20-01,Ledger,male,2020-07-01,captive bred,,,,Clown,breeder,
20-02,Umber,female,2020-07-01,captive bred,,,,Enchi het Clown,breeder,
20-03,Quill,female,2020-07-01,captive bred,,,,Clown,breeder,
20-04,Harrow,male,2020-07-01,captive bred,,,,Enchi,breeder,
23-01,Thistle,female,2023-07-01,captive bred,20-04,20-02,,Enchi,breeder,
""",
    "lines.csv": """animal,line,share_low,share_high,ground
20-02,Marrowfen,1,1,as bought
20-04,Marrowfen,1,1,as bought
""",
    "projects.csv": """id,name,want,line,share_at_least,number,by,inbreeding_at_most
big-clown,Big Clown,female Clown Enchi,Marrowfen,0.375,1,2031,0.125
""",
}


@pytest.fixture(scope="module")
def herd(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Options that name a folder with five animals and a project."""
    folder = tmp_path_factory.mktemp("herd")
    for name, text in HERD.items():
        (folder / name).write_text(text, encoding="utf-8")
    return ["--from", str(folder), "--on", "2026-05-14"]


def answer(capsys: pytest.CaptureFixture[str], *command: str) -> dict[str, Any]:
    capsys.readouterr()
    assert main([*command, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert isinstance(found, dict)
    return found


def test_mates__ranked_with_reasons(capsys: pytest.CaptureFixture[str]) -> None:
    found = answer(capsys, "mates", "Umber", "--project", "Big Clown", *DEMO)
    free = [one for one in found["mates"] if not one["blocked"]]
    assert [one["score"] for one in free] == sorted((one["score"] for one in free), reverse=True)
    assert all(one["reasons"] for one in free[:5])
    by_mate = {one["mate"]: one for one in found["mates"]}
    assert "inbred" in by_mate["22-07"]["blocked"]  # her brother


def test_mates__in_words(capsys: pytest.CaptureFixture[str], herd: list[str]) -> None:
    assert main(["mates", "Umber", "--project", "Big Clown", *herd]) == 0
    assert "Ledger 20-01" in capsys.readouterr().out


def test_mates__by_a_wish_as_the_pair_page_has_it(capsys: pytest.CaptureFixture[str], herd: list[str]) -> None:
    """Chance per young of a plain wish is that of `holdback odds`: a quarter, less the doubt of her Clown."""
    found = answer(capsys, "mates", "20-02", "--want", "Clown Enchi", *herd)
    ledger = next(one for one in found["mates"] if one["mate"] == "20-01")
    odds = answer(capsys, "odds", "20-01", "20-02", "--want", "Clown Enchi", *herd[:2])
    assert ledger["per_hatchling"] == pytest.approx(odds["want"]["per_hatchling"], abs=1e-6)
    assert 0.22 < ledger["per_hatchling"] < 0.25


def test_route_and_rehearse__say_the_same(capsys: pytest.CaptureFixture[str], herd: list[str]) -> None:
    route = answer(capsys, "route", "big-clown", "--runs", "500", "--seed", "3", *herd)
    played = answer(capsys, "rehearse", "Big Clown", "--runs", "500", "--seed", "3", *herd)
    assert route["rehearsal"]["reached_by_year"] == played["reached_by_year"]
    assert route["chance"] == played["reached_by_year"]["2031"]["mean"]
    assert 0 < route["chance"] < 1
    assert route["steps"][-1]["is_goal"]
    assert {"year", "sire", "dam", "keep", "eggs", "chance"} <= route["steps"][0].keys()
    again = answer(capsys, "rehearse", "Big Clown", "--runs", "500", "--seed", "3", "--workers", "2", *herd)
    assert again["reached_by_year"] == played["reached_by_year"]


def test_route__a_limit_given_stands_in_place_of_the_projects(
    capsys: pytest.CaptureFixture[str], herd: list[str]
) -> None:
    free = answer(capsys, "route", "big-clown", "--share", "Marrowfen>=0", "--runs", "250", *herd)
    bound = answer(capsys, "route", "big-clown", "--share", "Marrowfen>=0.7", "--runs", "250", *herd)
    assert free["searched"]["by_season"][1] > bound["searched"]["by_season"][1]


@pytest.mark.parametrize("extra", [[], ["--mean", "--reserve", "1"]])
def test_season_plan__each_female_once_and_locks_stay(
    capsys: pytest.CaptureFixture[str], herd: list[str], extra: list[str]
) -> None:
    found = answer(capsys, "season", "plan", "--lock", "20-04:20-03", *extra, *herd)
    dams = [one["dam"] for one in found["pairings"]]
    assert len(dams) == len(set(dams))
    assert ("20-04", "20-03") in {(one["sire"], one["dam"]) for one in found["pairings"]}
    assert not {one["dam"] for one in found["left_out"]} & set(dams)
    assert found["optimal"]


def test_season_plan__of_the_demo_leaves_out_what_is_not_decided(capsys: pytest.CaptureFixture[str]) -> None:
    found = answer(capsys, "season", "plan", "--lock", "20-07:19-01", "--prices", *DEMO)
    assert len(found["pairings"]) > 1
    assert found["optimal"]
    assert "welfare-neurological:hidden-gene-woma" in found["without_plan"]["banded-giants"]
    assert found["prices"]
    assert all(one["gain"] >= 0 and one["sentence"] for one in found["prices"])


@pytest.mark.parametrize(
    "command, code",
    [
        (["mates", "20-02", "--want", "Foo"], "DEC-001"),
        (["mates", "nobody", "--want", "Clown"], "DEC-020"),
        (["mates", "20-02"], "DEC-143"),
        (["route", "no such"], "DEC-140"),
        (["route", "--want", "Clown", "--share", "half"], "DEC-144"),
        (["route", "--want", "Lavender"], "DEC-050"),
        (["route", "--want", "Hidden Gene Woma"], "DEC-142"),
        (["season", "plan", "--lock", "20-01"], "DEC-146"),
        (["season", "plan", "--year", "2020"], "DEC-141"),
        (["season", "plan", "--lock", "20-04:20-02", "--lock", "20-01:20-02"], "DEC-034"),
        (["rehearse", "big-clown", "--runs", "0"], "DEC-074"),
    ],
)
def test_bad_input__one_clear_sentence(
    capsys: pytest.CaptureFixture[str], herd: list[str], command: list[str], code: str
) -> None:
    assert main([*command, *herd]) != 0
    said = capsys.readouterr().err
    assert code in said
    assert "Traceback" not in said


def test_print_chances__when_half_are_there(capsys: pytest.CaptureFixture[str]) -> None:
    """A double visual of two single ones takes two generations: nobody is there in the first three seasons."""
    print_chances(rehearse(*double_visual(), runs=250, seasons=3))
    assert "fewer than half of the rehearsals are there by 2029" in capsys.readouterr().out
    print_chances(rehearse(*one_cross("vis", ["vis"]), runs=250, seasons=3))
    assert "half of the rehearsals are there in 2027" in capsys.readouterr().out
