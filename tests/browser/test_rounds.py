"""A round in a real browser: forty tubs, partly without a network, two phones, a slip."""

from __future__ import annotations

import datetime as dt
import io
import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.conf import LazySettings
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from tests.browser.barriers import by_axe

from holdback.collection.model import PartialDate
from holdback.collection.units import MASS_IN_G
from holdback.web.access.tokens import new_token
from holdback.web.records.models import Animal, Change, Entry, Measurement, Observation, Photo, Place
from holdback.web.records.services import add_animal, add_measurement, add_place, move_animal
from holdback.web.records.weights import fits, last_weight, likely_weight, weight_typed

pytestmark = [pytest.mark.browser, pytest.mark.slow]

TUBS = 40
LETTERS = "ABCD"
WHO = "Wren"
COUNT_TAPS = """
addEventListener("click", (event) => {
  const button = event.target.closest("button, a, summary, label");
  if (button && !button.dataset.key) sessionStorage.setItem("taps", Number(sessionStorage.getItem("taps") ?? 0) + 1);
}, true);
"""


@pytest.fixture
def rack(transactional_db: None) -> list[Animal]:
    """Rack R with forty tubs, 1-A to 10-D, each with one animal that was weighed in April; in the order of the tubs."""
    rack = add_place(who=WHO, name="Rack R", kind="rack")
    animals = []
    for index in range(TUBS):
        name = f"{index // len(LETTERS) + 1}-{LETTERS[index % len(LETTERS)]}"
        animal = add_animal(who=WHO, tag=f"90-{index + 1:02}", name=f"Reed {index + 1}", sex="female", hatched="2020")
        tub = add_place(who=WHO, name=name, kind="tub", within=rack)
        move_animal(animal, who=WHO, place=tub, on=dt.date(2026, 1, 1))
        add_measurement(animal, who=WHO, date="2026-04-06", value=1500 + index)
        animals.append(animal)
    return animals


@pytest.fixture
def site(rack: list[Animal], live_server: object) -> str:
    """Address of a live site that holds the rack."""
    return str(live_server.url)  # type: ignore[attr-defined]  # the fixture of the plugin


Phone = Callable[[], Page]


@pytest.fixture
def phone(browser: Browser, site: str) -> Iterator[Phone]:
    """Function that takes a new telephone into the room, let in and 390 px wide; faults on its pages fail the test."""
    contexts: list[BrowserContext] = []
    said: list[str] = []

    def takes() -> Page:
        context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
        contexts.append(context)
        page = context.new_page()
        page.add_init_script(COUNT_TAPS)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("console", lambda message: said.append(message.text) if is_fault(message.text) else None)
        page.goto(f"{site}/open/{new_token()}/")
        return page

    yield takes
    for context in contexts:
        context.close()
    assert said == []


def is_fault(text: str) -> bool:
    """Whether a line of the console is more than the network that is off."""
    return "Content Security Policy" in text or "Uncaught" in text


def go(page: Page, site: str, what: str = "both", **more: str) -> None:
    place = Place.objects.get(name="Rack R")
    asked = "&".join(f"{name}={value}" for name, value in more.items())
    page.goto(f"{site}/rounds/go/?what={what}&place={place.pk}&{asked}")
    expect(page.get_by_role("heading", level=1)).to_have_text("Tub 1-A")


def typed(page: Page, grams: str) -> None:
    keys = page.get_by_role("group", name="Number keys")
    for figure in grams:
        keys.get_by_role("button", name=figure, exact=True).tap()


def weights() -> list[tuple[str, float]]:
    """Today's weights in the order in which they were written."""
    order = {change.record: change.pk for change in Change.objects.filter(model="measurement")}
    found = Measurement.objects.exclude(date="2026-04-06").select_related("animal")
    return [(one.animal.tag, one.value) for one in sorted(found, key=lambda one: order[one.pk])]


