"""The list of animals: search, filters, order, counts, and adding one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from holdback.web.records.models import Animal, Change
from holdback.web.records.services import add_animal

Read = Callable[..., str]


def test_collection__of_nobody_says_what_to_do(read: Read) -> None:
    text = read("/animals/")
    assert "Nobody yet" in text
    assert "add an animal" in text


def test_collection__lists_what_each_shows_and_may_carry(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/animals/")
    assert "10 animals" in text
    assert "Ledger 22-05" in text
    assert "het Clown" in text
    assert "3,010 g" in text
    assert "3,140 g" not in text  # gravid: it does not stand for her


@pytest.mark.parametrize(
    "asked,here,gone",
    [
        ({"text": "umb"}, "Umber", "Ledger"),
        ({"sex": "male"}, "Ledger", "Umber"),
        ({"status": "sold"}, "Fennel", "Umber"),
        ({"year": "2017"}, "Quill", "Umber"),
        ({"shows": "Enchi"}, "Umber", "Ledger"),
        ({"carries": "clown"}, "Harrow", "Umber"),
        ({"origin": "wild caught"}, "Mortar", "Umber"),
        ({"line": "Marrowfen"}, "Mortar", "Umber"),
    ],
)
def test_collection__answers_a_question(
    read: Read, barn: dict[str, Animal], asked: dict[str, str], here: str, gone: str
) -> None:
    text = read("/animals/", **asked)
    assert here in text
    assert gone not in text
    assert "of 10 animals" in text


def test_collection__says_when_a_gene_is_not_known(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/animals/", shows="Blurple")
    assert "Blurple is not in the almanac" in text
    assert "Nobody answers to that" in text


@pytest.mark.parametrize(
    "sort,first,last", [("young", "Sedge", "Mortar"), ("old", "Quill", "Mortar"), ("name", "Fennel", "Umber")]
)
def test_collection__keeps_an_order(read: Read, barn: dict[str, Animal], sort: str, first: str, last: str) -> None:
    text = read("/animals/", sort=sort)
    names = sorted(barn, key=text.index)
    assert (names[0], names[-1]) == (first, last)


def test_collection__gives_htmx_the_list_alone_and_a_plain_address(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.get("/animals/", {"text": "umb", "sex": ""}, headers={"HX-Request": "true"})
    assert "<html" not in response.content.decode()
    assert response["HX-Push-Url"] == "/animals/?text=umb"


def test_collection__gives_the_whole_page_on_the_way_back(opened: Client, barn: dict[str, Animal]) -> None:
    headers = {"HX-Request": "true", "HX-History-Restore-Request": "true"}
    assert "<html" in opened.get("/animals/", headers=headers).content.decode()


def test_collection__asks_as_often_for_many_as_for_few(opened: Client, barn: dict[str, Animal]) -> None:
    opened.get("/animals/")
    with CaptureQueriesContext(
        connection,
    ) as few:
        opened.get("/animals/")
    Animal.objects.bulk_create([_plain(number) for number in range(20_000)], batch_size=500)
    with CaptureQueriesContext(connection) as many:
        response = opened.get("/animals/", {"text": "pastel", "sort": "young", "page": "40"})
    assert "1,951–2,000" in response.content.decode()
    assert len(many) <= len(few) + 1  # the count of all stands beside the count of those found
    assert len(many) <= 16


def _plain(number: int) -> Animal:
    animal = Animal(tag=f"B{number:05d}", genes_text="Pastel", hatched=f"20{10 + number % 10}-07-01")
    animal.compute()
    return animal


def test_reading__tells_back_what_is_read_and_what_not(read: Read) -> None:
    text = read("/animals/reading/", genes="Pastel 66% het Pied Flurble")
    assert "Pastel, one copy" in text
    assert "Piebald, one copy, 2 in 3" in text
    assert "Not read: Flurble" in text


def test_reading__of_nothing_is_empty(read: Read) -> None:
    assert read("/animals/reading/", genes="").strip() == ""


def _form(**fields: str) -> dict[str, Any]:
    return {"tag": "26-01", "sex": "female", "origin": "unknown", **fields}


def test_add_animal__leads_to_its_page_and_can_be_taken_back(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post("/animals/new/", _form(genes="Enchi", dam="22-11", sires="22-05"), follow=True)
    text = response.content.decode()
    made = Animal.objects.get(tag="26-01")
    assert "26-01 is on record." in text
    assert made.dam == barn["Umber"]
    batch = Change.objects.filter(record=made.pk).latest("id").batch
    assert f"/undo/{batch}/" in text
    opened.post(f"/undo/{batch}/", follow=True)
    assert not Animal.objects.filter(tag="26-01").exists()


@pytest.mark.parametrize(
    "fields,said",
    [
        ({"hatched": "soon"}, "Write 2024-07-18, 2024-07 or 2024."),
        ({"tag": "22-11"}, "belongs to another living animal"),
    ],
)
def test_add_animal__puts_a_fault_at_its_field(
    opened: Client, barn: dict[str, Animal], fields: dict[str, str], said: str
) -> None:
    response = opened.post("/animals/new/", _form(**fields))
    text = response.content.decode()
    assert response.status_code == 422
    assert said in text
    assert f'id="id_{next(iter(fields))}_error"' in text
    assert Animal.objects.count() == len(barn)


def test_add_animal__keeps_names_as_text(opened: Client) -> None:
    animal = add_animal(who="test", tag="X-1", name="<b>Bold</b>")
    text = opened.get(f"/animals/{animal.pk}/").content.decode()
    assert "<b>Bold</b>" not in text
    assert "&lt;b&gt;Bold&lt;/b&gt;" in text
