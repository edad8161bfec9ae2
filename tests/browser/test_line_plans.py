"""Plans for a line in a real browser: worked out while the page is read, and carried on by a form."""

from __future__ import annotations

import datetime as dt

import pytest
from playwright.sync_api import Page, expect
from tests.browser.barriers import on_this

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_line_plans__come_by_themselves_and_lead_on(opened: Page, site: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from holdback.web.records import clock

    monkeypatch.setattr(clock, "today", lambda: dt.date(2026, 5, 14))
    opened.set_viewport_size({"width": 390, "height": 844})
    opened.goto(f"{site}/lines/of/Marrowfen/")
    expect(opened.locator("#breeding")).to_contain_text("For 2027, put", timeout=60_000)
    expect(opened.locator("#breeding").get_by_role("img", name="bigger")).to_have_count(1)
    assert on_this(opened, unfold=None) == ""
    opened.locator("#breeding").get_by_label("Clutches", exact=True).fill("5")
    opened.get_by_role("button", name="Work it out so").click()
    expect(opened.locator("#breeding")).to_contain_text("of 5 paired", timeout=60_000)
    opened.locator("#carry-gene").fill("Clown")
    opened.locator("section:has(#carry)").get_by_role("button", name="Plan it").click()
    expect(opened.get_by_role("heading", level=1)).to_have_text("Clown into Marrowfen", timeout=60_000)
    expect(opened.get_by_label("Gene", exact=True)).to_have_value("Clown")
    assert on_this(opened, unfold=None) == ""