def test_round__of_forty_tubs_with_the_network_off_from_15_to_30(phone: Phone, site: str, rack: list[Animal]) -> None:
    page = phone()
    go(page, site)
    expect(page.get_by_text("This round also opens without a network.")).to_be_visible()
    for index, animal in enumerate(rack):
        if index == 14:
            expect(page.locator("#queue-say")).to_contain_text("Nothing waits on this phone. 14 entries are kept")
            page.context.set_offline(True)
        if index == 22:
            expect(page.locator("#round-title .over")).to_contain_text("23 of 40")
            page.reload()
        if index == 30:
            expect(page.locator("#offline")).to_contain_text(re.compile(r"No network since .* 16 entries wait"))
            assert len(weights()) == 14
            page.context.set_offline(False)
        expect(page.locator("#round-title .lede")).to_contain_text(f"{animal.name} {animal.tag}")
        typed(page, str(1510 + index))
        page.get_by_role("button", name="Refused, next" if index % 10 == 3 else "Taken, next").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Through")
    expect(page.locator("#queue-say")).to_contain_text("Nothing waits on this phone.")
    expect(page.locator("#offline")).to_be_hidden()
    assert weights() == [(animal.tag, 1510 + index) for index, animal in enumerate(rack)]
    meals = Observation.objects.filter(kind="meal").select_related("animal")
    assert sorted(one.animal.tag for one in meals) == [animal.tag for animal in rack]
    assert [one.animal.tag for one in meals.order_by("animal__tag") if "refused" in one.note] == [
        rack[index].tag for index in range(TUBS) if index % 10 == 3
    ]
    assert list(Entry.objects.order_by("number").values_list("state", flat=True)) == ["done"] * TUBS
    assert len(set(Entry.objects.values_list("batch", flat=True))) == TUBS
    taps = int(page.evaluate("sessionStorage.getItem('taps')"))
    assert taps <= 2 * TUBS
    assert taps == TUBS, "one tap a tub beside the number"


def test_round__closed_and_opened_again_without_a_network_keeps_what_waits(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site, what="weigh")
    expect(page.get_by_text("This round also opens without a network.")).to_be_visible()
    context = page.context
    context.set_offline(True)
    for _ in range(3):
        typed(page, "1512")
        page.get_by_role("button", name="Keep, next").tap()
    expect(page.locator("#queue-say")).to_contain_text("3 entries wait on this phone")
    address = page.url
    page.close()
    again = context.new_page()
    again.goto(address)
    expect(again.get_by_role("heading", level=1)).to_have_text("Tub 1-D")
    expect(again.locator("#offline")).to_contain_text("3 entries wait on this phone and will go up once, in order.")
    context.set_offline(False)
    expect(again.locator("#queue-say")).to_contain_text("Nothing waits on this phone.")
    assert weights() == [("90-01", 1512), ("90-02", 1512), ("90-03", 1512)]


def test_round__page_is_new_where_there_is_a_network(phone: Phone, site: str, rack: list[Animal]) -> None:
    page = phone()
    go(page, site, what="weigh")
    expect(page.get_by_text("This round also opens without a network.")).to_be_visible()
    add_measurement(rack[0], who=WHO, date="2026-04-20", value=1555)
    page.reload()
    expect(page.locator("#round-title .lede")).to_contain_text(re.compile(r"1,555\sg on 20 April 2026"))
    page.context.set_offline(True)
    page.reload()
    expect(page.locator("#round-title .lede")).to_contain_text(re.compile(r"1,555\sg on 20 April 2026"))


def test_round__two_tabs_send_nothing_twice(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site, what="weigh")
    other = page.context.new_page()
    go(other, site, what="weigh")
    page.context.set_offline(True)
    for _ in range(5):
        typed(page, "1512")
        page.get_by_role("button", name="Keep, next").tap()
    page.context.set_offline(False)
    for tab in (page, other):
        expect(tab.locator("#queue-say")).to_contain_text("Nothing waits", timeout=10_000)
    assert len(weights()) == Entry.objects.count() == 5


