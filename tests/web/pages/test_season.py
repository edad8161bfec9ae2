"""The season page: bands, windows in words, room, who may breed, how long things take."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from django.test import Client
from tests.web.pages.season_examples import keep_a_year

from holdback.season.days import DayLaw
from holdback.season.outlook import WeekLoad
from holdback.web.pages.season.asked import Asked
from holdback.web.pages.season.band import window
from holdback.web.pages.season.room import _EGGS, message
from holdback.web.pages.season.scale import Scale

Read = Callable[..., str]


@pytest.fixture
def kept(db: None, settings: Any) -> dict[str, Any]:
    settings.HOLDBACK_DEMO = True
    return keep_a_year()


def test_season__of_nobody_says_what_it_will_show(read: Read) -> None:
    assert "No grown female is here" in read("/season/")


def test_season__says_what_comes_next_and_what_is_doubtful(read: Read, kept: dict[str, Any]) -> None:
    text = read("/season/")
    assert "Season 2026" in text
    assert re.search(r"(Fennel lays|Clutch 26-01 hatches) next, \d+", text)
    assert "Sorrel may not lay at all: look again by 24 May." in text


def test_season__tells_each_female_in_words(read: Read, kept: dict[str, Any]) -> None:
    text = read("/season/")
    assert "Shed before laying 9 May. Put the nest box in." in text
    assert "May not lay; if so, by " in text
    assert re.search(r"Lays this season: (\d in 10|fewer than 1 in 10)", text)
    assert "Clutch 26-01" in text
    assert "6 not looked at" in text
    assert "Rests this season" in text
    assert "1 female with nothing on record this season Jackdaw 21-06" in text


def test_season__draws_what_it_says(opened: Client, kept: dict[str, Any]) -> None:
    page = opened.get("/season/").content.decode()
    said = re.findall(r'role="img" aria-label="([^"]+)"', page)
    fennel = next(one for one in said if one.startswith("Fennel"))
    assert "with Tallow from 10 January to 12 January, 1 lock" in fennel
    assert "ovulation 20 April, shed before laying 9 May, laying expected " in fennel
    sorrel = next(one for one in said if one.startswith("Sorrel"))
    assert "largest follicle 18 mm on 3 May" in sorrel
    assert "she lays this season in" in sorrel
    assert 'class="ovulated"' in page
    assert 'class="today"' in page
    assert "style=" not in page


@pytest.mark.parametrize(
    "asked, who",
    [
        ("show=laid", {"Quill"}),
        ("show=doubt", {"Sorrel"}),
        ("show=rest", {"Thistle", "Jackdaw"}),
        ("male=20-07", {"Quill", "Sorrel"}),
        ("text=fen", {"Fennel"}),
        ("show=strange&year=soon", {"Quill", "Fennel", "Sorrel", "Thistle"}),
    ],
)
def test_season__shows_whom_it_is_asked_for(opened: Client, kept: dict[str, Any], asked: str, who: set[str]) -> None:
    page = opened.get(f"/season/?{asked}").content.decode()
    assert set(re.findall(r'class="who"><a [^>]*>(\w+) ', page)) == who


def test_season__of_another_year_has_no_today(opened: Client, kept: dict[str, Any]) -> None:
    page = opened.get("/season/?year=2025").content.decode()
    assert "Season 2025" in page
    assert "Who may breed" not in page
    assert 'class="today"' not in page


def test_season__for_the_wall_holds_the_bands_only(opened: Client, kept: dict[str, Any]) -> None:
    page = opened.get("/season/?print=1").content.decode()
    assert "season_print.css" in page
    assert 'id="band-20-12"' in page
    assert "Who may breed" not in page


def test_season__tells_who_may_breed_and_why(read: Read, kept: dict[str, Any]) -> None:
    text = read("/season/")
    breeders = text[text.index("Who may breed") : text.index("How long things take")]
    assert "Females" in breeders
    assert "1,900 g" in breeders
    assert "more reason" in breeders


def test_season__tells_how_long_things_take(read: Read, kept: dict[str, Any]) -> None:
    text = read("/season/")
    assert "Shed before laying to laying" in text
    assert "assumed" in text


def test_season__asks_as_often_for_many_as_for_few(
    opened: Client, kept: dict[str, Any], django_assert_max_num_queries: Any
) -> None:
    opened.get("/season/")
    with django_assert_max_num_queries(11):
        opened.get("/season/")


def test_window__is_darkest_where_it_is_likeliest() -> None:
    law = DayLaw.of(dt.date(2026, 6, 1).toordinal(), np.exp(-0.5 * ((np.arange(40) - 20) / 5) ** 2))
    scale = Scale(dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    found = re.findall(r'x="([\d.]+)%" width="([\d.]+)%".*?fill-opacity="([\d.]+)"', window(law, scale))
    strengths = [float(one[2]) for one in found]
    middle = len(found) // 2
    assert max(strengths) == strengths[middle]
    assert strengths[0] < strengths[2] < strengths[middle] > strengths[-1]
    left, width = float(found[0][0]), sum(float(one[1]) for one in found)
    sd = 100 * 5 / 365
    assert width == pytest.approx(2 * 1.645 * sd, rel=0.05)  # the middle nine of ten of a normal law
    assert left == pytest.approx(scale.at(law.mean) - 1.645 * sd, abs=0.15)


@pytest.mark.parametrize(
    "expected, upper, there, said",
    [
        (20.0, 30, 36, "The incubator holds, even in the bad case: 30 of 36 in the week of 15 June."),
        (30.0, 41, 36, "The incubator does not hold in the bad case: 41 of 36 in the week of 15 June."),
        (38.2, 45, 36, "The incubator will not do: about 38 of 36 in the week of 15 June."),
        (20.0, 30, None, "In nine seasons of ten no more than 30 eggs, the most in the week of 15 June."),
    ],
)
def test_message__says_whether_there_is_room(expected: float, upper: int, there: int | None, said: str) -> None:
    weeks = [WeekLoad(dt.date(2026, 6, 8), 2.0, 3), WeekLoad(dt.date(2026, 6, 15), expected, upper)]
    assert message(_EGGS, weeks, there) == said


def test_asked__keeps_the_rest_of_its_address() -> None:
    asked = Asked.of({"year": "2025", "show": "laid", "male": "20-07"})
    assert asked.address(print="1") == "year=2025&show=laid&male=20-07&print=1"
    assert Asked.of({"year": "99999", "show": "x"}) == Asked()


def test_animal__tells_her_season_afterwards(opened: Client, read: Read, kept: dict[str, Any]) -> None:
    fennel = kept["Fennel"]
    assert f'hx-get="/season/of/{fennel.pk}/"' in opened.get(f"/animals/{fennel.pk}/").content.decode()
    text = read(f"/season/of/{fennel.pk}/")
    assert re.search(r"Lays \d+", text)
    assert "Shed before laying 9 May." in text
    assert "Pairing now: " in text
    assert 'href="/season/#band-20-12"' in opened.get(f"/season/of/{fennel.pk}/").content.decode()


def test_animal__tells_whom_he_was_with(read: Read, kept: dict[str, Any]) -> None:
    text = read(f"/season/of/{kept['Harrow'].pk}/")
    assert "With 2 females this season." in text
    assert "Sorrel 22-09: 1 time, last 22 March, 1 lock" in text


def test_animal__of_a_young_asks_for_no_season(opened: Client, kept: dict[str, Any]) -> None:
    from holdback.web.records.services import add_animal

    young = add_animal(who="test", tag="26-01-1", sex="female", hatched="2026-05-01")
    assert "This season" not in opened.get(f"/animals/{young.pk}/").content.decode()
    assert "the season says nothing" in opened.get(f"/season/of/{young.pk}/").content.decode()


def test_season__asks_for_places_where_nobody_said_how_many(opened: Client, kept: dict[str, Any]) -> None:
    page = opened.get("/season/").content.decode()
    assert 'egg places there are: <a href="/rules/">say it</a>' in page
    assert "In nine seasons of ten no more than" in page
