"""A sheet is brought in by hand, at a desk and on a telephone."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from holdback.demo_data import folder
from holdback.web.jobs.worker import run_worker

pytestmark = pytest.mark.browser

WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


@pytest.fixture
def worker(site: str) -> Iterator[None]:
    """Worker beside the live site."""
    stop = threading.Event()
    thread = threading.Thread(target=run_worker, args=(stop,), daemon=True)
    thread.start()
    yield
    stop.set()
    thread.join(10)


def bring(page: Page, site: str, file: Path) -> None:
    page.goto(f"{site}/import/")
    page.get_by_label("Sheet or collection").set_input_files(file)
    page.get_by_role("button", name="Look at it").click()


def no_findings(page: Page) -> None:
    found = Axe().run(page, options=WCAG).response["violations"]
    assert not found, [(one["id"], one["nodes"][0]["html"]) for one in found]


@pytest.mark.parametrize("width", [390, 1280])
def test_import__messy_sheet_by_hand(opened: Page, site: str, width: int, tmp_path: Path) -> None:
    sheet = tmp_path / "new ones.csv"
    sheet.write_text("id,name,sex,hatched,genes\n90-01,Reed,m,2020,Enchi\n90-02,Moss,F?,2021,Karoo\n")
    opened.set_viewport_size({"width": width, "height": 860})
    bring(opened, site, sheet)
    expect(opened.get_by_text("1 row is ready, 1 waits for an answer from you.")).to_be_visible()
    assert opened.evaluate("document.documentElement.scrollWidth") <= width
    no_findings(opened)
    opened.get_by_role("button", name="Take as female").click()
    opened.get_by_role("button", name="Keep the text, hold the genes").click()
    opened.get_by_role("button", name="Land the 2 rows").click()
    expect(opened.get_by_role("heading", name="Landed")).to_be_visible()
    no_findings(opened)
    opened.get_by_role("button", name="Take it all back").click()
    expect(opened.get_by_role("heading", name="Taken back")).to_be_visible()


def test_import__long_sheet_shows_how_far_it_is(opened: Page, site: str, worker: None, tmp_path: Path) -> None:
    sheet = tmp_path / "long.csv"
    sheet.write_text("id,sex,genes\n" + "\n".join(f"L{n:04},f,Enchi" for n in range(600)))
    bring(opened, site, sheet)
    opened.get_by_role("button", name="Land the 600 rows").click(timeout=30_000)
    expect(opened.get_by_text("600 animals new")).to_be_visible(timeout=60_000)


def test_import__demo_sheet_has_no_findings(opened: Page, site: str) -> None:
    bring(opened, site, folder() / "messy.xlsx")
    expect(opened.get_by_role("heading", name="To answer")).to_be_visible()
    no_findings(opened)
