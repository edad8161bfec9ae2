"""The Desk: what does not fit, what is asked, what was written since last time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest
from django.template.loader import render_to_string
from django.test import Client
from django.utils import timezone
from django.utils.safestring import SafeString

from holdback.web.pages.components import Column, Table
from holdback.web.pages.conflict_words import Misfit
from holdback.web.records.models import Animal
from holdback.web.records.services import add_animal, add_look, add_measurement

Read = Callable[..., str]


def test_desk__of_nobody_says_what_it_will_show(read: Read) -> None:
    text = read("/")
    assert "Nothing yet" in text
    assert "add an animal" in text


def test_desk__is_the_first_page_and_the_first_room(opened: Client, barn: dict[str, Animal]) -> None:
    text = opened.get("/").content.decode()
    assert '<a href="/" aria-current="page">Desk</a><a href="/rounds/">Rounds</a>' in text


def test_desk__where_all_fits_is_calm(read: Read, opened: Client, db: None) -> None:
    add_animal(who="test", tag="A1", sex="male", genes="Clown")
    text = read("/")
    assert "Nothing in the records is at odds." in text
    assert "That does not prove them right" in text


def test_desk__tells_what_cannot_be_and_what_would_explain_it(read: Read, barn: dict[str, Animal]) -> None:
    assert "do not fit" not in read("/")
    add_look(barn["Sorrel"], who="test", allele="Banana", copies=1)
    text = read("/")
    assert "1 thing in the records does not fit." in text
    assert "Sorrel (22-09)" in text
    assert "The look of Sorrel (22-09) was written down wrongly" in text
    assert "Change what is written of 22-09" in text


def test_desk__folds_what_does_not_fit_beyond_three() -> None:
    heads = [Column("What would explain it")]
    misfits = [
        Misfit(
            "CNF-001", f"Thing {n}.", [], Table(heads, [["best"]]), Table(heads, [["next"]] * n), SafeString(), (), ""
        )
        for n in range(1, 6)
    ]
    page = render_to_string("pages/parts/misfits.html", {"misfits": misfits, "fold": 1})
    shown, folded = page.split("<summary>2 more</summary>")
    assert ("Thing 3." in shown, "Thing 4." in shown, "Thing 5." in folded) == (True, False, True)
    assert "<summary>3 other explanations</summary>" in shown
    assert "more</summary>" not in render_to_string("pages/parts/misfits.html", {"misfits": misfits})


def test_desk__asks_about_eggs_apart_from_what_does_not_fit(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/")
    assert "1 clutch is short of eggs." in text
    assert text.index("It does not fit") < text.index("Ratios mislead") < text.index("6 eggs, 0 slugs")


def test_desk__tells_what_was_written_since_last_time(
    read: Read, opened: Client, barn: dict[str, Animal], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "Written lately" in read("/")
    add_measurement(barn["Umber"], who="test", date="2026-06-01", value=1200)
    assert "Add animal" in read("/"), "the same visit goes on"
    later = timezone.now() + dt.timedelta(days=2)
    monkeypatch.setattr(timezone, "now", lambda: later)
    text = read("/")
    assert "New since" in text
    assert "Nothing was written." in text, "what was written during the last visit is not new"
    add_measurement(barn["Umber"], who="test", date="2026-06-02", value=1210)
    assert "Add measurement: Umber 22-11" in read("/")
    assert "Add animal" not in read("/")


def test_desk__asks_as_often_for_many_as_for_few(
    opened: Client, barn: dict[str, Animal], django_assert_max_num_queries: Any
) -> None:
    opened.get("/")
    with django_assert_max_num_queries(19):
        opened.get("/")
