"""Ideas as a page, for print and as a picture."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from xml.etree import ElementTree

import pytest
from django.test import Client

from holdback.web.records.models import Animal

Read = Callable[..., str]
SVG = "{http://www.w3.org/2000/svg}"


def test_ideas__nobody_named_yet(read: Read, db: None) -> None:
    page = read("/ideas/")
    assert "Name an animal, yours or one that you only think of" in page
    assert "Show the ideas" in page


def test_ideas__typed_genes(read: Read, db: None) -> None:
    page = read("/ideas/", animal="Hidden Gene Woma")
    assert page.index("Read the cautions first.") < page.index("balance trouble") < page.index("Makes Soul Sucker")
    assert "Leads to Inferno, with Yellow Belly too: in 2 generations." in page
    assert "It has Hidden Gene Woma itself, and young with two copies die after hatching." in page
    assert "ask a reptile vet in doubt" in page


def test_ideas__what_is_not_read_is_said(read: Read, db: None) -> None:
    page = read("/ideas/", animal="Pied Foo")
    assert "Not all that was typed is read." in page
    assert "'Foo' was not read. Only what is read counts." in page
    assert "over 99 % for one or more in a laid clutch" in page.replace("\u202f", " ")


def test_ideas__an_animal_of_the_collection(opened: Client, read: Read, barn: dict[str, Animal]) -> None:
    page = read("/ideas/", animal="22-11")
    assert "What to breed Umber 22-11 to" in page
    assert "Harrow 20-07" in page
    assert "Fennel 23-03" not in page, "he is sold"
    link = '<a class="nb" href="/pair/?sire=20-07&amp;dam=22-11">Harrow 20-07</a>'
    assert link in opened.get("/ideas/?animal=22-11").content.decode()


def test_ideas__kin_are_told(read: Read, barn: dict[str, Animal]) -> None:
    """Ledger is out of Umber's granddam: 1/16. Tansy is her son, likelier by Ledger than by Harrow."""
    page = read("/ideas/", animal="22-11").replace("\u202f", " ")
    assert "Ledger 22-05 shows it, their young would be inbred 6.3 %, proven" in page
    assert "Tansy 24-02 shows it, close kin, better another mate: their young would be inbred 33.7 %" in page


def test_ideas__only_what_is_on_offer(read: Read, barn: dict[str, Animal]) -> None:
    page = read("/ideas/", animal="female Cinnamon", only="on offer", offers="1.0 GHI 66% het Pied\ncall me")
    assert "GHI first." in page
    assert "1.0 GHI 66% het Pied" in page
    assert "Pewter" not in page
    assert "call me Nothing in it reads as genes." in page


def test_ideas__a_caution_can_be_spoken_for(opened: Client, read: Read, db: None) -> None:
    before = opened.get("/ideas/?animal=Lesser").content.decode()
    address = "/ideas/?animal=Lesser&amp;allow=welfare-neurological"
    assert f'href="{address}"' in before
    assert "Soul Sucker" not in before
    after = read("/ideas/", animal="Lesser", allow="welfare-neurological")
    assert "Makes Soul Sucker: the first clutch can show it." in after
    assert "Spoken for: welfare-neurological." in after


def test_ideas__one_that_should_not_be_bred_from(read: Read, db: None) -> None:
    page = read("/ideas/", animal="female Desert")
    assert "No ideas are given" in page
    assert "see a reptile vet now" in page


@pytest.mark.parametrize("text, code", [("Nobodyatall", "PAIR-001"), ("Mojave Lesser Phantom", "SHO-201")])
def test_ideas__says_what_is_wrong(read: Read, db: None, text: str, code: str) -> None:
    page = read("/ideas/", animal=text)
    assert code in page
    assert "Show the ideas" in page


def test_ideas__a_caution_that_is_none(read: Read, db: None) -> None:
    assert "DEC-113" in read("/ideas/", animal="Lesser", allow="all")


def test_ideas_print__with_day_and_everything_open(opened: Client, read: Read, barn: dict[str, Animal]) -> None:
    page = read("/ideas/print/", animal="22-11")
    assert "Print this page with your browser." in page
    assert "Show the ideas" not in page
    folds = re.findall(r"<details[^>]*>", opened.get("/ideas/print/?animal=22-11").content.decode())
    assert all("open" in one for one in folds if "folded" in one)


def test_picture__stands_alone_and_names_no_animal_at_hand(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.get("/ideas/picture.svg?animal=22-11")
    assert response["Content-Type"] == "image/svg+xml"
    assert response["Content-Disposition"] == 'attachment; filename="ideas-umber-22-11.svg"'
    root = ElementTree.fromstring(response.content)
    words = " ".join(one.text or "" for one in root.iter(f"{SVG}text"))
    assert "What to breed Umber 22-11 to" in words
    assert "ask a reptile vet" in words
    assert "Harrow" not in words
    assert all("style" not in one.attrib for one in root.iter())
    lowest = max(float(one.get("y", "0")) for one in root.iter(f"{SVG}text"))
    assert lowest < float(root.get("height", "0"))


def test_picture__cautions_come_first(db: None) -> None:
    from holdback.answers import Answers
    from holdback.answers.ideas import ideas_for
    from holdback.collection.collection import Collection
    from holdback.collection.model import Records
    from holdback.species import load
    from holdback.web.pages.ideas.picture import picture_of

    answers = Answers(Collection.from_records(Records()), load())
    drawn = picture_of(ideas_for(answers, "Spider"), keeper="Wrackline Barn", today=dt.date(2026, 5, 14))
    assert drawn.index("balance trouble") < drawn.index("Pastel") < drawn.index("Never: Spider and Champagne.")
    assert "Wrackline Barn · 14 May 2026 · Holdback" in drawn


def test_picture__nobody_named_leads_back(opened: Client, db: None) -> None:
    response = opened.get("/ideas/picture.svg")
    assert (response.status_code, response["Location"]) == (302, "/ideas/?animal=")


def test_links__from_the_animal_and_the_gene(opened: Client, barn: dict[str, Animal]) -> None:
    assert "/ideas/?animal=22-11" in opened.get(f"/animals/{barn['Umber'].pk}/").content.decode()
    assert "/ideas/?animal=Hidden%20Gene%20Woma" in opened.get("/almanac/hidden-gene-woma/").content.decode()


def test_almanac__weights_can_be_the_keepers_own(opened: Client, read: Read, db: None) -> None:
    assert "Ideas: taken off for a recessive" in read("/almanac/")
    said = {"value": "0", "low": "0", "high": "0", "note": "I like recessives."}
    assert opened.post("/almanac/assumed/decisions/idea_recessive/", said).status_code == 302
    assert "I like recessives." in read("/almanac/")
    assert opened.post("/almanac/assumed/decisions/idea_recessive/as-shipped/").status_code == 302
