"""A round in trouble: no room on the phone, a page of another day, a new version, an entry mended before it went up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator

import pytest
from django.utils import timezone
from playwright.sync_api import Browser, BrowserContext, Page, expect

from holdback.web.access.tokens import new_token
from holdback.web.pages.rounds import worker
from holdback.web.records.models import Animal, Entry, Measurement, Observation
from holdback.web.records.services import add_animal, log_meal

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WHO = "Wren"
NO_ROOM = """
for (const name of ["put", "add"]) {
  const write = IDBObjectStore.prototype[name];
  IDBObjectStore.prototype[name] = function (...given) {
    if (localStorage.getItem("full")) throw new DOMException("no room", "QuotaExceededError");
    return write.apply(this, given);
  };
}
"""


@pytest.fixture
def animals(transactional_db: None) -> list[Animal]:
    return [add_animal(who=WHO, tag=f"90-{n}", sex="female", hatched="2020") for n in range(1, 4)]


@pytest.fixture
def site(animals: list[Animal], live_server: object) -> str:
    """Address of a live site with three animals."""
    return str(live_server.url)  # type: ignore[attr-defined]  # the fixture of the plugin


Phone = Callable[[], Page]


@pytest.fixture
def phone(browser: Browser, site: str) -> Iterator[Phone]:
    """Function that takes a new telephone into the room; faults on its pages fail the test."""
    contexts: list[BrowserContext] = []
    said: list[str] = []

    def takes() -> Page:
        context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(f"{site}/open/{new_token()}/")
        return page

    yield takes
    for context in contexts:
        context.close()
    assert said == []


def go(page: Page, site: str, what: str = "weigh") -> None:
    page.goto(f"{site}/rounds/go/?what={what}")
    expect(page.locator("#queue-say")).to_contain_text("Nothing waits")


def keep(page: Page, grams: str) -> None:
    page.get_by_role("textbox", name="Weight").fill(grams)
    page.get_by_role("button", name="Keep, next").tap()


def test_round__phone_without_room_still_sends_what_waits(phone: Phone, site: str) -> None:
    page = phone()
    page.add_init_script(NO_ROOM)
    go(page, site)
    expect(page.get_by_text("This round also opens without a network.")).to_be_visible()
    page.context.set_offline(True)
    keep(page, "1510")
    expect(page.locator("#queue-say")).to_contain_text("1 entry waits")
    page.evaluate("localStorage.setItem('full', 'yes')")
    keep(page, "1520")
    expect(page.locator("#round-hint")).to_contain_text("This phone could not keep it (QuotaExceededError).")
    expect(page.get_by_role("textbox", name="Weight")).to_have_value("1520")
    page.reload()
    expect(page.locator("#queue-say")).to_contain_text("1 entry waits")
    with page.expect_response("**/rounds/entries/") as sent:
        page.context.set_offline(False)
    assert sent.value.status == 200
    page.evaluate("localStorage.removeItem('full')")
    page.reload()
    expect(page.locator("#queue-say")).to_have_text("Nothing waits on this phone. 1 entry is kept in the records.")
    assert [one.value for one in Measurement.objects.all()] == [1510]


def test_round__mending_keeps_note_shed_and_sign(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site)
    page.get_by_text("More: photo, note, shed, sign").tap()
    page.get_by_label("Note").fill("calm")
    page.get_by_label("Shed").select_option("whole")
    page.get_by_label("Sign of illness").fill("wheezing")
    keep(page, "1510")
    expect(page.locator("#queue-say")).to_contain_text("1 entry is kept")
    page.get_by_role("button", name="Back").tap()
    expect(page.get_by_label("Note")).to_have_value("calm")
    keep(page, "1515")
    expect(page.locator("#queue-say")).to_contain_text("2 entries are kept")
    found = sorted(Observation.objects.values_list("kind", "note"))
    assert found == [("note", "calm"), ("shed", "whole"), ("sign", "wheezing")]
    assert Measurement.objects.get().value == 1515
    expect(page.get_by_label("Note")).to_have_value("")


def test_round__left_open_overnight_mends_nothing_of_yesterday(phone: Phone, site: str) -> None:
    page = phone()
    page.clock.install()
    go(page, site)
    keep(page, "1510")
    expect(page.locator("#queue-say")).to_contain_text("1 entry is kept")
    page.clock.set_system_time(timezone.now() + dt.timedelta(hours=24))
    page.get_by_role("button", name="Back").tap()
    expect(page.locator("#round-hint")).not_to_contain_text("takes its place")
    keep(page, "1520")
    expect(page.locator("#queue-say")).to_contain_text("Nothing waits")
    assert Entry.objects.latest("received_at").body["corrects"] is None


def test_round__page_of_another_day_skips_nobody(phone: Phone, site: str, animals: list[Animal]) -> None:
    log_meal(animals[0], who=WHO, taken=True, on=timezone.localdate())
    page = phone()
    page.goto(f"{site}/rounds/go/?what=feed")
    expect(page.locator("#round-title .lede")).to_contain_text("90-2")
    page.clock.set_fixed_time(timezone.now() + dt.timedelta(days=7))
    page.reload()
    expect(page.locator("#round-title .lede")).to_contain_text("90-1")


def test_round__photo_that_cannot_be_read_says_so(phone: Phone, site: str) -> None:
    page = phone()
    go(page, site)
    page.get_by_text("More: photo, note, shed, sign").tap()
    page.get_by_label("Photo").set_input_files({"name": "a.heic", "mimeType": "image/heic", "buffer": b"no picture"})
    keep(page, "1510")
    expect(page.locator("#round-hint")).to_contain_text("This phone cannot read that photo.")
    expect(page.get_by_role("textbox", name="Weight")).to_have_value("1510")


def test_round__after_a_new_version_the_first_page_has_its_own_files(
    phone: Phone, site: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = phone()
    go(page, site)
    expect(page.get_by_text("This round also opens without a network.")).to_be_visible()
    page.evaluate("""async () => {
      const [name] = (await caches.keys()).filter((one) => one.startsWith("rounds-files-"));
      const old = new Response("export const old = 1;", { headers: { "Content-Type": "text/javascript" } });
      await (await caches.open(name)).put("/static/holdback/rounds_photo.js", old);
    }""")
    script = worker._script()[1]
    monkeypatch.setattr(worker, "_script", lambda: ("another", script))
    page.reload()
    keep(page, "1510")
    expect(page.locator("#queue-say")).to_contain_text("1 entry is kept")
