"""The page of a pedigree in a real browser: for all, on a phone, on paper."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.browser.barriers import barriers

from holdback.web.access.tokens import new_token
from holdback.web.records.models import Animal

pytestmark = [pytest.mark.browser, pytest.mark.slow]

LINE, BESIDE = "?down=4&mates=all&shade=line:Marrowfen", "?with=25-09&shade=gene:clown"
QUESTIONS = ("", LINE, BESIDE, "?shade=inbreeding", "?with=x")


def address(site: str, tag: str, rest: str = "") -> str:
    return f"{site}/animals/{Animal.objects.get(tag=tag).pk}/pedigree/{rest}"


def test_pedigree__has_no_barrier_and_never_scrolls_the_page_sideways(opened: Page, site: str) -> None:
    for tag, questions in (("16-01", (*QUESTIONS, "?down=4&mates=all#drawing")), ("22-11", QUESTIONS)):
        assert barriers(opened, {one: address(site, tag, one) for one in questions}, unfold=None) == {}


def test_pedigree__gives_way_to_the_list_on_a_phone(opened: Page, site: str) -> None:
    opened.set_viewport_size({"width": 390, "height": 844})
    opened.goto(address(site, "16-01", "?down=2"))
    expect(opened.locator(".ped")).to_be_hidden()
    expect(opened.locator("section:has(#lists)")).to_contain_text("Quill 17-02")
    opened.get_by_role("link", name="Open the drawing").click()
    expect(opened.locator(".ped")).to_be_visible()
    area = opened.get_by_role("region", name=re.compile("Drawing of the pedigree"))
    assert area.evaluate("element => element.scrollWidth > element.clientWidth")
    assert opened.locator(".node.me").evaluate(
        "element => { const place = element.getBoundingClientRect(); return place.left > 0 && place.right < 390 }"
    ), "it begins at the animal in question"
    opened.get_by_role("link", name="Close the drawing").click()
    expect(opened.locator(".ped")).to_be_hidden()


def test_pedigree__that_fits_a_phone_is_drawn_there(opened: Page, site: str) -> None:
    opened.set_viewport_size({"width": 390, "height": 844})
    opened.goto(address(site, "22-11"))
    expect(opened.locator(".ped")).to_be_visible()


def test_pedigree__text_keeps_its_size_and_nothing_lies_on_anything(opened: Page, site: str) -> None:
    opened.set_viewport_size({"width": 1280, "height": 900})
    opened.goto(address(site, "16-01", LINE))
    assert opened.locator(".ped text").first.evaluate("element => getComputedStyle(element).fontSize") == "13px"
    overlaps = opened.evaluate(
        """() => {
          const boxes = [...document.querySelectorAll(".ped text")].map(one => one.getBoundingClientRect());
          const within = (a, b) => a.left < b.right - 1 && a.top < b.bottom - 1;
          const meet = (a, b) => within(a, b) && within(b, a);
          let count = 0;
          boxes.forEach((a, i) => boxes.slice(i + 1).forEach(b => { if (meet(a, b)) count += 1; }));
          return count;
        }"""
    )
    assert overlaps == 0


def test_pedigree__moves_to_an_animal_by_keyboard_and_keeps_its_options(opened: Page, site: str) -> None:
    opened.goto(address(site, "22-11", "?shade=line:Marrowfen"))
    opened.locator(".ped a[aria-label^='Thistle 19-01, dam']").focus()
    opened.keyboard.press("Enter")
    expect(opened.get_by_role("heading", level=1)).to_contain_text("Thistle")
    expect(opened).to_have_url(re.compile("shade=line%3AMarrowfen"))


def test_pedigree__works_without_a_script(browser: Browser, site: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 844})
    page = context.new_page()
    page.goto(f"{site}/open/{new_token()}/")
    page.goto(address(site, "22-11"))
    page.get_by_text("Generations, fill, clutch mates, beside another").click()
    page.get_by_label("Fill by").select_option("inbreeding")
    page.get_by_label("Beside").fill("25-09")
    page.get_by_role("button", name="Draw it so").click()
    expect(page.locator(".lede")).to_contain_text("Both go back to Mortar 16-01 and Quill 17-02.")
    expect(page.locator(".ped .common, .ped .ring")).not_to_have_count(0)
    context.close()


@pytest.mark.parametrize("question", QUESTIONS[:-1])
def test_pedigree__prints_on_one_page_across(opened: Page, site: str, question: str) -> None:
    opened.goto(address(site, "16-01", question))
    paper = opened.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", paper)) == 1
    box = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", paper)
    assert box
    assert float(box[1]) > float(box[2])
