"""The form of a project in a real browser: moving a weight tells what follows."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

pytestmark = [pytest.mark.browser, pytest.mark.slow]

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def test_weights__tell_what_follows_as_they_are_moved(opened: Page, site: str) -> None:
    opened.goto(f"{site}/projects/big-clown/change/")
    said = opened.locator("#weights")
    expect(said).to_contain_text("Reaching it is worth 80 eggs")
    opened.get_by_label("What reaching it is worth").fill("200")
    expect(said).to_contain_text("Reaching it is worth 200 eggs")
    opened.get_by_label("What a year sooner is worth").fill("0")
    expect(said).to_contain_text("It may take as long as it takes")


def test_form__has_no_barrier_and_never_scrolls_sideways(opened: Page, site: str) -> None:
    opened.goto(f"{site}/projects/big-clown/change/")
    for details in opened.locator("details").all():
        details.evaluate("element => { element.open = true }")
    found = Axe().run(opened, options={"runOnly": {"type": "tag", "values": TAGS}})
    assert found.violations_count == 0, found.generate_report()
    for width in (320, 1280):
        opened.set_viewport_size({"width": width, "height": 844})
        assert opened.evaluate("document.documentElement.scrollWidth") <= width
