"""Logging, matings and corrections in a real browser: by thumb, with a question, with offers, without a barrier."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer
from tests.browser.barriers import barriers

from holdback.web.access.tokens import new_token
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, Mating, Measurement, Observation
from holdback.web.records.services import add_animal, add_measurement, log_event, put_together

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WHO = "Wren"


@pytest.fixture
def site(transactional_db: None, live_server: LiveServer) -> str:
    """Address of a live site with a dam, two males and a young."""
    month_ago = today() - dt.timedelta(days=30)
    dam = add_animal(who=WHO, tag="90-01", name="Sallow", sex="female", hatched="2018")
    for tag, name, genes in (("90-02", "Osier", "Clown"), ("90-03", "Alder", "Pastel")):
        add_animal(who=WHO, tag=tag, name=name, sex="male", hatched="2018", genes=genes)
    add_animal(who=WHO, tag="90-04", name="Rush", sex="female", hatched="2023-07-01", dam="90-01", sires="90-02")
    add_measurement(dam, who=WHO, date=month_ago.isoformat(), value=1652)
    log_event(dam, who=WHO, kind="shed", on=month_ago)
    return str(live_server.url)


def named(tag: str) -> Animal:
    return Animal.objects.get(tag=tag)


def open_on_phone(page: Page, site: str) -> None:
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{site}/open/{new_token()}/")


def test_log__takes_a_name_a_tap_and_a_line(page: Page, site: str) -> None:
    open_on_phone(page, site)
    page.goto(f"{site}/log/")
    page.get_by_label("Tag or name").press_sequentially("sall")
    page.locator("#found").get_by_role("link", name=re.compile("Sallow")).click()
    page.get_by_role("link", name="Fed", exact=True).click()
    page.get_by_label("refused", exact=True).check()
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator(".toast")).to_contain_text("Sallow: meal refused.")
    assert Observation.objects.get(kind="meal").note == "refused"
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".toast")).to_contain_text("Taken back")
    assert not Observation.objects.filter(kind="meal").exists()


def test_slip__is_asked_and_the_return_key_does_not_answer_for_the_keeper(page: Page, site: str) -> None:
    open_on_phone(page, site)
    page.goto(f"{site}/log/?animal=90-01&what=weighed")
    field = page.get_by_label("Weight", exact=True)
    field.fill("166")
    field.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("1,660 g, or is 166 g right?")
    field.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("1,660 g, or is 166 g right?")
    page.get_by_role("button", name="It was 1,660 g").click()
    expect(page.locator(".toast")).to_contain_text("1,660 g")
    assert Measurement.objects.get(date=today().isoformat()).value == 1660


def test_matings__put_together_by_offers_lock_and_part(page: Page, site: str) -> None:
    open_on_phone(page, site)
    page.goto(f"{site}/matings/")
    for label, text, name in (("Female", "sal", "Sallow"), ("Male", "osi", "Osier")):
        page.get_by_label(label, exact=True).press_sequentially(text)
        page.get_by_role("button", name=re.compile(name)).click()
    page.get_by_role("button", name="Put together").click()
    page.get_by_role("button", name="Lock: 90-02 with 90-01").click()
    expect(page.locator(".todo")).to_contain_text("1 lock, last")
    page.get_by_role("button", name="Lock: 90-02 with 90-01").click()
    page.get_by_role("button", name="Yes, another lock").click()
    page.get_by_role("button", name="Apart: 90-02 and 90-01").click()
    expect(page.locator(".lede")).to_have_text("No two are together on record.")
    mating = Mating.objects.get()
    assert (mating.locks, mating.apart) == (2, today().isoformat())


def test_parents__show_what_follows_before_and_after(page: Page, site: str) -> None:
    open_on_phone(page, site)
    page.goto(f"{site}/animals/{named('90-04').pk}/parents/")
    page.get_by_label("Sire").fill("")
    page.get_by_label("Sire").press_sequentially("ald")
    page.get_by_role("button", name=re.compile("Alder")).click()
    page.get_by_role("button", name="Show what would follow").click()
    expect(page.get_by_role("row").filter(has_text="Clown").first).to_contain_text("one copy")
    page.get_by_role("button", name="Correct it").click()
    expect(page.get_by_role("heading", name="The parents are corrected.")).to_be_visible()
    page.get_by_role("button", name="Take it back").click()
    expect(page.locator(".lede")).to_have_text("It was taken back since.")
    assert [row.sire for row in named("90-04").candidate_sires.all()] == [named("90-02")]


def test_pages__have_no_barrier_and_never_scroll_sideways(page: Page, site: str) -> None:
    dam = named("90-01")
    put_together(who=WHO, dam=dam, sire=named("90-02"), on=today())
    seen = Observation.objects.get(kind="shed")
    open_on_phone(page, site)
    asked = (
        "log/",
        "log/?animal=90-01",
        "log/?animal=90-01&what=fed",
        "log/?animal=90-01&what=apart",
        "matings/",
        f"animals/{dam.pk}/happened/",
        f"happened/event/{seen.pk}/",
        f"animals/{dam.pk}/correct/sex/",
    )
    assert barriers(page, {one: f"{site}/{one}" for one in asked}) == {}


def test_log__works_without_a_script(browser: Browser, site: str) -> None:
    page = browser.new_context(java_script_enabled=False).new_page()
    page.goto(f"{site}/open/{new_token()}/")
    page.goto(f"{site}/log/")
    page.get_by_label("Tag or name").fill("osier")
    page.get_by_role("button", name="Find", exact=True).click()
    page.get_by_role("link", name=re.compile("Osier")).click()
    page.get_by_role("link", name="Shed", exact=True).click()
    page.get_by_role("button", name="Keep it").click()
    assert Observation.objects.filter(animal__tag="90-02", kind="shed").exists()
    page.context.close()
