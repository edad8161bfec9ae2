"""Places: the tree, racks in one go, who is where, moved by two taps, taken out of use."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from holdback.web.records.models import Animal, Place, Stay
from holdback.web.records.services import add_incubator, add_rack, lay_clutch, move_animal, put_in_box

Read = Callable[..., str]
WHO = "Wrackline Barn"
DAY = dt.date(2026, 3, 4)


@pytest.fixture
def rack(barn: dict[str, Animal]) -> Place:
    """Rack B with tubs 1, 2 and 10; Umber in 2, Ledger in 10."""
    found = add_rack(who=WHO, name="Rack B", tubs=["10", "2", "1"])
    move_animal(barn["Umber"], who=WHO, place=tub("2"), on=DAY)
    move_animal(barn["Ledger"], who=WHO, place=tub("10"), on=DAY)
    return found


def tub(name: str) -> Place:
    return Place.objects.get(kind="tub", name=name)


def where(animal: Animal) -> str:
    stay = Stay.objects.filter(animal=animal, until__isnull=True).select_related("place").first()
    return stay.place.name if stay else ""


def test_places__of_nobody_says_what_to_do(read: Read) -> None:
    assert "No place yet" in read("/places/")


def test_places__tells_what_is_free(read: Read, rack: Place) -> None:
    text = read("/places/")
    assert "3 tubs, 1 free. 7 animals in no tub" in text, "the sold one is not here"
    assert "Rack B 3 tubs, 1 free" in text


def test_place__lists_tubs_in_the_order_of_their_numbers(read: Read, rack: Place) -> None:
    text = read(f"/places/{rack.pk}/")
    assert "3 tubs, 1 free: 1." in text
    assert text.index("Tub 1 free") < text.index("Tub 2 Umber") < text.index("Tub 10 Ledger")
    assert "Umber" in read(f"/places/{tub('2').pk}/")


def test_place__asks_as_much_for_many_tubs_as_for_few(
    opened: Client, rack: Place, barn: dict[str, Animal], django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    many = add_rack(who=WHO, name="Rack C", tubs=[str(number) for number in range(40)])
    move_animal(barn["Quill"], who=WHO, place=many.parts.get(name="7"), on=DAY)
    for address in ("/places/", f"/places/{many.pk}/", f"/places/move/{barn['Quill'].pk}/"):
        with django_assert_max_num_queries(14):
            assert opened.get(address).status_code == 200


def test_new_rack__with_tubs_by_a_run_and_undone(opened: Client) -> None:
    response = opened.post("/places/new/rack/", {"name": "Rack 1", "tubs": "3-A..3-F, top"}, follow=True)
    assert "Rack 1 is kept, with 7 tubs." in response.content.decode()
    assert Place.objects.filter(kind="tub").count() == 7


def test_new_rack__keeps_what_was_typed_where_a_run_is_none(opened: Client, rack: Place) -> None:
    response = opened.post("/places/new/rack/", {"name": "Rack 9", "tubs": "F..A"})
    page = response.content.decode()
    assert response.status_code == 422
    assert "is no run of names" in page
    assert 'value="F..A"' in page
    assert 'value="Rack 9"' in page
    assert not Place.objects.filter(name="Rack 9").exists()


def test_new_incubator__with_boxes(opened: Client) -> None:
    given = {"name": "Incubator", "capacity": "36", "tubs": "box 1..box 3", "each": "12"}
    opened.post("/places/new/incubator/", given)
    assert [one.capacity for one in Place.objects.filter(kind="egg box")] == [12, 12, 12]
    opened.post("/places/new/incubator/", {"name": "Other", "tubs": "1..2", "each": "0"})
    assert not Place.objects.filter(name="Other").exists(), "all or nothing"


def test_add_tubs__and_change(opened: Client, rack: Place) -> None:
    opened.post(f"/places/{rack.pk}/add/", {"tubs": "11..12"})
    assert rack.parts.count() == 5
    response = opened.post(f"/places/{rack.pk}/add/", {"tubs": "12"})
    assert "is there already" in response.content.decode()
    opened.post(f"/places/{rack.pk}/change/", {"name": "Rack Z", "kind": "rack", "within": ""})
    assert Place.objects.get(pk=rack.pk).name == "Rack Z"


def test_move__by_two_taps(opened: Client, rack: Place, barn: dict[str, Animal]) -> None:
    page = opened.get(f"/places/{rack.pk}/").content.decode()
    address = f"/places/move/{barn['Umber'].pk}/?near={rack.pk}"
    assert address in page
    assert f'name="to" value="{tub("1").pk}"' in opened.get(address).content.decode()
    response = opened.post(address, {"to": str(tub("1").pk), "on": "2026-03-09"}, follow=True)
    assert response.redirect_chain[0][0] == f"/places/{rack.pk}/"
    assert "Umber is in tub 1 now." in response.content.decode()
    assert where(barn["Umber"]) == "1"
    assert Stay.objects.get(animal=barn["Umber"], until__isnull=True).since == dt.date(2026, 3, 9)
    text = opened.get(f"/places/{tub('2').pk}/").content.decode().replace("\u00a0", " ")
    assert "9 March 2026" in text, "the old tub keeps the stay"


def test_move__swap_join_and_out(opened: Client, rack: Place, barn: dict[str, Animal]) -> None:
    umber, ledger = barn["Umber"], barn["Ledger"]
    opened.post(f"/places/move/{umber.pk}/", {"swap": str(ledger.pk)})
    assert (where(umber), where(ledger)) == ("10", "2")
    opened.post(f"/places/move/{umber.pk}/", {"to": str(tub("2").pk)})
    assert (where(umber), where(ledger)) == ("2", "2")
    opened.post(f"/places/move/{umber.pk}/", {"to": "out"})
    assert where(umber) == ""


@pytest.mark.parametrize(
    "given, said",
    [
        ({"to": "nonsense"}, "not on record any more"),
        ({}, "no tub was chosen"),
        ({"to": "1", "on": "yesterday"}, "is no date"),
        ({"to": "1", "on": "2020-01-01"}, "Choose a later day"),
        ({"to": "1", "on": "2999-01-01"}, "has not come yet"),
        ({"swap": "nobody"}, "in no tub any more"),
    ],
)
def test_move__says_what_is_wrong(
    opened: Client, rack: Place, barn: dict[str, Animal], given: dict[str, str], said: str
) -> None:
    asked = {key: str(tub("1").pk) if text == "1" else text for key, text in given.items()}
    response = opened.post(f"/places/move/{barn['Umber'].pk}/", asked)
    assert response.status_code == 422
    assert said in response.content.decode()
    assert where(barn["Umber"]) == "2"


def test_close__refused_with_somebody_in_it_then_done_and_opened(
    opened: Client, rack: Place, barn: dict[str, Animal]
) -> None:
    response = opened.post(f"/places/{rack.pk}/close/")
    assert response.status_code == 422
    assert "are in Rack B" in response.content.decode()
    for name in ("Umber", "Ledger"):
        opened.post(f"/places/move/{barn[name].pk}/", {"to": "out"})
    assert "Rack B is out of use." in opened.post(f"/places/{rack.pk}/close/", follow=True).content.decode()
    assert "Out of use: 4" in opened.get("/places/").content.decode()
    assert str(tub("1").pk) not in opened.get(f"/places/move/{barn['Umber'].pk}/").content.decode()
    opened.post(f"/places/{rack.pk}/open/")
    assert not Place.objects.filter(closed__isnull=False).exists()


def test_incubator__tells_its_eggs(read: Read, barn: dict[str, Animal]) -> None:
    incubator = add_incubator(who=WHO, name="Incubator", capacity=36)
    clutch = lay_clutch(who=WHO, dam="22-11", laid="2026-04-02", eggs=5)
    put_in_box(list(clutch.egg_records.all()), incubator, who=WHO)
    assert "5 eggs lie in it; it has room for 36" in read(f"/places/{incubator.pk}/")
    assert "Incubator 5 eggs, room for 36" in read("/places/")


def test_undo__of_a_new_rack_leads_to_all_places(opened: Client) -> None:
    made = opened.post("/places/new/rack/", {"name": "Rack 1", "tubs": "1"}, follow=True)
    key = Place.objects.get(kind="rack").pk
    page = made.content.decode()
    batch = page.split('action="/undo/')[1].split("/")[0]
    response = opened.post(f"/undo/{batch}/", headers={"referer": f"http://testserver/places/{key}/"})
    assert response["Location"] == "/places/"


@pytest.mark.parametrize("address", ["/places/new/castle/", "/places/00000000-0000-4000-8000-000000000000/"])
def test_places__that_are_not(opened: Client, address: str) -> None:
    assert opened.get(address).status_code == 404


def test_places__lead_to_labels_and_a_round_to_the_scan(opened: Client, rack: Place) -> None:
    assert f"/labels/?rack={rack.pk}&amp;what=tubs" in opened.get(f"/places/{rack.pk}/").content.decode()
    page = opened.get("/rounds/go/", {"what": "weigh", "place": str(rack.pk)}).content.decode()
    assert f'href="/scan/?round=what%3Dweigh%26place%3D{rack.pk}"' in page
    assert 'href="/scan/?round=what%3Dboth"' in opened.get("/rounds/go/").content.decode()
    assert 'href="/scan/"' in opened.get("/find/").content.decode()