def test_round__same_batch_sent_twice_is_done_once(phone: Phone, site: str, rack: list[Animal]) -> None:
    page = phone()
    go(page, site)
    script = """async (animal) => {
      const cookie = document.cookie.split("; ").find((part) => part.startsWith("holdback_csrf=")).split("=")[1];
      const deeds = [{ weight: { typed: "1512", unit: "g" } }, { meal: "taken" }];
      const entries = deeds.map((each, number) => ({ id: `0000000${number}-0000-4000-8000-000000000000`, number,
        animal, made_at: new Date().toISOString(), deeds: each }));
      const send = () => fetch("/rounds/entries/", { method: "POST", headers: { "X-CSRFToken": cookie },
        body: JSON.stringify({ device: "phone", entries }) }).then((answer) => answer.text());
      return Promise.all([send(), send(), send()]);
    }"""
    answers = [json.loads(text) for text in page.evaluate(script, str(rack[0].pk))]
    assert answers[0] == answers[1] == answers[2]
    assert [one["state"] for one in answers[0]["entries"]] == ["done", "done"]
    assert weights() == [("90-01", 1512)]
    assert Observation.objects.filter(kind="meal").count() == 1


def test_round__two_phones_on_one_animal_are_asked(phone: Phone, site: str) -> None:
    first, second = phone(), phone()
    go(first, site)
    go(second, site)
    for page, grams in ((first, "1512"), (second, "1530")):
        typed(page, grams)
        page.get_by_role("button", name="Taken, next").tap()
        expect(page.locator("#queue-say")).to_contain_text("Nothing waits")
    expect(second.locator("#queue-asked")).to_contain_text("weighed already (1,512 g; this says 1530 g)")
    assert weights() == [("90-01", 1512)]
    second.get_by_role("link", name="Answer, or put away").tap()
    expect(second.locator("#queue-asked")).to_be_visible()
    second.get_by_role("button", name="This one is right").tap()
    expect(second.locator(".toast")).to_contain_text("1,530 g")
    expect(second.locator("#queue-say")).to_contain_text("1 entry is kept in the records.")
    expect(second.locator("#queue-asked")).to_be_hidden()
    assert weights() == [("90-01", 1530)]
    assert Observation.objects.filter(kind="meal").count() == 1


def test_round__asks_about_a_slip_on_the_spot(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site, what="weigh")
    typed(page, "151")
    page.get_by_role("button", name="Keep, next").tap()
    slip = page.locator("#slip")
    expect(slip).to_contain_text(re.compile(r"151\sg, after 1,500\sg on 6 April 2026"))
    slip.get_by_role("button", name=re.compile(r"^1,510\sg$")).tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tub 1-B")
    typed(page, "151")
    page.get_by_role("button", name="Keep, next").tap()
    slip.get_by_role("button", name=re.compile(r"151\sg is right")).tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tub 1-C")
    expect(page.locator("#queue-say")).to_contain_text("Nothing waits")
    assert weights() == [("90-01", 1510), ("90-02", 151)]


def test_round__back_mends_what_was_kept(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site)
    typed(page, "1512")
    page.get_by_role("button", name="Taken, next").tap()
    expect(page.locator("#queue-say")).to_contain_text("1 entry is kept in the records.")
    page.get_by_role("button", name="Back").tap()
    expect(page.get_by_role("textbox", name="Weight")).to_have_value("1512")
    expect(page.locator("#round-hint")).to_contain_text("What you keep now takes its place.")
    page.get_by_role("button", name="erase").tap()
    typed(page, "3")
    page.get_by_role("button", name="Refused, next").tap()
    expect(page.locator("#queue-say")).to_contain_text("2 entries are kept in the records.")
    assert weights() == [("90-01", 1513)]
    assert Observation.objects.get(kind="meal").note == "refused"


