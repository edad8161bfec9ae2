"""What is looked for on every page is found on one that has it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page
from tests.browser.barriers import by_axe, on_this

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PAGE = """<!doctype html><html lang="en"><title>A page</title>
<meta name="viewport" content="width=device-width">
<style>@media (prefers-color-scheme: dark) {{ body {{ background: #111 }} h1, p {{ color: {at_night} }} }}</style>
<main><h1>A page</h1>{rest}</main></html>"""


def test_barriers__none(page: Page) -> None:
    page.set_content(PAGE.format(at_night="#eee", rest="<p>Words.</p>"))
    assert on_this(page) == ""


def test_barriers__colour_at_night_alone(page: Page) -> None:
    page.set_content(PAGE.format(at_night="#222", rest="<p>Words.</p>"))
    assert [("color-contrast" in said, "button-name" in said) for said in by_axe(page)] == [(True, False)]


def test_barriers__by_day_and_wide_when_unfolded(page: Page) -> None:
    wide = "<button></button><details><summary>More</summary><div style='width: 600px'>Words.</div></details>"
    page.set_content(PAGE.format(at_night="#eee", rest=wide))
    assert "px on a screen" not in on_this(page)
    said = on_this(page, unfold=None)
    assert "px on a screen of 390 px" in said
    assert "px on a screen of 1280 px" not in said
    assert "button-name" in said
