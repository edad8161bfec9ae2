"""Goals, planned pairings and prices out of the records."""

from __future__ import annotations

from dataclasses import replace

import pytest

from holdback.bridge import goals_of_records, planned_of_records, prices_of_records
from holdback.bridge.decisions import decisions_of_records
from holdback.bridge.projects import planned_in
from holdback.collection.collection import Collection
from holdback.collection.projects import PairingState
from holdback.collection.projects import PlannedPairing as Known
from holdback.decisions.prices import Prices
from holdback.demo_data import LAST_DAY, folder
from holdback.species.catalogue import load
from holdback.web.records.models import Mating, PlannedPairing, Project
from holdback.web.records.services import (
    accept_caution,
    drop_pairing,
    reach_project,
    set_rule,
    start_project,
    write_records,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
DEMO = Collection.from_folder(folder() / "collection")


@pytest.fixture
def barn(db: None) -> None:
    write_records(DEMO.records, who=WHO)


@pytest.mark.usefixtures("barn")
def test_goals_of_records__open_ones_with_what_was_spoken_for() -> None:
    keys = [key for key, _ in goals_of_records()]
    assert keys == ["big-clown", "clown-pied", "banded-giants"]
    giants = Project.objects.get(key="banded-giants")
    accept_caution(giants, "welfare-neurological", who=WHO, words="I know.")
    reach_project(Project.objects.get(key="clown-pied"), who=WHO)
    found = dict(goals_of_records())
    assert list(found) == ["big-clown", "banded-giants"]
    assert found["banded-giants"].accepted == {"welfare-neurological"}
    assert (found["big-clown"].share_at_least, found["big-clown"].by, found["big-clown"].budget.tubs) == (0.5, 2030, 4)
    assert "clown-pied" in dict(goals_of_records(is_all=True))


@pytest.mark.usefixtures("barn")
def test_planned_of_records__made_is_told_by_the_matings() -> None:
    """Ledger with Umber met three times in the season of 2026; Rush never met Sorrel."""
    found = {(one.pairing.dam, one.pairing.sire): one for one in planned_of_records(2026)}
    umber, sorrel = found["22-11", "22-05"], found["22-09", "23-08"]
    assert (umber.is_made, umber.is_open, len(umber.matings)) == (True, False, 3)
    assert (sorrel.is_made, sorrel.is_open, sorrel.pairing.state) == (False, False, PairingState.DROPPED)
    assert all(one.is_open for one in planned_of_records(2027))
    Mating.objects.filter(dam__tag="22-11", together__startswith="2026").update(together="2027-02-01", apart="")
    later = next(one for one in planned_in(_again(), load(), 2026) if one.pairing.dam == "22-11")
    assert later.is_open, "a mating of another season makes nothing of this one"


def _again() -> Collection:
    from holdback.bridge.scope import Scope
    from holdback.bridge.snapshot import records_of

    return Collection.from_records(records_of(Scope("python_regius")))


def test_planned_in__a_season_begins_in_the_autumn_before() -> None:
    """Harrow met Quill in December 2025 and January 2026, both in the season of 2026."""
    planned = (Known(2026, "17-02", "20-07"), Known(2025, "17-02", "20-07"))
    found = planned_in(Collection.from_records(replace(DEMO.records, planned_pairings=planned)), load())
    assert [str(one.together) for one in found[0].matings] == ["2025-12-05", "2026-01-09"]
    assert found[1].is_open


def test_prices_of_records__as_the_keeper_set_them() -> None:
    assert prices_of_records() == Prices()
    for key, value in (("price_tub_year", "40"), ("price_feed_gram", "0,012"), ("currency", "EUR")):
        set_rule(key, value, who=WHO)
    assert prices_of_records() == Prices(40.0, 0.012, None, None, "EUR")


@pytest.mark.usefixtures("barn")
def test_decisions_of_records__follow_a_project_and_work_out_no_animal_again() -> None:
    before = decisions_of_records(LAST_DAY)
    beliefs = before.answers.beliefs
    assert decisions_of_records(LAST_DAY) is before
    start_project(who=WHO, name="Pied Banana", want="Pied Banana")
    after = decisions_of_records(LAST_DAY)
    assert list(after.goals) == [*before.goals, "pied-banana"]
    assert after.answers.beliefs is beliefs
    pairing = PlannedPairing.objects.get(year=2027, state="planned")
    drop_pairing(pairing, who=WHO)
    states = {one.state for one in decisions_of_records(LAST_DAY).answers.collection.records.planned_pairings}
    assert states == {PairingState.PLANNED, PairingState.LOCKED, PairingState.DROPPED}
    assert not any(one.is_open and one.pairing.dam == "22-11" for one in planned_of_records(2027))
