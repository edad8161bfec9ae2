"""Every mate of an animal with its reasons, and pairings planned from there, on the Season page and the Desk."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client
from tests.web.pages.conftest import WHO, Read, plain

from holdback.web.records.models import Animal, PlannedPairing


@pytest.fixture
def herd(db: None, monkeypatch: pytest.MonkeyPatch) -> dict[str, Animal]:
    """Invented: a Clown and a het male, their het daughter, a Clown and a normal female, a project."""
    from holdback.web.records import clock
    from holdback.web.records.services import add_animal, start_project

    monkeypatch.setattr(clock, "today", lambda: dt.date(2026, 11, 5))
    monkeypatch.setattr("holdback.answers.decisions.decisions.RUNS", 250)
    found: dict[str, Animal] = {}

    def add(tag: str, name: str, sex: str, genes: str, hatched: str = "2019-07", **kin: str) -> None:
        found[name] = add_animal(
            who=WHO,
            tag=tag,
            name=name,
            sex=sex,
            genes=genes,
            hatched=hatched,
            status="breeder",
            **kin,  # type: ignore[arg-type]  # names are literal below
        )

    add("19-01", "Ledger", "male", "Clown")
    add("19-02", "Quill", "female", "Clown")
    add("19-03", "Harrow", "male", "het Clown")
    add("19-04", "Thistle", "female", "Normal")
    add("22-01", "Umber", "female", "het Clown", "2022-07", dam="19-04", sires="19-01")
    add("25-01", "Sedge", "unknown", "Normal", "2025-07")
    start_project(who=WHO, name="First Clown", want="female Clown", by=2029)
    return found


def address(animal: Animal, query: str = "") -> str:
    return f"/animals/{animal.pk}/mates/{query}"


def test_mates__the_best_first_with_reasons(read: Read, herd: dict[str, Animal]) -> None:
    page = read(address(herd["Quill"]))
    assert "Ledger 19-01 first:" in page
    assert "for First Clown by 2029." in page
    assert page.index("Odds with Ledger 19-01") < page.index("Odds with Harrow 19-03")
    assert "by descent" in page
    assert "Not in the collection" in page


def test_mates__one_that_is_barred_stands_last_with_the_reason(read: Read, herd: dict[str, Animal]) -> None:
    page = read(address(herd["Umber"]))
    assert "1 mate that cannot be paired, with the reason" in page
    assert "Young inbred 25 %; your limit is 12.5 %." in page
    assert "Harrow 19-03 first:" in page


def test_mates__for_a_plain_wish(read: Read, herd: dict[str, Animal]) -> None:
    page = read(address(herd["Quill"], "?project=&want=het Clown"))
    assert "for het Clown by" in page


def test_mates__a_wish_that_is_not_read_is_said(read: Read, herd: dict[str, Animal]) -> None:
    page = read(address(herd["Quill"], "?project=&want=Clwn"))
    assert "No answer" in page
    assert "DEC-0" in page


def test_mates__of_unknown_sex_are_not_looked_for(read: Read, herd: dict[str, Animal]) -> None:
    assert "DEC-020" in read(address(herd["Sedge"]))


def test_animal__leads_to_the_mates(opened: Client, herd: dict[str, Animal]) -> None:
    page = opened.get(f"/animals/{herd['Quill'].pk}/").content.decode()
    assert f'href="/animals/{herd["Quill"].pk}/mates/"' in page


def test_plan_it__shows_on_the_season_and_on_the_desk(opened: Client, herd: dict[str, Animal]) -> None:
    back = address(herd["Quill"])
    sent = {"dam": herd["Quill"].pk, "sire": herd["Ledger"].pk, "project": "first-clown", "year": 2027, "next": back}
    response = opened.post("/season/plan/lock/", {**sent, "deed": "plan", "answer": "sure"}, follow=True)
    assert "Ledger with" in (text := plain(response.content.decode())) or "is planned." in text
    pairing = PlannedPairing.objects.get()
    assert (pairing.state, pairing.year) == ("planned", 2027)
    for page in ("/season/?year=2027", "/"):
        text = plain(opened.get(page).content.decode())
        assert "Ledger 19-01 with Quill 19-02 for First Clown" in text, page
        assert "Put together 19-01 and 19-02" in text, page
    opened.post(f"/season/plan/drop/{pairing.pk}/", {"next": "/season/"})
    pairing.refresh_from_db()
    assert pairing.state == "dropped"
    assert "Ledger 19-01 with Quill 19-02 for" not in plain(opened.get("/season/?year=2027").content.decode())


def test_planned__what_was_put_together_is_no_longer_listed(opened: Client, herd: dict[str, Animal]) -> None:
    from holdback.web.records.services import plan_pairing, put_together

    plan_pairing(who=WHO, year=2027, dam=herd["Quill"], sire=herd["Ledger"], sure=True)
    put_together(who=WHO, dam=herd["Quill"], sire=herd["Ledger"], on=dt.date(2026, 11, 4), sure=True)
    assert "Everything planned was put together." in plain(opened.get("/season/?year=2027").content.decode())
    assert "Put together 19-01" not in plain(opened.get("/").content.decode())
