"""The page of a project in a real browser: no barrier, no sideways scrolling, rehearsed again."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

pytestmark = [pytest.mark.browser, pytest.mark.slow]

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
LONG = 240_000
"""Milliseconds that all ways and rehearsals may take."""


@pytest.fixture(autouse=True)
def one_project(site: str) -> None:
    """Big Clown alone is open: the ways of the others take longer than all that is looked at here."""
    from holdback.web.records.models import Project
    from holdback.web.records.services import give_up_project

    for project in Project.objects.exclude(key="big-clown"):
        give_up_project(project, who="Wrackline Barn")


def test_project__has_no_barrier_and_is_rehearsed_again(opened: Page, site: str) -> None:
    opened.goto(f"{site}/projects/big-clown/")
    expect(opened.get_by_role("heading", name="Rehearsed")).to_be_visible(timeout=LONG)
    for details in opened.locator("main details").all():
        details.evaluate("element => { element.open = true }")
    found = Axe().run(opened, options={"runOnly": {"type": "tag", "values": TAGS}})
    assert found.violations_count == 0, found.generate_report()
    for width in (320, 1280):
        opened.set_viewport_size({"width": width, "height": 844})
        assert opened.evaluate("document.documentElement.scrollWidth") <= width
    opened.get_by_label("Runs").fill("500")
    opened.get_by_label("Seed").fill("41")
    opened.get_by_role("button", name="Rehearse again").click()
    expect(opened.locator("#again")).to_contain_text("seed 41", timeout=LONG)


def test_projects__has_no_barrier(opened: Page, site: str) -> None:
    opened.goto(f"{site}/projects/")
    expect(opened.get_by_text("rehearsed").first).to_be_visible(timeout=LONG)
    found = Axe().run(opened, options={"runOnly": {"type": "tag", "values": TAGS}})
    assert found.violations_count == 0, found.generate_report()
    opened.set_viewport_size({"width": 320, "height": 844})
    assert opened.evaluate("document.documentElement.scrollWidth") <= 320
