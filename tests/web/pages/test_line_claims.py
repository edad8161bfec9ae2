"""Saying on a page how much of a line an animal is."""

from __future__ import annotations

from collections.abc import Callable

from django.test import Client

from holdback.web.records.models import Animal, LineClaim

Read = Callable[..., str]


def test_add__keeps_percent_as_a_share(opened: Client, barn: dict[str, Animal]) -> None:
    address = f"/animals/{barn['Umber'].pk}/line/"
    assert opened.get(address).status_code == 200
    said = {"line": "Marrowfen", "low": "50", "high": "100", "ground": "Show table."}
    assert opened.post(address, said).status_code == 302
    claim = LineClaim.objects.get(animal=barn["Umber"])
    assert (claim.share_low, claim.share_high, claim.ground) == (0.5, 1.0, "Show table.")


def test_add__tells_that_parents_on_record_go_before(read: Read, barn: dict[str, Animal]) -> None:
    assert "Not counted while parents are on record" in read(f"/animals/{barn['Umber'].pk}/line/")
    assert "Not counted" not in read(f"/animals/{barn['Mortar'].pk}/line/")


def test_add__takes_no_share_for_granted(opened: Client, barn: dict[str, Animal]) -> None:
    response = opened.post(f"/animals/{barn['Sedge'].pk}/line/", {"line": "Marrowfen"})
    assert response.status_code == 422
    assert 'value="100"' not in opened.get(f"/animals/{barn['Sedge'].pk}/line/").content.decode()


def test_add__says_what_is_wrong_beside_the_field(opened: Client, barn: dict[str, Animal]) -> None:
    address = f"/animals/{barn['Umber'].pk}/line/"
    response = opened.post(address, {"line": "Marrowfen", "low": "80", "high": "20"})
    assert response.status_code == 422
    assert "The lower share is above the upper one. Change them over." in response.content.decode()


def test_change_and_remove__go_back_to_the_animal(opened: Client, barn: dict[str, Animal]) -> None:
    claim = LineClaim.objects.get(animal=barn["Mortar"])
    assert "wild caught Marrowfen" in opened.get(f"/line-claims/{claim.pk}/").content.decode()
    opened.post(f"/line-claims/{claim.pk}/", {"low": "25", "high": "75", "ground": "Doubtful."})
    claim.refresh_from_db()
    assert (claim.line, claim.share_low, claim.share_high) == ("Marrowfen", 0.25, 0.75)
    response = opened.post(f"/line-claims/{claim.pk}/remove/")
    assert response.status_code == 302
    assert not LineClaim.objects.filter(pk=claim.pk).exists()
