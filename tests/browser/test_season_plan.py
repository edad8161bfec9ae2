"""The board of a season and the mates of an animal in a real browser, with a few animals."""

from __future__ import annotations

import datetime as dt

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

pytestmark = [pytest.mark.browser, pytest.mark.slow]

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@pytest.fixture
def site(transactional_db: None, live_server: LiveServer, monkeypatch: pytest.MonkeyPatch) -> str:
    """Address of a live site with two males, three females and a project."""
    from holdback.web.records import clock
    from holdback.web.records.services import add_animal, start_project

    monkeypatch.setattr(clock, "today", lambda: dt.date(2026, 11, 5))
    monkeypatch.setattr("holdback.answers.decisions.decisions.RUNS", 250)
    for tag, name, sex, genes in (
        ("20-01", "Ledger", "male", "Clown"),
        ("20-02", "Harrow", "male", "het Clown"),
        ("20-03", "Umber", "female", "het Clown"),
        ("20-04", "Quill", "female", "Clown"),
        ("20-05", "Sorrel", "female", "het Clown"),
    ):
        add_animal(who="Barn", tag=tag, name=name, sex=sex, genes=genes, hatched="2020-07", status="breeder")
    start_project(who="Barn", name="First Clown", want="female Clown", by=2029)
    return str(live_server.url)


def test_board__a_pair_is_moved_taken_back_and_the_plan_kept(opened: Page, site: str) -> None:
    opened.goto(f"{site}/season/plan/")
    expect(opened.locator("#plan-costs")).to_contain_text("The next best plan")
    opened.get_by_role("link", name="Change the male of Ledger 20-01 with Quill 20-04").click()
    opened.locator("tr", has_text="Harrow 20-02").get_by_role("link", name="Put him to her").click()
    expect(opened.get_by_text("Quill 20-04 goes with Harrow 20-02. That")).to_be_visible()
    opened.get_by_role("link", name="Take the last change back").click()
    expect(opened.get_by_text("That costs")).to_have_count(0)
    opened.get_by_role("button", name="Keep this plan").click()
    expect(opened.locator(".toasts")).to_contain_text("The plan for 2027 is kept")
    opened.locator(".toasts").get_by_role("button").first.click()
    expect(opened.locator(".toasts")).to_contain_text("Taken back")


def test_pages__have_no_barrier_and_never_scroll_sideways(opened: Page, site: str) -> None:
    from holdback.web.records.models import Animal

    mates = f"{site}/animals/{Animal.objects.get(tag='20-04').pk}/mates/"
    for address in (f"{site}/season/plan/?year=2027&move=20-04~20-02~&her=20-03", mates):
        opened.goto(address)
        opened.wait_for_load_state("networkidle")
        for details in opened.locator("details").all():
            details.evaluate("element => { element.open = true }")
        found = Axe().run(opened, options={"runOnly": {"type": "tag", "values": TAGS}})
        assert found.violations_count == 0, found.generate_report()
        for width in (320, 1280):
            opened.set_viewport_size({"width": width, "height": 844})
            assert opened.evaluate("document.documentElement.scrollWidth") <= width, (address, width)
