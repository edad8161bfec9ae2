"""A clutch in a real browser: looks one after another, a hatching, axe, and the page without a script."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from holdback.web.records.models import Clutch, Place, Setting
from holdback.web.records.services import add_boxes, add_incubator, put_in_box

pytestmark = [pytest.mark.browser, pytest.mark.slow]

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
WIDTHS = (390, 1280)


def test_clutch__from_candling_to_hatchlings(opened: Page, site: str, browser: Browser, settings: object) -> None:
    settings.HOLDBACK_DEMO = True  # type: ignore[attr-defined]  # the fixture of the plugin
    Setting.objects.update_or_create(key="day", defaults={"value": "2026-06-01"})
    nest = Clutch.objects.get(tag="26-01")
    (box,) = add_boxes(add_incubator(who="Wren", name="incubator 9"), ["box 91"], who="Wren", capacity=2)
    put_in_box(nest.egg_records.exclude(outcome="died"), Place.objects.get(pk=box.pk), who="Wren")
    page = opened
    page.set_viewport_size({"width": 390, "height": 844})

    page.goto(f"{site}/clutches/26-01/")
    page.get_by_role("button", name="Candle: all with veins").click()
    page.locator("#egg-1").click()
    expect(page.get_by_role("heading", name="Egg 1", exact=True)).to_be_visible()
    page.get_by_role("radio", name="weak", exact=True).check()
    page.get_by_role("button", name="Keep, egg 2").click()
    expect(page.locator("#egg-1")).to_contain_text("weak veins")
    expect(page.get_by_role("heading", name="Egg 2", exact=True)).to_be_in_viewport()
    expect(page.locator("#lede")).to_contain_text("eggs 1 and 4 are weak", timeout=20_000)
    _is_reachable(page)

    page.get_by_role("link", name="It is out", exact=True).click()
    _is_reachable(page)
    page.locator("[name='2-genes']").fill("clown")
    expect(page.locator("#reading-2")).to_contain_text("Read: Clown, two copies")
    page.locator("[name='2-mass_g']").fill("61,5")
    page.get_by_role("button", name="Write these").click()
    expect(page.locator("#egg-2")).to_contain_text("out, day 60")
    page.get_by_role("button", name="Undo").first.click()
    expect(page.locator("#egg-2")).not_to_contain_text("out")

    for address in ("/clutches/", "/clutches/new/?dam=17-02", "/rules/"):
        page.goto(f"{site}{address}")
        _is_reachable(page)

    plain = browser.new_context(java_script_enabled=False, storage_state=page.context.storage_state()).new_page()
    plain.goto(f"{site}/clutches/26-01/")
    plain.locator("#egg-3").click()
    plain.get_by_role("radio", name="pipped").check()
    plain.get_by_role("button", name="Keep").first.click()
    expect(plain.locator("#egg-3")).to_contain_text("pipped")
    plain.context.close()


def _is_reachable(page: Page) -> None:
    """Nothing that axe finds, and nothing wider than the window, on a phone and on a desk."""
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 844})
        found = Axe().run(page, options={"runOnly": TAGS}).response["violations"]
        assert [one["id"] for one in found] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.set_viewport_size({"width": 390, "height": 844})
