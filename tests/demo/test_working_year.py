"""The demo's working year: what the season pages need is there, and its days are those they were drawn from."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterator

import numpy as np
import pytest

from holdback.answers.season.room import room_of
from holdback.collection.collection import Collection
from holdback.collection.event_kinds import OVULATION, PRELAY_SHED, kind_of
from holdback.collection.model import EggOutcome
from holdback.demo_data import LAST_DAY, folder
from holdback.season.cycles import past_seasons
from holdback.season.forecast import outlooks
from holdback.season.intervals import Intervals
from holdback.season.laying_past import Past
from holdback.season.outlook import Step
from holdback.species.catalogue import load

BEFORE = LAST_DAY + dt.timedelta(days=1)


@pytest.fixture(scope="module")
def herd() -> Collection:
    return Collection.from_folder(folder() / "collection")


@pytest.fixture(scope="module")
def truth() -> dict[str, float]:
    with (folder() / "truth" / "intervals.csv").open(encoding="utf-8", newline="") as file:
        return {row["what"]: float(row["mean"]) for row in csv.DictReader(file)}


def test_demo__females_stand_everywhere_in_the_season(herd: Collection) -> None:
    catalogue = load()
    intervals = Intervals.learned(herd, catalogue, before=BEFORE)
    found = {
        one.cycle.dam: one for one in outlooks(herd, 2026, today=LAST_DAY, intervals=intervals, catalogue=catalogue)
    }
    steps = {"21-08": Step.SHED, "22-11": Step.OVULATED, "17-02": Step.LAID, "19-01": Step.RESTS, "20-21": Step.OVER}
    assert {dam: found[dam].step for dam in steps} == steps
    assert [dam for dam, one in found.items() if one.overdue] == ["21-08"]
    assert found["22-09"].lays.mean < 20
    assert sum(not one.cycle.together for one in found.values()) > 10


def test_demo__has_room_and_everybody_has_a_tub(herd: Collection) -> None:
    room = room_of(herd, LAST_DAY)
    assert room.egg_places == 36
    assert room.tubs is not None
    assert 15 <= room.tubs <= 40
    paths = {one.path for one in herd.records.places}
    assert {egg.box for egg in herd.records.eggs if egg.box} <= paths
    assert {one.place for one in herd.records.temperatures} <= paths


def test_demo__paired_seasons_end_with_a_clutch_as_often_as_meant(herd: Collection, truth: dict[str, float]) -> None:
    past = Past.learned(past_seasons(herd, load(), BEFORE), load())
    assert past.first is not None
    assert past.proven is not None
    shares = [sum(rate.laid.values()) / rate.n_own for rate in (past.first, past.proven)]
    assert shares[0] == pytest.approx(truth["paired female lays, first"], abs=0.05)
    assert shares[1] == pytest.approx(truth["paired female lays, proven"], abs=0.05)


def days(herd: Collection, what: str) -> Iterator[int]:
    """Lengths on record."""
    for clutch in herd.clutches.values():
        if clutch.laid is None or clutch.dam is None:
            continue
        laid = clutch.laid.earliest
        if what == "laying to first young out" and clutch.hatched:
            yield (clutch.hatched.earliest - laid).days
            continue
        kind = PRELAY_SHED if what.startswith("shed") else OVULATION
        for one in herd.events_of(clutch.dam):
            since = (laid - one.date.earliest).days
            if kind_of(one.kind) == kind and 0 < since < 100 and what != "laying to first young out":
                yield since


@pytest.mark.parametrize(
    "what", ["shed before laying to laying", "ovulation to laying", "laying to first young out"]
)  # fmt: skip
def test_demo__days_are_those_they_were_drawn_from(herd: Collection, truth: dict[str, float], what: str) -> None:
    """The mean on record lies within three standard errors of the mean of the law."""
    found = np.array(list(days(herd, what)))
    assert len(found) > 12
    assert abs(found.mean() - truth[what]) < 3 * found.std(ddof=1) / np.sqrt(len(found))


def test_demo__every_lost_egg_since_boxes_has_a_day_and_a_cause(herd: Collection) -> None:
    lost = [egg for egg in herd.records.eggs if egg.box and egg.outcome is EggOutcome.DIED]
    assert len(lost) >= 3
    assert all(egg.ended and egg.cause for egg in lost)
    assert herd.clutches["25-10"].set_aside
    assert herd.died_in_egg == {"24-05-4"}
