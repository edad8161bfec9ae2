"""`size` as a new user runs it, on the demo's folder and on bad input."""

from __future__ import annotations

import json

import pytest

from holdback.cli import main
from holdback.demo_data import folder

FROM = ["--from", str(folder() / "collection")]
RANGE = {"mean", "low", "high"}


def test_size__one_animal_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", "22-11", *FROM, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    animal = answer["animals"]["22-11"]
    assert animal["percentile"] > 95
    assert animal["adult_mass_g"].keys() >= RANGE
    assert animal["breeding_value"]["low"] < animal["breeding_value"]["mean"] < animal["breeding_value"]["high"]
    assert 0 < animal["reliability"] < 1
    assert answer["lines"]["Marrowfen"]["effect_percent"]["low"] > 0
    response = answer["lines"]["Marrowfen"]["response"]
    assert response["realised"]["per_year_percent"].keys() >= RANGE
    assert response["expected"]["kept"]["females"]["kept"] >= 1
    assert response["animals_needed"] > 1
    assert response["years"][0]["year"] == 2019
    assert answer["heritability"].keys() >= RANGE
    assert [one["animal"] for one in answer["questions"]] == ["22-07"]


def test_size__everybody(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", *FROM, "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["animals"]) == 200
    assert main(["size", *FROM]) == 0
    printed = capsys.readouterr().out
    assert "Biggest females for their age" in printed
    assert "Umber 22-11" in printed
    assert "Marrowfen: an adult all of it" in printed
    words = " ".join(printed.split())
    assert "founders of the line stand behind it" in words
    assert "Among all animals hatched here:" in words
    assert "Keeping the best 1 of 11 males and 2 of 15 females as breeders" in words
    assert "grown animals weighed of each year." in words


def test_size__in_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", "Umber", *FROM]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    assert "3,010 g on 2026-03-02: heavier than more than 99 of 100 ordinary females of 43 months" in printed
    assert "passes on" in printed
    assert "SIZ-002 22-07" in printed


def test_size__could_it_be_of_the_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", "18-01", "--line", "marrowfen", *FROM, "--json"]) == 0
    odds = json.loads(capsys.readouterr().out)["of_line"]["18-01"]
    assert odds["posterior"] < odds["prior"] == 0.2
    assert 0.5 < odds["best_correct"] < 1
    assert main(["size", "18-01", "--line", "Marrowfen", "--prior", "0.5", *FROM]) == 0
    assert "prove nothing" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    "asked, code",
    [
        (["Nobody"], "BEL-001"),
        (["22-11", "--line", "Marrowfen"], "SIZ-102"),
        (["--line", "Marrowfen"], "SIZ-103"),
        (["18-01", "--line", "Nowhere"], "PED-011"),
        (["18-01", "--line", "Marrowfen", "--prior", "2"], "SIZ-403"),
    ],
)
def test_size__says_what_is_wrong(asked: list[str], code: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", *asked, *FROM]) == 1
    assert code in capsys.readouterr().err
