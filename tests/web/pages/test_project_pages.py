"""Projects as pages: all of them, and one with where it stands, the way, the rehearsal and the season."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from holdback.answers.decisions.other_ways import other_ways
from holdback.web.pages.decided import plans_now
from holdback.web.pages.projects.other import animals_of_ways, other_shown
from holdback.web.pages.projects.page import names_of
from holdback.web.records import clock
from holdback.web.records.models import Animal, Decision, PlanKept, Project
from holdback.web.records.services import give_up_project, plan_pairing, start_project

WHO = "Wrackline Barn"
YEAR = clock.today().year + 4
FEW = 400
Read = Callable[..., str]


@pytest.fixture(autouse=True)
def few_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rehearsals of a few runs: what is tested is what the pages say of them."""
    from holdback.answers.decisions import Decisions
    from holdback.web.pages.projects import rehearsing

    for method in (Decisions.rehearsal, Decisions.rehearsed):
        monkeypatch.setitem(method.__kwdefaults__ or {}, "runs", FEW)
    monkeypatch.setattr(rehearsing, "RUNS", FEW)


@pytest.fixture
def clown(barn: dict[str, Animal]) -> Project:
    return start_project(who=WHO, name="Big Clown", want="Clown Enchi", line="Marrowfen", share_at_least=0.25, by=YEAR)


def test_projects__none_yet(read: Read, db: None) -> None:
    page = read("/projects/")
    assert "Say what you want to have bred" in page
    assert "Start a project" in page


def test_projects__lists_them_in_the_keepers_order(opened: Client, read: Read, clown: Project) -> None:
    start_project(who=WHO, name="Pastels", want="Pastel")
    closed = start_project(who=WHO, name="Spiders", want="Spider")
    give_up_project(closed, who=WHO, why="Enough.")
    page = read("/projects/")
    assert page.index("Big Clown A Clown Enchi animal, at least a quarter Marrowfen") < page.index("Pastels A Pastel")
    assert "rehearsed" in page
    assert "Spiders, given up" in page
    keys = ["pastels", "big-clown"]
    sent = "".join(f'<input type="hidden" name="keys" value="{key}">' for key in keys)
    assert f"{sent}<button" in opened.get("/projects/").content.decode()
    opened.post("/projects/order/", {"keys": keys})
    page = read("/projects/")
    assert page.index("Open Pastels") < page.index("Open Big Clown")


def test_project__says_what_to_do_and_how_likely(read: Read, clown: Project) -> None:
    page = read("/projects/big-clown/")
    assert "A Clown Enchi animal, at least a quarter Marrowfen by pedigree" in page
    assert "pair Ledger with Thistle" in page
    assert f"rehearsals reach it by {YEAR}" in page
    assert "The way counts on her." in page
    assert "runs, seed 0" in page
    assert "Fails most by" in page or "100 in 100" in page


def test_project__rehearsed_with_another_seed(read: Read, clown: Project) -> None:
    page = read("/projects/big-clown/", runs="300", seed="7")
    assert "runs, seed 7" in page
    page = read("/projects/big-clown/", runs="many", seed="-3")
    assert "runs, seed 0" in page


def test_project__no_way(read: Read, barn: dict[str, Animal]) -> None:
    start_project(who=WHO, name="Piebalds", want="Piebald")
    page = read("/projects/piebalds/")
    assert "No way leads there from the animals at hand." in page
    assert "No animal here carries Piebald: buy or borrow one first." in page


def test_project__wants_a_word_first(opened: Client, read: Read, barn: dict[str, Animal]) -> None:
    start_project(who=WHO, name="Spiders", want="Spider")
    page = read("/projects/spiders/")
    assert "Nothing is planned for it yet. It wants a word from you first." in page
    assert "head wobble in every Spider of the published sample" in page
    code = "welfare-neurological:spider"
    opened.post("/projects/spiders/speak/", {"code": code, "words": "One clutch, none sold as pets."})
    assert Decision.objects.get().code == code
    page = read("/projects/spiders/")
    assert "One clutch, none sold as pets." in page
    assert "It wants a word" not in page


