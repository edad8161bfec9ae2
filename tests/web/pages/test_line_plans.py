"""Who of a line should breed, and carrying a gene into it, as pages."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from holdback.web.jobs.models import Job, State
from holdback.web.pages.worked_out import Working
from holdback.web.records.models import LineClaim

Read = Callable[..., str]
WHO = "Wrackline Barn"


@pytest.fixture
def herd(db: None, at_once: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three unrelated of each sex, half or all of the line, grown; the first two males show a gene."""
    from holdback.web.records import clock
    from holdback.web.records.services import add_animal, add_line_claim, add_measurement

    monkeypatch.setattr(clock, "today", lambda: dt.date(2026, 5, 14))
    for number, (sex, genes, grams) in enumerate(
        [
            ("male", "Clown", 1900),
            ("male", "Spider", 1200),
            ("male", "", 1500),
            ("female", "", 3900),
            ("female", "", 2100),
            ("female", "", 2600),
        ]
    ):
        one = add_animal(
            who=WHO, tag=f"17-0{number}", name=f"N{number}", sex=sex, genes=genes, hatched="2017-07-01"
        )  # fmt: skip
        low = 0.5 if number in (0, 1) else 1.0
        add_line_claim(one, who=WHO, line="Marrowfen", share_low=low, share_high=low)
        for year in (2024, 2025, 2026):
            add_measurement(one, who=WHO, date=f"{year}-03-02", value=grams, condition="empty")


def test_breeding__pairs_price_and_ground(read: Read, herd: None) -> None:
    text = read("/lines/breeding/Marrowfen/")
    assert re.search(r"For 20\d\d, put N\d to N\d", text)
    assert "akin on average" in text
    assert "By descent the young are" in text
    assert "Numbers behind this figure" in text
    assert "6 of 6 have weights of their own that count" in text
    assert "ask a vet in doubt" in text


def test_breeding__asked_afterwards_or_at_once(opened: Client, read: Read, herd: None) -> None:
    late = opened.get("/lines/of/Marrowfen/").content.decode()
    assert 'hx-get="/lines/breeding/Marrowfen/"' in late
    assert "Best part of the genes" not in late
    assert "For 20" in read("/lines/of/Marrowfen/", all="1")
    assert "For 20" in read("/lines/of/Marrowfen/", clutches="3")


def test_breeding__as_asked(read: Read, herd: None) -> None:
    text = read("/lines/of/Marrowfen/", clutches="3", rate="5", share="75", inbreeding="12.5")
    assert "No male" not in text  # one male is all of it
    one = read("/lines/of/Marrowfen/", clutches="1", share="75")
    assert "N2 to N3" in one  # the only male, and the biggest female


@pytest.mark.parametrize(
    "asked, said",
    [
        ({"clutches": "9"}, "9 clutches of Marrowfen are asked for, and 3 females of it can breed"),
        ({"rate": "200"}, "less than or equal to 100"),
        ({"clutches": "many"}, "Enter a whole number"),
    ],
)
def test_breeding__faults_at_their_fields_and_all_typed_kept(
    opened: Client, herd: None, asked: dict[str, str], said: str
) -> None:
    page = opened.get("/lines/of/Marrowfen/", {"share": "20", **asked}).content.decode()
    assert said in page
    assert 'class="fault"' in page
    assert 'name="share" value="20"' in page
    (value,) = asked.values()
    assert f'value="{value}"' in page


def test_breeding__without_weights_says_so(read: Read, herd: None) -> None:
    from holdback.web.records.models import Measurement

    Measurement.objects.all().delete()
    text = read("/lines/breeding/Marrowfen/")
    assert "nobody is chosen for size" in text
    assert "Numbers behind this figure" not in text


def test_breeding__nobody_of_a_sex(read: Read, herd: None) -> None:
    LineClaim.objects.filter(animal__sex="female").delete()
    assert "No female with a share of 25 % of Marrowfen or more can breed" in read("/lines/breeding/Marrowfen/")


def test_plans__say_how_far_the_work_is(read: Read, herd: None, monkeypatch: pytest.MonkeyPatch) -> None:
    inputs = {"what": "Who of the line should breed"}
    job = Job.objects.create(
        kind="plans", state=State.RUNNING, made_at=timezone.now(), progress=41, total=100, inputs=inputs
    )
    monkeypatch.setattr("holdback.web.pages.line.breeding.line_or_work", lambda *_: Working(job))
    monkeypatch.setattr("holdback.web.pages.line.carry.stock_or_work", lambda: Working(job))
    for address in ("/lines/breeding/Marrowfen/", "/lines/carry/Marrowfen/?gene=Clown"):
        assert "is being worked out, 41 %" in read(address)


def test_carry__asks_for_a_gene(read: Read, herd: None) -> None:
    assert "Name a gene" in read("/lines/carry/Marrowfen/")


def test_carry__cross_by_cross(read: Read, herd: None) -> None:
    text = read("/lines/carry/Marrowfen/", gene="het Clown", crosses="2")
    assert "het Clown into Marrowfen" in text
    assert "N0 17-00 brings it." in text
    assert "all carry it, unseen" in text
    assert "There are no DNA markers to go by" in text
    assert "Eggs for 95 in 100" in text
    assert "Other ways" in text


def test_carry__more_inbred_than_asked_stands_first(read: Read, herd: None) -> None:
    text = read("/lines/carry/Marrowfen/", gene="Clown", inbreeding="1")
    lede, _, rest = text.partition("Cross by cross")
    assert "Inbreeding reaches" in lede
    assert "More inbred than you asked for" in rest


def test_carry__what_harms_is_spoken_for_first(opened: Client, read: Read, herd: None) -> None:
    text = read("/lines/carry/Marrowfen/", gene="Spider")
    assert "I know this; plan with it" in text
    assert "Cross by cross" not in text
    page = opened.get("/lines/carry/Marrowfen/", {"gene": "Spider", "crosses": "3"}).content.decode()
    address = re.findall(r'href="(\?[^"]*accept[^"]*)"', page)[0].replace("&amp;", "&")
    assert "crosses=3" in address
    spoken = read(f"/lines/carry/Marrowfen/{address}")
    assert "Cross by cross" in spoken
    assert "Spoken for: welfare-neurological:spider" in spoken


@pytest.mark.parametrize(
    "asked, said",
    [
        ({"gene": "Foo"}, "Foo"),
        ({"gene": "Piebald"}, "No animal here brings Piebald."),
        ({"gene": ""}, "This field is required."),
        ({"gene": "Clown", "crosses": "99"}, "less than or equal to 8"),
    ],
)
def test_carry__faults_and_all_typed_kept(opened: Client, herd: None, asked: dict[str, Any], said: str) -> None:
    page = opened.get("/lines/carry/Marrowfen/", {"inbreeding": "7", **asked}).content.decode()
    assert said in page
    assert 'name="inbreeding" value="7"' in page
    assert 'class="fault"' in page


def test_plans__unknown_line_is_not_found(opened: Client, herd: None) -> None:
    assert opened.get("/lines/breeding/Nowhere/").status_code == 404
    assert opened.get("/lines/carry/Nowhere/").status_code == 404


def test_plans__few_queries(opened: Client, herd: None, django_assert_max_num_queries: Any) -> None:
    opened.get("/lines/breeding/Marrowfen/")  # worked out and kept
    with django_assert_max_num_queries(25):
        opened.get("/lines/breeding/Marrowfen/")
    with django_assert_max_num_queries(25):
        opened.get("/lines/carry/Marrowfen/?gene=Clown")
