"""What was counted over all clutches: shares with their ranges, males, sexes, what was left out."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from tests.web.pages.season_examples import WHO, keep_a_year

from holdback.collection.estimate import Basis, Estimate
from holdback.season.outlook import Rate
from holdback.web.pages.season.shares import share_line, share_table
from holdback.web.records.services import add_clutch

Read = Callable[..., str]


@pytest.fixture
def kept(db: None, settings: Any) -> dict[str, Any]:
    settings.HOLDBACK_DEMO = True
    found = keep_a_year()
    for tag, dam, year, slugs in (
        ("24-01", "17-02", 2024, 1),
        ("25-01", "17-02", 2025, 0),
        ("25-02", "20-12", 2025, 2),
    ):
        add_clutch(
            who=WHO, tag=tag, dam=dam, sires="20-07", laid=f"{year}-05-02", hatched=f"{year}-07-01", eggs=6, slugs=slugs
        )
    return found


def test_counts__of_nothing_say_what_they_will_show(read: Read) -> None:
    assert "Nothing to count yet" in read("/season/counts/")


def test_counts__say_what_they_rest_on_and_what_was_left_out(read: Read, kept: dict[str, Any]) -> None:
    text = read("/season/counts/")
    assert "3 of 18 eggs in 3 clutches were slugs." in text
    assert "1 clutch still in the box: counted for slugs only." in text
    assert "Left out" in text


def test_counts__tell_by_year_dam_and_sire(read: Read, kept: dict[str, Any]) -> None:
    text = read("/season/counts/")
    slugs = text[text.index("were slugs.") : text.index("Males")]
    assert slugs.index("2025") < slugs.index("2024")
    assert "Quill 17-02" in slugs
    assert "Harrow 20-07" in slugs
    assert "2 of 6 in 1 clutch — few" in slugs


def test_counts__tell_the_use_of_males(read: Read, kept: dict[str, Any]) -> None:
    males = read("/season/counts/").split("What he lost says nothing of why")[1]
    assert re.search(r"Harrow 20-07 2026 2 2 1 ", males)
    assert "The seasons before Male Season" in males


def test_counts__link_to_everybody(opened: Client, kept: dict[str, Any]) -> None:
    page = opened.get("/season/counts/").content.decode()
    assert f"/animals/{kept['Harrow'].pk}/" in page


def test_looks__are_told_afterwards(opened: Client, kept: dict[str, Any]) -> None:
    assert 'hx-get="/season/counts/looks/"' in opened.get("/season/counts/").content.decode()
    assert "No look of a young" in opened.get("/season/counts/looks/").content.decode()
    assert "No look of a young" in opened.get("/season/counts/?all=1").content.decode()


def test_counts__ask_as_often_for_many_as_for_few(
    opened: Client, kept: dict[str, Any], django_assert_max_num_queries: Any
) -> None:
    opened.get("/season/counts/")
    with django_assert_max_num_queries(9):
        opened.get("/season/counts/")


def rate(group: str, mean: float, clutches: int = 4) -> Rate:
    share = Estimate(mean, mean - 5, mean + 5, "%", Basis.MEASURED, "Counted.")
    return Rate(group, 10, 5, clutches, share, 50.0)


def test_share_table__puts_the_latest_year_and_the_highest_share_first() -> None:
    years = share_table([rate("2024", 90.0), rate("2026", 60.0), rate("2025", 80.0)], str)
    assert [row[0] for row in years.rows] == ["2026", "2025", "2024"]
    dams = share_table([rate("a", 60.0), rate("b", 90.0)], lambda group: group.upper())
    assert [row[0] for row in dams.rows] == ["B", "A"]


def test_share_line__reaches_from_low_to_high() -> None:
    drawn = share_line(Estimate(86.4, 80.5, 91.3, "%", Basis.MEASURED, "Counted."))
    assert 'x="80.5%" width="10.8%"' in drawn
    assert 'aria-label="86 percent, 80 to 91"' in drawn
