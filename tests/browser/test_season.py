"""The season and the Desk in a real browser: for all, on a phone, on one sheet of paper, without a script."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.barriers import barriers

from holdback.demo_data import LAST_DAY
from holdback.web.access.tokens import new_token
from holdback.web.records.models import Animal

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture
def dated(site: str, settings: Any) -> str:
    """Address of the site on the demo's day."""
    from holdback.web.records.services.day import set_day

    settings.HOLDBACK_DEMO = True
    set_day(LAST_DAY, who="Wrackline Barn")
    return site


def test_season__has_no_barrier_and_never_scrolls_sideways(opened: Page, dated: str) -> None:
    pages = ("/", "/season/", "/season/counts/?all=1", "/season/?print=1")
    assert barriers(opened, {path: f"{dated}{path}" for path in pages}, unfold=None) == {}


def test_season__for_the_wall_is_one_sheet_across(opened: Page, dated: str) -> None:
    opened.goto(f"{dated}/season/?print=1")
    sheet = opened.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b", sheet)) == 1
    assert re.findall(rb"/MediaBox\s*\[0 0 84\d[.\d]* 59\d", sheet)


def test_desk__writes_by_one_tap_without_a_script_and_takes_it_back(browser: Browser, dated: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{dated}/open/{new_token()}/")
    page.goto(dated)
    meals = page.locator("section:has(#today) .todo > li", has_text="whose last meal is older").first
    meals.get_by_text("One by one").click()
    taken = meals.get_by_role("button", name="Taken")
    count = page.locator("button", has_text="Taken").count()
    taken.first.click()
    expect(page.locator(".toast")).to_contain_text("meal taken")
    expect(page.locator("button", has_text="Taken")).to_have_count(count - 1)
    page.locator(".toast").get_by_role("button", name="Undo").click()
    expect(page.locator("button", has_text="Taken")).to_have_count(count)
    heights = [(one.bounding_box() or {"height": 0})["height"] for one in page.locator(".todo .btn:visible").all()]
    assert min(heights) >= 44
    context.close()


def test_animal__asks_afterwards_how_the_season_stands(opened: Page, dated: str) -> None:
    opened.goto(f"{dated}/animals/{Animal.objects.get(tag='22-11').pk}/")
    season = opened.locator("section:has(#season)")
    expect(season).to_contain_text("Pairing now")
    season.get_by_role("link", name="Season 2026").click()
    expect(opened.get_by_role("heading", name="Season 2026")).to_be_visible()