def test_project__what_to_do_first_things_first(read: Read, clown: Project) -> None:
    page = read("/projects/big-clown/")
    assert "To do For this project, first things first." in page
    assert page.index("Write the pairs of") < page.index("Put together Ledger with Thistle")
    assert "Thistle 19-01: Enchi to be proven." in page


def test_project__kept_plan_is_held_against_the_next(opened: Client, read: Read, clown: Project) -> None:
    assert "Since last time" not in read("/projects/big-clown/")
    opened.post("/projects/big-clown/keep/")
    kept = PlanKept.objects.get()
    assert (kept.project, kept.plan["steps"][0]["sire"]["animals"]) == (clown, ["22-05"])
    page = read("/projects/big-clown/")
    assert "The plan of Big Clown is kept." in page
    assert "The plan is that of before." in page


def test_project__nothing_to_keep(opened: Client, read: Read, barn: dict[str, Animal]) -> None:
    start_project(who=WHO, name="Piebalds", want="Piebald")
    opened.post("/projects/piebalds/keep/")
    assert not PlanKept.objects.exists()
    assert "Not kept: No animal here carries Piebald" in read("/projects/piebalds/")


def test_other_ways__years_against_share(clown: Project) -> None:
    """Each way is better than every other in something."""
    plans = plans_now()
    key = clown.key
    found = other_ways(plans, key)
    shown = other_shown(found, plans, key, names_of(plans, animals_of_ways(found)))
    assert shown.ways is not None
    assert [column.label for column in shown.ways.columns] == ["Way", f"By {YEAR}", "Seasons", "Inbred", "Marrowfen"]
    assert len(shown.ways.rows) == len(found.front) > 1
    assert any(line.startswith("Without Clown it is") for line in shown.relaxed)


def test_other_ways__looked_for_when_asked(read: Read, clown: Project) -> None:
    assert "Look for other ways" in read("/projects/big-clown/")


def test_project__mate_that_is_not_here(read: Read, clown: Project) -> None:
    page = read("/projects/big-clown/")
    assert "Not in your collection" in page
    assert "unrelated" in page[page.index("Not in your collection") :]


def test_project__closed_is_only_told(read: Read, clown: Project) -> None:
    give_up_project(clown, who=WHO)
    page = read("/projects/big-clown/")
    assert "Big Clown is given up; no plan counts on it." in page
    assert "Rehearsed" not in page


def test_project__queries_do_not_grow_with_animals(opened: Client, clown: Project) -> None:
    opened.get("/projects/big-clown/")
    with CaptureQueriesContext(
        connection,
    ) as caught:
        page: Any = opened.get("/projects/big-clown/")
    assert page.status_code == 200
    assert len(caught) <= 32, [one["sql"] for one in caught]


def test_project__unknown(opened: Client, db: None) -> None:
    assert opened.get("/projects/none/").status_code == 404


def test_beside__animal_pair_and_desk(opened: Client, read: Read, clown: Project, barn: dict[str, Animal]) -> None:
    thistle, ledger, umber = barn["Thistle"], barn["Ledger"], barn["Umber"]
    address = f"/animals/{thistle.pk}/"
    assert "In projects" not in read(address), "nobody has asked for plans yet"
    plan_pairing(who=WHO, year=YEAR, dam=umber, sire=ledger, project=clown, sure=True)
    said = read(f"/animals/{umber.pk}/")
    assert f"In projects Big Clown: planned with Ledger for {YEAR}." in said
    read("/projects/big-clown/")
    assert "Big Clown: its way counts on it; the plan of" in read(address)
    assert "For which project Big Clown: a step of its way." in read("/pair/", sire="22-05", dam="19-01")
    assert f"Big Clown: planned for {YEAR}." in read("/pair/", sire="22-05", dam="22-11")
    assert '<a href="/projects/big-clown/">Big Clown</a>' in opened.get("/").content.decode()
