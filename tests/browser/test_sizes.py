"""The pages of sizes in a real browser: for all, on a phone, on paper, without a script."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.barriers import barriers

from holdback.web.access.tokens import new_token
from holdback.web.records.models import Animal

pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture
def pages(site: str) -> dict[str, str]:
    """Addresses of pages that speak of sizes, each told at once."""
    umber, founder, slip = (Animal.objects.get(tag=tag) for tag in ("22-11", "18-01", "22-07"))
    return {
        "an animal": f"{site}/animals/{umber.pk}/?all=1",
        "a founder": f"{site}/animals/{founder.pk}/?all=1",
        "a slip of the pen": f"{site}/animals/{slip.pk}/?all=1",
        "the biggest": f"{site}/animals/biggest/",
        "a line": f"{site}/lines/of/Marrowfen/?all=1",
        "a clutch": f"{site}/clutches/25-01/",
        "a pair": f"{site}/pair/?sire=22-07&dam=25-08&all=1",
    }


def test_sizes__have_no_barrier_and_never_scroll_sideways(opened: Page, pages: dict[str, str]) -> None:
    assert barriers(opened, pages, unfold=None) == {}


def test_animal__asks_afterwards_how_big_it_is(opened: Page, site: str) -> None:
    opened.goto(f"{site}/animals/{Animal.objects.get(tag='22-11').pk}/")
    size = opened.locator("section:has(#big)")
    expect(size).to_contain_text("Weight passed on")
    expect(size.locator("figcaption")).to_contain_text("ordinary females of 43 months")


def test_biggest__works_without_a_script(browser: Browser, site: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{site}/open/{new_token()}/")
    page.goto(f"{site}/animals/")
    page.get_by_role("link", name="The biggest for their age").click()
    page.get_by_label("Who", exact=True).select_option("all")
    page.get_by_role("button", name="Show").click()
    expect(page.get_by_role("heading", name="Females")).to_be_visible()
    expect(page.get_by_role("rowheader", name="Umber 22-11")).to_be_visible()
    context.close()


@pytest.mark.parametrize("name", ["an animal", "a line", "the biggest"])
def test_paper__has_all_numbers(opened: Page, pages: dict[str, str], name: str) -> None:
    opened.goto(pages[name])
    opened.wait_for_load_state("networkidle")
    opened.emulate_media(media="print")
    for numbers in opened.locator("details.data table").all():
        expect(numbers).to_be_visible()
    expect(opened.locator("nav.thumb")).to_be_hidden()