def test_round__by_keyboard_with_a_note_and_the_rest_left(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site)
    expect(page.get_by_role("textbox", name="Weight")).to_be_focused()
    page.keyboard.type("1,512")
    expect(page.locator("#round-hint")).to_contain_text(re.compile(r"12\sg more than last time"))
    page.get_by_text("More: photo, note, shed, sign").click()
    page.get_by_label("Note").fill("eyes clear")
    page.get_by_label("Meal, g").fill("90")
    page.get_by_label("Meal, g").press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Tub 1-A")
    page.get_by_role("textbox", name="Weight").press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Tub 1-B")
    expect(page.locator("#queue-say")).to_contain_text("1 entry is kept in the records.")
    assert weights() == [("90-01", 1512)]
    assert Observation.objects.get(kind="meal").value == 90
    assert Observation.objects.get(kind="note").note == "eyes clear"
    page.keyboard.type("abc")
    page.keyboard.press("Enter")
    expect(page.locator("#round-hint")).to_contain_text("“abc” is no weight.")
    for _ in range(TUBS - 1):
        page.get_by_role("button", name="Skip").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Through, with some left")
    page.get_by_role("button", name="Go through those left").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tub 1-B")


def test_round__entry_that_breaks_the_records_holds_up_no_other(phone: Phone, site: str, rack: list[Animal]) -> None:
    page = phone()
    broken = str(rack[1].pk)

    def meet(route: Route) -> None:
        if broken in (route.request.post_data or ""):
            route.fulfill(status=500, body="")
        else:
            route.continue_()

    page.route("**/rounds/entries/", meet)
    go(page, site, what="feed")
    page.context.set_offline(True)
    for _ in range(3):
        page.get_by_role("button", name="Taken, next").tap()
    expect(page.locator("#queue-say")).to_contain_text("3 entries wait")
    page.context.set_offline(False)
    expect(page.locator("#offline")).to_contain_text("could not take it. 1 entry waits on this phone")
    assert {one.animal.tag for one in Observation.objects.filter(kind="meal")} == {"90-01", "90-03"}
    page.unroute("**/rounds/entries/")
    page.reload()
    expect(page.locator("#queue-say")).to_contain_text("Nothing waits on this phone.")
    assert Observation.objects.filter(kind="meal").count() == 3


def test_round__says_where_the_other_computer_does_not_answer(phone: Phone, site: str) -> None:
    page = phone()
    page.route("**/rounds/entries/", lambda route: route.abort())
    go(page, site, what="feed")
    page.get_by_role("button", name="Taken, next").tap()
    expect(page.locator("#offline")).to_contain_text(re.compile(r"No answer since \d\d:\d\d .* 1 entry waits"))


def test_round__door_that_was_shut_keeps_what_waits(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site, what="feed")
    cookies = page.context.cookies()
    page.context.clear_cookies(name="holdback_session")
    page.get_by_role("button", name="Taken, next").tap()
    expect(page.locator("#offline")).to_contain_text("This phone is no longer let in. 1 entry waits on this phone.")
    page.context.add_cookies(cookies)  # type: ignore[arg-type]  # as they were given
    go_on = page.context.new_page()
    go_on.goto(f"{site}/rounds/")
    expect(go_on.locator("#queue-say")).to_contain_text("Nothing waits")
    assert Observation.objects.filter(kind="meal").count() == 1


def test_slip__is_judged_on_the_phone_as_in_the_records(phone: Phone, site: str, rack: list[Animal]) -> None:
    page = phone()
    go(page, site, what="weigh")
    day = timezone.localdate()
    last = last_weight(rack[0], PartialDate(day.year, day.month, day.day))
    assert last is not None
    grams = ["166", "1,540", "58.4", "15.4", "3.3", "826", "824", "9000", "1 540", "1652000"]
    typed_ones = [*((text, "g") for text in grams), ("52,9", "oz"), ("1500", "oz"), ("1.5", "kg"), ("1540.5", "lb")]
    script = """async ([typed, units]) => {
      const { fits, likely, number } = await import("/static/holdback/rounds_weight.js");
      const tub = JSON.parse(document.getElementById("tubs").textContent).tubs[0];
      return typed.map(([text, unit]) => {
        const value = number(text);
        const is = fits(value * units[unit], tub);
        const meant = is ? null : likely(value, unit, tub, units);
        return [value, is, meant && meant.value, meant && meant.unit];
      });
    }"""
    found = page.evaluate(script, [typed_ones, dict(MASS_IN_G)])
    for (text, unit), (value, is_fit, meant, meant_unit) in zip(typed_ones, found, strict=True):
        weight = weight_typed(text, unit=unit)
        assert (value, is_fit) == (weight.value, fits(weight.grams, last)), text
        expected = None if is_fit else likely_weight(weight, last)
        assert (meant, meant_unit) == ((expected.value, expected.unit) if expected else (None, None)), text


