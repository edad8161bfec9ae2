"""Lines, and what the pages of an animal and a pair say of descent."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from django.test import Client
from django.utils import timezone

from holdback.web.jobs.models import Job, State
from holdback.web.pages.views import lines as views
from holdback.web.pages.worked_out import Working
from holdback.web.records.models import Animal, LineClaim
from holdback.web.records.services import add_animal, add_line_claim, change_animal, change_line_claim

Read = Callable[..., str]


def test_lines__empty_says_what_to_do(read: Read, db: None) -> None:
    assert "Open an animal that was bought or caught as part of a line" in read("/lines/")


def test_lines__lists_each_with_a_sentence(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/lines/")
    assert "Marrowfen" in text
    assert "the most to expect in one of these is 75 %" in text


def test_line__says_who_carries_it_and_why(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/lines/of/Marrowfen/")
    assert "Sold as wild caught Marrowfen" in text
    assert "Mortar 16-01" in text
    assert "By descent alone: looks, health, age and weight are yours to weigh." in text
    assert "One wrong sire moves a share by up to half." in text


def test_line__names_those_of_whom_nobody_speaks(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/lines/of/Marrowfen/")
    assert re.search(r"Nobody says anything of (Harrow 20-07 and Quill 17-02|Quill 17-02 and Harrow 20-07)", text)
    assert "each counts as none of the line" in text


def test_line__says_all_at_once_where_asked(read: Read, barn: dict[str, Animal], at_once: None) -> None:
    assert "Looking whether a parent on record is at odds" in read("/lines/of/Marrowfen/")
    text = read("/lines/of/Marrowfen/", all="1")
    assert "No parent on record is at odds with the genes in a way that would move the line." in text
    assert "Looking whether" not in text


def test_line__whose_founders_are_gone(read: Read, barn: dict[str, Animal]) -> None:
    change_animal(barn["Mortar"], who="Wren", status="dead")
    text = read("/lines/of/Marrowfen/")
    assert "No founder is here, but" in text
    assert "Mortar 16-01 (not here)" in text


def test_line__without_young_says_so(read: Read, barn: dict[str, Animal]) -> None:
    add_line_claim(barn["Sedge"], who="Wren", line="Fen / east, 100 %?", share_low=0.5, share_high=1.0)
    text = read("/lines/of/Fen%20%2F%20east%2C%20100%20%25%3F/")
    assert "1 founder is here, and no young of its." in text
    assert "Nobody here descends from them." in text
    assert "50 % to 100 %" in text


def test_line__named_like_an_address_has_its_own(read: Read, barn: dict[str, Animal]) -> None:
    add_line_claim(barn["Sedge"], who="Wren", line="Fen/doubts", share_low=1.0, share_high=1.0)
    assert "1 founder is here" in read("/lines/of/Fen/doubts/")


def test_lines__say_how_far_the_work_is(read: Read, barn: dict[str, Animal], monkeypatch: pytest.MonkeyPatch) -> None:
    job = Job.objects.create(kind="beliefs", state=State.RUNNING, made_at=timezone.now(), progress=41, total=100)
    monkeypatch.setattr(views, "answers_or_work", lambda **_: Working(job, conflicts=False))
    for address in ("/lines/", "/lines/of/Marrowfen/", "/lines/doubts/Marrowfen/"):
        assert "is being worked out, 41 %" in read(address)


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
    assert re.search(r"In nine cases of ten \d\d % to \d\d % is Marrowfen\.", text)
    assert "by descent, from a claim" in text
    assert "25 % through Mortar 16-01: sire, and dam's sire." in text


def test_animal__with_one_parent_on_record_has_no_known_inbreeding(read: Read, barn: dict[str, Animal]) -> None:
    add_animal(who="Wren", tag="25-20", sex="male", dam="19-01")
    text = read(f"/animals/{Animal.objects.get(tag='25-20').pk}/")
    assert "not known One parent is not on record" in text


def test_animal__of_a_doubtful_sire_says_which_side_is_open(read: Read, barn: dict[str, Animal]) -> None:
    add_animal(who="Wren", tag="25-21", sex="male", dam="19-01", sires="16-01:0.6|20-07:0.4")
    text = read(f"/animals/{Animal.objects.get(tag='25-21').pk}/")
    assert "through Mortar 16-01: possible sire, and dam's sire." in text
    assert "A mean over the sires in question." in text


def test_animal__without_a_sire_says_whence_both_copies_are(read: Read, barn: dict[str, Animal]) -> None:
    add_animal(who="Wren", tag="25-22", sex="female", dam="17-02", sires="none")
    text = read(f"/animals/{Animal.objects.get(tag='25-22').pk}/")
    assert "by descent, from an assumed value" in text
    assert "Both copies of each gene come from the dam" in text
    assert "more ways" not in text


def test_animal__of_whom_nobody_speaks_is_no_finding(read: Read, barn: dict[str, Animal]) -> None:
    text = read(f"/animals/{barn['Fennel'].pk}/")
    assert "None of Marrowfen, as far as the records say. Nobody says anything of the ancestry" in text


def test_animal__says_a_claimed_range_once(read: Read, barn: dict[str, Animal]) -> None:
    claim = LineClaim.objects.get(animal=barn["Mortar"])
    change_line_claim(claim, who="Wren", share_low=0.5, share_high=1.0)
    text = read(f"/animals/{barn['Mortar'].pk}/")
    assert "Marrowfen 50–100 % claimed" in text
    assert "75 %" not in text


def test_pair__of_strangers_says_so(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/pair/", sire="20-07", dam="22-11")
    assert "They share no ancestor that is on record." in text
    assert "As far as the papers go, the share to expect may be anything from 37.5 % to" in text


def test_animal__founder_links_to_its_claim(opened: Client, barn: dict[str, Animal]) -> None:
    page = opened.get(f"/animals/{barn['Mortar'].pk}/").content.decode()
    claim = LineClaim.objects.get(animal=barn["Mortar"])
    assert f"/line-claims/{claim.pk}/" in page
    assert "Marrowfen, by what is said of him." in page


def test_animal__with_parents_says_that_its_claim_is_not_counted(read: Read, barn: dict[str, Animal]) -> None:
    add_line_claim(barn["Umber"], who="Wren", line="Marrowfen", share_low=0.5, share_high=0.5)
    text = read(f"/animals/{barn['Umber'].pk}/")
    assert "Said to be 50 % of Marrowfen; not counted, for her parents are on record." in text
