"""The pages of lines and of descent in a real browser: for all, on a phone, on paper, without a script."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.barriers import barriers

from holdback.web.access.tokens import new_token
from holdback.web.records.models import Animal
from holdback.web.records.services import add_line_claim

pytestmark = [pytest.mark.browser, pytest.mark.slow]

STRANGE = "Fen / east, 100 %?"


@pytest.fixture
def pages(site: str) -> dict[str, str]:
    """Addresses of pages that speak of lines."""
    cinder, umber, alone = (Animal.objects.get(tag=tag) for tag in ("18-01", "22-11", "24-07-3"))
    add_line_claim(cinder, who="Wren", line=STRANGE, share_low=0.25, share_high=0.75)
    return {
        "lines": f"{site}/lines/",
        "a line": f"{site}/lines/of/Marrowfen/",
        "a line without young": f"{site}/lines/of/Fen%20%2F%20east%2C%20100%20%25%3F/",
        "a founder": f"{site}/animals/{cinder.pk}/",
        "a descendant": f"{site}/animals/{umber.pk}/",
        "without a sire": f"{site}/animals/{alone.pk}/",
        "related": f"{site}/pair/?sire=22-07&dam=25-08",
        "unrelated": f"{site}/pair/?sire=22-07&dam=20-12",
        "to say a line": f"{site}/animals/{umber.pk}/line/",
    }


def test_lines__have_no_barrier_and_never_scroll_sideways(opened: Page, pages: dict[str, str]) -> None:
    assert barriers(opened, pages, unfold=None) == {}


def test_line__asks_afterwards_whether_parents_fit(opened: Page, site: str) -> None:
    opened.goto(f"{site}/lines/of/Marrowfen/")
    expect(opened.locator("#doubts")).to_contain_text("The sire is Harrow")
    expect(opened.locator("#doubts")).to_contain_text("75\u00a0% as written, then 50\u00a0%")


def test_line__works_without_a_script(browser: Browser, site: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{site}/open/{new_token()}/")
    rooms = page.get_by_role("navigation", name="Rooms, phone")
    rooms.get_by_text("More").click()
    rooms.get_by_role("link", name="Lines").click()
    page.get_by_role("link", name="Marrowfen").click()
    page.get_by_role("link", name="Look", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Marrowfen")
    expect(page.locator("#doubts")).to_contain_text("The sire is Harrow")
    page.get_by_text("Those with less").click()
    expect(page.get_by_role("link", name="Pebble 25-06")).to_be_visible()
    context.close()


def test_line__leads_by_keyboard_to_a_pair(opened: Page, site: str) -> None:
    opened.goto(f"{site}/lines/of/Marrowfen/")
    opened.get_by_role("link", name="Mortar 16-01 with Fennel 20-12").focus()
    opened.keyboard.press("Enter")
    expect(opened.get_by_role("heading", level=1)).to_contain_text("Mortar 16-01 with Fennel 20-12")
    expect(opened.locator("section:has(#descent)")).to_contain_text("They share no ancestor that is on record.")


def test_figure__says_its_message_and_its_numbers(opened: Page, pages: dict[str, str]) -> None:
    opened.goto(pages["a descendant"])
    section = opened.locator("section:has(#line)")
    message = section.locator("figcaption b").inner_text()
    assert re.fullmatch(r"In nine cases of ten \d\d\s% to \d\d\s% is Marrowfen\.", message)
    expect(section.get_by_role("img", name=re.compile(r"likeliest near 75"))).to_have_count(1)
    section.get_by_text("Numbers behind this figure").click()
    expect(section.get_by_role("row")).to_have_count(6)


def test_claim__is_written_for_a_line_of_any_name(opened: Page, pages: dict[str, str], site: str) -> None:
    opened.set_viewport_size({"width": 390, "height": 844})
    opened.goto(f"{site}/animals/{Animal.objects.get(tag='17-04').pk}/")
    opened.get_by_role("link", name="Say how much of a line").click()
    opened.get_by_label("Line", exact=True).fill(STRANGE)
    opened.get_by_label("At least, percent").fill("50")
    opened.get_by_label("At most, percent").fill("100")
    opened.get_by_role("button", name="Keep it").click()
    expect(opened.locator(".toast")).to_contain_text("The claim is kept.")
    opened.get_by_role("link", name=f"All of {STRANGE}").click()
    expect(opened.get_by_role("heading", level=1)).to_have_text(STRANGE)


@pytest.mark.parametrize("name", ["a line", "related", "a descendant"])
def test_paper__has_no_head_at_the_foot_and_all_numbers(opened: Page, pages: dict[str, str], name: str) -> None:
    opened.goto(pages[name])
    opened.wait_for_load_state("networkidle")
    opened.emulate_media(media="print")
    for numbers in opened.locator("details.data table").all():
        expect(numbers).to_be_visible()
    expect(opened.locator("nav.thumb")).to_be_hidden()
    for links in opened.locator(".entry .crumbs").all():
        expect(links).to_be_hidden()
