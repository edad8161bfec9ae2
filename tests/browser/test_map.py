"""The founders' map in a real browser: access for all, no sideways scrolling, marks that lead to their line."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from tests.browser.barriers import WIDTHS, barriers

from holdback.web.records.models import Animal
from holdback.web.records.services import set_origin

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_map__has_no_barrier(opened: Page, site: str) -> None:
    dapple = Animal.objects.get(tag="19-13")
    pages = {"the map": f"{site}/lines/map/", "an origin": f"{site}/animals/{dapple.pk}/origin/"}
    assert barriers(opened, pages) == {}


def test_map__is_as_wide_as_the_page_and_true_to_scale(opened: Page, site: str) -> None:
    for width in WIDTHS:
        opened.set_viewport_size({"width": width, "height": 844})
        opened.goto(f"{site}/lines/map/")
        box = opened.locator("svg.map").bounding_box()
        assert box is not None
        # 55 degrees wide and 39 high, with the cosine of the middle latitude of 5.5 degrees.
        assert box["width"] / box["height"] == pytest.approx(55 * 0.9954 / 39, rel=0.01), width
        assert width >= 900 or box["width"] > 0.8 * width
        words = opened.locator("svg.map .land-name").first
        expect(words).to_be_visible(visible=width >= 900)


def test_map__a_mark_leads_to_its_line(opened: Page, site: str) -> None:
    set_origin(Animal.objects.get(tag="16-01"), who="Wren", place="a market", country="TG")
    opened.set_viewport_size({"width": 390, "height": 844})
    opened.goto(f"{site}/lines/map/")
    expect(opened.locator(".spot .ring")).to_have_count(2)
    for ring in opened.locator(".spot .ring").all():
        expect(ring).to_be_visible()
    opened.get_by_role("link", name=re.compile("1 animal somewhere in Togo")).focus()
    opened.keyboard.press("Enter")
    expect(opened).to_have_url(re.compile("#place-2$"))
    row = opened.get_by_role("row").filter(has=opened.locator("#place-2"))
    expect(row).to_contain_text("Mortar 16-01")


def test_origin__is_written_on_a_phone(opened: Page, site: str) -> None:
    opened.set_viewport_size({"width": 390, "height": 844})
    peat = Animal.objects.get(tag="17-02")
    opened.goto(f"{site}/animals/{peat.pk}/")
    opened.get_by_role("link", name="Say where she comes from").click()
    opened.get_by_label("Place", exact=True).fill("a market in Aldering")
    opened.get_by_label("Country").select_option(label="Togo")
    opened.get_by_label("On what ground").fill("told by the seller")
    opened.get_by_role("button", name="Keep it").click()
    expect(opened.locator(".toast")).to_contain_text("The place is kept.")
    expect(opened.locator("#main")).to_contain_text("a market in Aldering")