def test_photo__waits_without_a_network_and_is_made_small(
    phone: Phone, site: str, settings: LazySettings, tmp_path: Path
) -> None:
    settings.HOLDBACK_DATA = tmp_path
    page = phone()
    go(page, site, what="weigh")
    page.context.set_offline(True)
    out = io.BytesIO()
    Image.new("RGB", (3000, 2000), "#c9c2b4").save(out, "JPEG")
    page.get_by_text("More: photo, note, shed, sign").tap()
    page.get_by_label("Photo").set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()})
    page.get_by_role("button", name="Keep, next").tap()
    expect(page.locator("#queue")).to_contain_text("a photo")
    page.context.set_offline(False)
    expect(page.locator("#queue-say")).to_have_text("Nothing waits on this phone. 1 entry is kept in the records.")
    kept = Photo.objects.get()
    assert (kept.animal.tag, kept.width, kept.height) == ("90-01", 1600, 1067)


def test_rounds__say_so_where_the_address_is_not_secure(phone: Phone, site: str) -> None:
    page = phone()
    page.add_init_script("Object.defineProperty(window, 'isSecureContext', { value: false })")
    go(page, site, what="feed")
    expect(page.get_by_text("This address is not secure")).to_be_visible()
    page.get_by_role("button", name="Taken, next").tap()
    expect(page.locator("#queue-say")).to_have_text("Nothing waits on this phone. 1 entry is kept in the records.")


def test_rounds__of_this_phone_are_found_again_without_a_network(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site, what="feed")
    expect(page.get_by_text("This round also opens without a network.")).to_be_visible()
    page.goto(f"{site}/rounds/")
    expect(page.get_by_text("This page also opens without a network.")).to_be_visible()
    page.context.set_offline(True)
    page.reload()
    page.get_by_role("link", name="Feeding day, Rack R").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tub 1-A")
    page.goto(f"{site}/rounds/go/?what=weigh")
    expect(page.get_by_role("heading", level=1)).to_have_text("No network")
    script = """async () => {
      const kept = await Promise.all((await caches.keys()).map(async (name) => (await caches.open(name)).keys()));
      return kept.flat().map((request) => request.url);
    }"""
    kept = page.evaluate(script)
    assert all("/static/" in address or "/rounds/" in address for address in kept)


def test_rounds__have_no_barrier_that_axe_finds(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site)
    typed(page, "151")
    page.get_by_role("button", name="Taken, next").tap()
    page.locator("summary").first.click()
    for address in (None, f"{site}/rounds/"):
        if address:
            page.goto(address)
        assert by_axe(page) == []


def test_rounds__never_scroll_sideways_and_keys_are_large(phone: Phone, site: str) -> None:
    page = phone()
    for width in (320, 390, 900, 1280):
        page.set_viewport_size({"width": width, "height": 844})
        go(page, site)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        keys = page.locator("#round > div button:visible").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect()).map(box => [box.width, box.height])"
        )
        assert len(keys) > 10
        assert min(min(key) for key in keys) >= 56, width
        size = page.get_by_role("textbox", name="Weight").evaluate("element => getComputedStyle(element).fontSize")
        assert size == "44px"
        page.goto(f"{site}/rounds/")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
