"""Starting a project and changing its goal on a page; what the weights come to; a word to a caution."""

from __future__ import annotations

import html
from typing import Any

import pytest
from django.test import Client

from holdback.web.records.models import Animal, Change, Decision, Project
from holdback.web.records.services import accept_caution, start_project

WHO = "Wrackline Barn"
SAID = {
    "name": "Big Clown",
    "want": "female Clown Enchi",
    "some_of": "Banana, Pastel",
    "some_least": "1",
    "none_of": "Spider",
    "line": "Marrowfen",
    "share_at_least": "37.5",
    "size_aim": "between two weights",
    "size_low_g": "2500",
    "number": "2",
    "by": "2199",
    "inbreeding_at_most": "6.25",
    "tubs": "4",
    "money": "900.50",
    "worth_eggs": "80",
    "year_worth_eggs": "12",
    "animals": "",
    "notes": "Not at any price.",
}


@pytest.fixture
def clown(db: None) -> Project:
    return start_project(who=WHO, name="Clown", want="Clown")


def said(page: Any) -> str:
    return html.unescape(page.content.decode()).replace("\u00a0", " ").replace("\u202f", " ")


def test_new__keeps_what_was_typed(opened: Client, barn: dict[str, Animal]) -> None:
    assert "Say what you want to have bred" in said(opened.get("/projects/new/"))
    typed = {**SAID, "animals": f"{barn['Ledger'].tag}, {barn['Umber'].tag}"}
    assert opened.post("/projects/new/", typed).status_code == 302
    made = Project.objects.get()
    assert (made.want, made.some_of, made.some_least) == ("female Clown Enchi", ["Banana", "Pastel"], 1)
    assert (made.share_at_least, made.inbreeding_at_most, made.size_low_g) == (0.375, 0.0625, 2500)
    assert (made.eggs, made.tubs, made.money, made.number) == (None, 4, 900.5, 2)
    assert (made.worth_eggs, made.year_worth_eggs, made.notes) == (80, 12, "Not at any price.")
    assert {row.animal.name for row in made.animals.all()} == {"Ledger", "Umber"}


def test_new__says_beside_the_field_what_was_not_read(opened: Client, barn: dict[str, Animal]) -> None:
    page = opened.post("/projects/new/", {**SAID, "want": "Clwn"})
    assert page.status_code == 422
    assert 'id="id_want_error"' in said(page)
    page = opened.post("/projects/new/", {**SAID, "animals": "Z9"})
    assert "No animal has the id 'Z9'." in said(page)
    assert not Project.objects.exists()


def test_change__form_gives_back_what_is_kept(opened: Client, barn: dict[str, Animal]) -> None:
    """Sent as it came nothing changes, and nothing is logged."""
    opened.post("/projects/new/", {**SAID, "animals": barn["Ledger"].tag})
    before = Change.objects.count()
    form = opened.get("/projects/big-clown/change/").context["form"]
    held = {name: form[name].value() for name in form.fields}
    sent = {name: "" if value is None else value for name, value in held.items()}
    assert opened.post("/projects/big-clown/change/", sent).status_code == 302
    assert Change.objects.count() == before


def test_change__shows_what_would_change_before_it_does(opened: Client, clown: Project) -> None:
    address = "/projects/clown/change/"
    held = {name: opened.get(address).context["form"][name].value() for name in SAID}
    sent = {name: "" if value is None else value for name, value in held.items()} | {"tubs": "3"}
    page = opened.post(address, {**sent, "look": "yes"})
    assert page.status_code == 200
    assert "Tubs at one time: nothing, now 3" in said(page)
    assert Project.objects.get().tubs is None
    assert opened.post(address, sent).status_code == 302
    assert Project.objects.get().tubs == 3
    assert "Nothing would change." in said(opened.post(address, {**sent, "look": "yes"}))


def test_change__refused_keeps_the_name_of_the_project(opened: Client, clown: Project) -> None:
    page = opened.post("/projects/clown/change/", {**SAID, "name": "Other", "want": "Clwn"})
    assert page.status_code == 422
    assert "<title>Change Clown" in said(page)


def test_weighed__says_what_follows(opened: Client, db: None) -> None:
    page = said(opened.get("/projects/weighed/", {"worth_eggs": "68", "year_worth_eggs": "0"}))
    assert "A clutch goes to it from a chance of 10 % that it brings it." in page
    assert "It may take as long as it takes" in page
    assert "60 eggs" in said(opened.get("/projects/weighed/", {"worth_eggs": "many"})), (
        "what comes when nothing is said"
    )


def test_close_and_open_again(opened: Client, clown: Project) -> None:
    opened.post("/projects/clown/give-up/", {"why": "No room."})
    clown.refresh_from_db()
    assert (clown.state, clown.notes) == ("given up", "No room.")
    page = opened.post("/projects/clown/reach/")
    assert page.status_code == 422
    assert "Clown is given up already." in said(page)
    opened.post("/projects/clown/open/")
    opened.post("/projects/clown/reach/")
    clown.refresh_from_db()
    assert clown.state == "reached"


def test_reorder(opened: Client, clown: Project) -> None:
    start_project(who=WHO, name="Pied", want="Pied")
    assert opened.post("/projects/order/", {"keys": ["pied", "clown"]}).status_code == 302
    assert [one.key for one in Project.objects.all()] == ["pied", "clown"]
    page = opened.post("/projects/order/", {"keys": ["pied"]})
    assert page.status_code == 422
    assert "Name each of these once: clown, pied." in said(page)


def test_speak_and_withdraw(opened: Client, clown: Project) -> None:
    code = "welfare-neurological:spider"
    assert opened.post("/projects/clown/speak/", {"code": code, "words": ""}).status_code == 422
    opened.post("/projects/clown/speak/", {"code": code, "words": "I keep those that wobble.", "by": "Oda Fenwick"})
    spoken = Decision.objects.get()
    assert (spoken.code, spoken.words, spoken.by) == (code, "I keep those that wobble.", "Oda Fenwick")
    assert "I keep those that wobble." in said(opened.get("/projects/clown/change/"))
    opened.post(f"/projects/words/{spoken.pk}/withdraw/")
    assert not Decision.objects.exists()
    accept_caution(clown, code, who=WHO, words="So be it.")


def test_rules__prices(opened: Client, db: None) -> None:
    page = opened.get("/rules/")
    held = page.context["form"].initial | {"price_tub_year": "40", "price_feed_gram": "0,012", "currency": "EUR"}
    assert opened.post("/rules/", held).status_code == 302
    again = opened.get("/rules/").context["form"].initial
    assert (again["price_tub_year"], again["price_feed_gram"], again["currency"]) == ("40", "0.012", "EUR")
    assert "What a tub costs a year" in said(opened.get("/rules/"))


def test_undo__of_a_project_that_was_begun_leads_to_the_desk(opened: Client, db: None) -> None:
    opened.post("/projects/new/", {**SAID, "line": "", "share_at_least": ""})
    address = "http://testserver/projects/big-clown/change/"
    batch = Change.objects.latest("id").batch
    response = opened.post(f"/undo/{batch}/", headers={"referer": address})
    assert (response.status_code, response.headers["location"]) == (302, "/")
    assert not Project.objects.exists()
    start_project(who=WHO, name="Big Clown", want="Clown")
    batch = Change.objects.latest("id").batch
    start_project(who=WHO, name="Other", want="Clown")
    response = opened.post(f"/undo/{batch}/", headers={"referer": address.replace("big-clown", "other")})
    assert response.headers["location"] == "/projects/other/change/"
