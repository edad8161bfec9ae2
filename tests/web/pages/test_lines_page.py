"""Lines, and what the pages of an animal and a pair say of descent."""

from __future__ import annotations

from collections.abc import Callable

from django.test import Client

from holdback.web.records.models import Animal, LineClaim

Read = Callable[..., str]


def test_lines__empty_says_what_to_do(read: Read, db: None) -> None:
    assert "Open an animal that was bought or caught as part of a line" in read("/lines/")


def test_lines__lists_each_with_a_sentence(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/lines/")
    assert "Marrowfen" in text
    assert "The most in one of them is" in text


def test_line__says_who_carries_it_and_why(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/lines/of/Marrowfen/")
    assert "Sold as wild caught Marrowfen" in text
    assert "Mortar 16-01" in text
    assert "By descent alone: looks, health, age and weight are yours to weigh." in text
    assert "One wrong sire moves a share by up to half." in text


def test_line__unknown_is_not_found(opened: Client, barn: dict[str, Animal]) -> None:
    assert opened.get("/lines/of/Nowhere/").status_code == 404


def test_line__of_any_name_has_an_address(opened: Client, barn: dict[str, Animal]) -> None:
    LineClaim.objects.update(line="Fen / east, 100 %?")
    page = opened.get("/lines/").content.decode()
    address = page.split('<dt><a href="')[1].split('"')[0]
    assert opened.get(address).status_code == 200


def test_animal__says_share_and_inbreeding(read: Read, barn: dict[str, Animal]) -> None:
    text = read(f"/animals/{barn['Umber'].pk}/")
    assert "How much of a line" in text
    assert "by descent, from a claim" in text
    assert "Inbreeding" in text


def test_animal__founder_links_to_its_claim(opened: Client, barn: dict[str, Animal]) -> None:
    page = opened.get(f"/animals/{barn['Mortar'].pk}/").content.decode()
    claim = LineClaim.objects.get(animal=barn["Mortar"])
    assert f"/line-claims/{claim.pk}/" in page
    assert "Said to be all of Marrowfen" in page.replace("\n", " ")
