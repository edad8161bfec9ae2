"""`log` as a new user runs it: one deed each, with its questions, and the way back."""

from __future__ import annotations

import json
from typing import Any

import pytest

from holdback.cli import main
from holdback.web.records.models import Animal, Clutch, Mating, Measurement, Observation
from holdback.web.records.services import add_animal, add_measurement

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair() -> tuple[Animal, Animal]:
    sire = add_animal(who="test", tag="A1", name="Brock", sex="male", hatched="2021")
    dam = add_animal(who="test", tag="A2", name="Ruddle", sex="female", hatched="2020")
    add_measurement(dam, who="test", date="2025-12-01", value=2950.0)
    return sire, dam


def log(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    assert main(["log", *words, "--on", "2026-01-10", "--json"]) == 0
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


def test_log__weight_as_typed(pair: tuple[Animal, Animal], capsys: pytest.CaptureFixture[str]) -> None:
    log(capsys, "ruddle", "weight", "6.6", "lb")
    reading = Measurement.objects.get(date="2026-01-10")
    assert (reading.animal, reading.value, reading.unit) == (pair[1], 6.6, "lb")


def test_log__a_slip_is_asked_about_and_kept_when_sure(
    pair: tuple[Animal, Animal], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["log", "A2", "weight", "295", "--on", "2026-01-10"]) == 1
    assert "SEA-03" in capsys.readouterr().err
    assert Measurement.objects.count() == 1
    log(capsys, "A2", "weight", "295", "--sure")
    assert Measurement.objects.count() == 2


def test_log__meals(pair: tuple[Animal, Animal], capsys: pytest.CaptureFixture[str]) -> None:
    log(capsys, "A1", "fed", "60")
    log(capsys, "A2", "refused")
    eaten, left = Observation.objects.order_by("animal__tag")
    assert (eaten.kind, eaten.value, eaten.unit) == ("meal", 60.0, "g")
    assert "refused" in left.note


def test_log__a_mating_from_first_day_to_clutch(
    pair: tuple[Animal, Animal], capsys: pytest.CaptureFixture[str]
) -> None:
    log(capsys, "A1", "together", "--with", "A2")
    log(capsys, "A2", "lock")
    log(capsys, "A2", "apart")
    mating = Mating.objects.get()
    assert (mating.dam, mating.sire, mating.locks, mating.apart) == (pair[1], pair[0], 1, "2026-01-10")
    assert main(["log", "A2", "laid", "7+1", "--on", "2026-04-02", "--json"]) == 0
    clutch = Clutch.objects.get()
    assert (clutch.eggs, clutch.slugs, clutch.egg_records.count()) == (8, 1, 8)
    assert clutch.candidate_sires.order_by("-weight").first().sire == pair[0]  # type: ignore[union-attr]


def test_log__events_with_and_without_a_value(pair: tuple[Animal, Animal], capsys: pytest.CaptureFixture[str]) -> None:
    log(capsys, "A2", "ultrasound", "18", "--note", "6 follicles")
    log(capsys, "A1", "treatment", "mites, two", "weeks", "--until", "2026-01-24")
    seen = {one.kind: one for one in Observation.objects.all()}
    assert (seen["ultrasound"].value, seen["ultrasound"].unit) == (18.0, "mm")
    assert (seen["treatment"].note, seen["treatment"].until) == ("mites, two weeks", "2026-01-24")


def test_log__the_number_takes_it_back(pair: tuple[Animal, Animal], capsys: pytest.CaptureFixture[str]) -> None:
    batch = log(capsys, "A1", "shed")["batch"]
    assert main(["log", "--undo", batch]) == 0
    assert "1 record" in capsys.readouterr().out
    assert not Observation.objects.exists()


@pytest.mark.parametrize(
    "words, code",
    [
        (["A1"], "SEA-103"),
        (["A1", "danced"], "SEA-104"),
        (["A9", "shed"], "SEA-105"),
        (["A1", "apart"], "SEA-106"),
        (["A1", "together"], "SEA-107"),
        (["A2", "laid", "many"], "SEA-107"),
        (["A1", "weight"], "SEA-107"),
        (["A1", "fed", "lots"], "SEA-107"),
        (["--undo", "nothing"], "SEA-108"),
        (["A1", "shed", "--on", "2026-02-30"], "SEA-102"),
        (["A1", "together", "--with", "A1"], "REC-017"),
        (["A1", "ovulation"], "SEA-04"),
    ],
)
def test_log__says_what_is_wrong(
    pair: tuple[Animal, Animal], words: list[str], code: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["log", *words]) == 1
    assert code in capsys.readouterr().err
    assert not Observation.objects.exists()
    assert not Mating.objects.exists()
