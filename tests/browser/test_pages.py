"""The pages in a real browser: access for all, no script needed, no sideways scrolling, the keyboard."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.barriers import barriers

from holdback.web.access.tokens import new_token
from holdback.web.records.models import Animal

pytestmark = [pytest.mark.browser, pytest.mark.slow]


def test_pages__have_no_barrier_and_never_scroll_sideways(opened: Page, addresses: dict[str, str]) -> None:
    assert barriers(opened, addresses, unfold=6) == {}


def test_animal__asks_afterwards_for_what_takes_longer(opened: Page, site: str) -> None:
    opened.goto(f"{site}/animals/{Animal.objects.get(tag='17-02').pk}/")
    expect(opened.locator("#tests")).to_contain_text("one young that shows Piebald proves it")
    expect(opened.locator("#misfits")).to_contain_text("Quill (17-02) is described without Yellow Belly")
    steps = opened.locator(".beliefs details").last
    steps.locator("summary").click()
    expect(steps).to_contain_text("Of an animal of which nothing is known")


def test_desk__tells_the_wrong_sire_with_the_way_to_mend_it(opened: Page, site: str) -> None:
    row = opened.get_by_role("row").filter(has_text="The sire is Harrow")
    expect(row).to_contain_text(re.compile(r"\d\d in 100"))
    row.get_by_role("link", name=re.compile("Change the parents")).click()
    expect(opened.get_by_label("Sire")).to_be_visible()


def test_odd_look__is_weighed_from_marked_young(opened: Page, site: str) -> None:
    opened.goto(f"{site}/animals/{Animal.objects.get(tag='17-02').pk}/odd/")
    opened.get_by_label("shows it: 22-05").check()
    opened.get_by_role("button", name="Weigh it").click()
    expect(opened.locator(".lede")).to_contain_text("1 odd, 37 normal")
    expect(opened.get_by_label("shows it: 22-05")).to_be_checked()


def test_collection__searches_while_one_types(opened: Page, site: str) -> None:
    opened.goto(f"{site}/animals/")
    expect(opened.locator("#list .counts")).to_have_text(re.compile("200 animals"))
    opened.get_by_label("Tag, name, gene or note").press_sequentially("teasel")
    expect(opened.locator("#list tbody tr")).to_have_count(
        Animal.objects.filter(search_text__contains="teasel").count()
    )
    expect(opened).to_have_url(f"{site}/animals/?text=teasel")
    opened.reload()
    expect(opened.get_by_role("link", name="Teasel")).to_be_visible()


def test_collection__filters_and_keeps_the_question_in_the_address(opened: Page, site: str) -> None:
    opened.goto(f"{site}/animals/")
    opened.get_by_label("Sex").select_option("female")
    count = Animal.objects.filter(sex="female").count()
    expect(opened.locator("#list .counts")).to_have_text(re.compile(f"{count} of 200 animals"))
    expect(opened).to_have_url(f"{site}/animals/?sex=female")
    opened.go_back()
    expect(opened.locator("#list .counts")).to_have_text(re.compile("200 animals"))


def test_pair__is_chosen_by_typing_on_a_phone(opened: Page, site: str) -> None:
    opened.set_viewport_size({"width": 390, "height": 844})
    opened.goto(f"{site}/pair/")
    opened.get_by_label("Sire").press_sequentially("harrow")
    opened.locator("#sire-offers").get_by_text("Harrow").click()
    expect(opened.get_by_label("Sire")).to_have_value("20-07")
    opened.get_by_label("Dam").fill("Pastel het Clown")
    opened.get_by_label("What you want").fill("Clown")
    opened.get_by_label("Eggs to count on").fill("8")
    opened.get_by_role("button", name="Show the odds").click()
    expect(opened.get_by_role("heading", level=1)).to_contain_text("Harrow")
    # Two carriers: 1 in 4 an egg, so 1 - (3/4)^8 = 0.900 with eight.
    expect(opened.locator("#main")).to_contain_text(re.compile(r"90\s%"))
    line = opened.locator(".odds-list summary").first
    line.click()
    expect(opened.locator(".odds-list details").first).to_have_attribute("open", "")


def test_pair__works_without_a_script(browser: Browser, site: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{site}/open/{new_token()}/")
    rooms = page.get_by_role("navigation", name="Rooms, phone")
    rooms.get_by_text("More").click()
    rooms.get_by_role("link", name="Pair").click()
    page.get_by_label("Sire").fill("Harr")
    page.get_by_label("Dam").fill("Clown")
    page.get_by_role("button", name="Show the odds").click()
    page.locator("#sire-offers").get_by_role("link", name=re.compile("Harrow")).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Harrow")
    expect(page.locator(".odds-list")).to_contain_text("Clown")
    context.close()


def test_add_animal__reads_the_genes_while_one_types_and_can_be_undone(opened: Page, site: str) -> None:
    opened.goto(f"{site}/animals/new/")
    opened.get_by_label("Tag", exact=True).fill("26-99")
    opened.get_by_label("Genes").press_sequentially("Pastel het Clown")
    expect(opened.locator("#reading")).to_contain_text("Pastel, one copy; Clown, one copy")
    opened.get_by_role("button", name="Add it").click()
    expect(opened.locator(".toast")).to_contain_text("26-99 is on record.")
    opened.get_by_role("button", name="Undo").click()
    expect(opened.locator(".toast")).to_contain_text("Taken back")
    assert not Animal.objects.filter(tag="26-99").exists()


def test_keyboard__reaches_the_page_and_shows_where_it_is(opened: Page, site: str) -> None:
    opened.goto(f"{site}/animals/")
    opened.keyboard.press("Tab")
    skip = opened.get_by_role("link", name="Skip to the page")
    expect(skip).to_be_focused()
    opened.keyboard.press("Enter")
    expect(opened.locator("#main")).to_be_focused()
    opened.keyboard.press("Tab")
    focused = opened.locator(":focus")
    expect(focused).to_have_text("Add an animal")
    assert focused.evaluate("element => getComputedStyle(element).outlineStyle") == "solid"
