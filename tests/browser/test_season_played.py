"""A season played through with nothing but the pages, from the first male put to a female to the first young sold."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect
from pytest_django.live_server_helper import LiveServer

from holdback.web.records.services import add_animal, add_boxes, add_incubator, add_measurement, log_meal
from holdback.web.records.services.day import set_day

pytestmark = [pytest.mark.browser, pytest.mark.slow]

START = dt.date(2026, 11, 10)
WHO = "Wrackline Barn"
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December")  # fmt: skip
WINDOW = re.compile(r"ays (\d+)(?: ([A-Z]\w+))?(?: (\d{4}))?(?:–(\d+) ([A-Z]\w+))?(?: (\d{4}))?")


@pytest.fixture
def site(transactional_db: None, live_server: LiveServer, settings: Any) -> str:
    """Address of a live site with two females, a male and an incubator, on the first day of the play."""
    settings.HOLDBACK_DEMO = True
    set_day(START, who=WHO)
    for tag, name, sex, hatched, genes, grams in (
        ("22-01", "Tarn", "female", "2022-07-02", "Pastel", 1920),
        ("22-02", "Gorse", "female", "2022-07-09", "", 1840),
        ("21-01", "Flint", "male", "2021-07-05", "Clown", 980),
    ):
        one = add_animal(who=WHO, tag=tag, name=name, sex=sex, hatched=hatched, genes=genes, status="breeder")
        add_measurement(one, who=WHO, date="2026-11-01", value=grams, condition="empty")
        log_meal(one, who=WHO, taken=True, on=dt.date(2026, 11, 4), prey_g=90.0)
    add_boxes(add_incubator(who=WHO, name="incubator 1"), ["box 1"], who=WHO, capacity=12)
    return str(live_server.url)


class Keeper:
    """Somebody at the pages of a site."""

    def __init__(self, page: Page, site: str) -> None:
        self.page, self.site = page, site

    def go(self, path: str) -> Page:
        """Open a page."""
        self.page.goto(f"{self.site}{path}")
        return self.page

    def on(self, day: str) -> None:
        """Move the demo to a day, by the strip under the head."""
        page = self.go("/rounds/")
        page.get_by_text("Another day").click()
        page.get_by_label("Move the demo to").fill(day)
        page.get_by_role("button", name="Move", exact=True).click()
        expect(page.locator(".toast")).to_contain_text("The demo is at")

    def log(self, animal: str, what: str, **typed: str) -> None:
        """Write one deed through the log: by tag, by the words of its button, and what its fields take."""
        page = self.go(f"/log/?animal={animal}")
        page.get_by_role("link", name=what, exact=True).click()
        for label, text in typed.items():
            page.locator("main").get_by_label(re.compile(f"^{label.replace('_', ' ')}")).fill(text)
        page.get_by_role("button", name="Keep it").last.click()
        expect(page.locator(".toast")).to_be_visible()

    def band(self, name: str) -> Locator:
        """What the season says of a female."""
        return self.go("/season/").locator(".band", has_text=name)

    def window(self, name: str) -> int:
        """Days that the window of her laying is wide, as the season says it."""
        text = self.band(name).inner_text()
        found = WINDOW.search(text)
        assert found, text
        first_day, first_month, first_year, last_day, last_month, year = found.groups()
        end_month = MONTHS.index(last_month or first_month) + 1
        start_month = MONTHS.index(first_month) + 1 if first_month else end_month
        last = dt.date(int(year or 2027), end_month, int(last_day or first_day))
        return (last - dt.date(int(first_year or year or 2027), start_month, int(first_day))).days + 1

    def desk(self, text: str) -> Locator:
        """Things on the Desk that say something."""
        main = self.go("/").locator("section:has(> .side #today), section:has(> .side #soon)")
        return main.locator(".body > .todo > li", has_text=text)


@pytest.fixture
def keeper(opened: Page, site: str) -> Keeper:
    return Keeper(opened, site)


def test_season__is_played_from_the_first_mating_to_the_first_sale(keeper: Keeper) -> None:
    _pair(keeper)
    _grow(keeper)
    address = _lay(keeper)
    _candle(keeper, address)
    _hatch(keeper, address)
    _raise(keeper)
    _sell(keeper)


def _pair(keeper: Keeper) -> None:
    """Put together, a lock, and apart: she is on the season's page, and a look is due."""
    page = keeper.go("/season/")
    expect(page.get_by_role("heading", name="Season 2027")).to_be_visible()
    expect(page.locator("#main")).to_contain_text("Nothing is on record of this season yet")
    keeper.go("/matings/")
    expect(page.locator("#main")).to_contain_text("Everybody is alone")
    page.get_by_label("Female", exact=True).fill("22-01")
    page.get_by_label("Male", exact=True).fill("21-01")
    page.get_by_role("button", name="Put together").click()
    page.get_by_role("button", name="Lock: 21-01 with 22-01").click()
    expect(page.locator("#main")).to_contain_text("1 lock, last 10 November 2026")
    keeper.on("2026-11-12")
    keeper.go("/matings/")
    page.get_by_role("button", name="Apart: 21-01 and 22-01").click()
    expect(page.locator("#main")).to_contain_text("Everybody is alone")
    expect(keeper.band("Tarn")).to_contain_text("with Flint 21-01")
    expect(keeper.band("Tarn")).to_contain_text("Lays this season: 6 in 10")
    expect(keeper.desk("Tarn 22-01: ultrasound.")).to_contain_text("Look for follicles by 10 December.")


def _grow(keeper: Keeper) -> None:
    """Two looks, ovulation and the shed: each makes the window of her laying narrower."""
    wide = keeper.window("Tarn")
    keeper.on("2026-12-20")
    expect(keeper.desk("Look for follicles now.")).to_contain_text("10 days late")
    keeper.log("22-01", "Ultrasound", Largest_follicle="17")
    assert keeper.desk("Look for follicles now.").count() == 0
    keeper.on("2027-02-20")
    keeper.log("22-01", "Ultrasound", Largest_follicle="36", Follicles="7")
    by_follicles = keeper.window("Tarn")
    keeper.on("2027-03-12")
    keeper.log("22-01", "Ovulation")
    by_ovulation = keeper.window("Tarn")
    expect(keeper.band("Tarn")).to_contain_text("Watch for the pre-lay shed")
    keeper.on("2027-03-31")
    keeper.log("22-01", "Shed before laying")
    expect(keeper.band("Tarn")).to_contain_text("Put the nest box in.")
    keeper.log("22-01", "Nest box in")
    expect(keeper.band("Tarn")).to_contain_text("Nest box in since 31 March.")
    assert wide > by_follicles > max(by_ovulation, keeper.window("Tarn"))


def _lay(keeper: Keeper) -> str:
    """Seven eggs, one of them a slug; the address of the clutch."""
    keeper.on("2027-04-30")
    assert keeper.desk("Tarn 22-01").count() > 0
    page = keeper.go("/log/?animal=22-01")
    page.get_by_role("link", name="Laid", exact=True).click()
    page.get_by_label("Eggs, slugs among them").fill("7")
    page.get_by_label("Which are slugs").fill("7")
    page.get_by_label("They lie in").select_option(label="incubator 1 / box 1")
    page.get_by_label("Mass of each egg, g").fill("91 88 94 86 90 87 52")
    page.get_by_role("button", name="Write the clutch").first.click()
    expect(page.locator("#main")).to_contain_text("7 laid = 6 waited for + 1 slug.")
    expect(page.locator("#main")).to_contain_text("Tarn 22-01 with Flint 21-01")
    address = page.url
    expect(keeper.band("Tarn")).to_contain_text("Laid 30 April. 6 not looked at, 1 slug.")
    expect(keeper.desk("Candle clutch 27-01.")).to_contain_text("Day 7.")
    return address


def _candle(keeper: Keeper, address: str) -> None:
    """By one tap on day 7, after which the next look is asked for; and an egg that is lost on day 30."""
    page = keeper.page
    keeper.on("2027-05-07")
    keeper.desk("Candle clutch 27-01.").get_by_role("button", name="Six with veins").click()
    expect(page.locator(".toast")).to_be_visible()
    expect(keeper.desk("Candle clutch 27-01.")).to_contain_text("Day 14. On day 7: six with veins.")
    keeper.on("2027-05-30")
    page.goto(address)
    page.get_by_role("button", name="Candle: all with veins").click()
    page.locator("#egg-6").click()
    page.get_by_text("It is lost: why, and what was in it").click()
    page.get_by_label("Why it was lost").fill("went mouldy")
    page.get_by_role("button", name="Write the loss").click()
    expect(page.locator("#egg-6")).to_contain_text("lost, day 30")
    expect(page.locator("#main")).to_contain_text("Five of seven are alive.")
    expect(keeper.band("Tarn")).to_contain_text("5 alive, 1 lost, 1 slug.")
    assert keeper.desk("Candle clutch 27-01.").count() == 0
    expect(keeper.desk("Clutch 27-01 hatches.")).to_be_visible()


def _hatch(keeper: Keeper, address: str) -> None:
    """All that are left come out, by one tap: five young on record, and the tally holds."""
    page = keeper.page
    keeper.on("2027-06-26")
    page.goto(address)
    page.get_by_role("link", name="It hatched").click()
    for mark, grams in zip("12345", ("62", "60", "65", "58", "61"), strict=True):
        page.locator(f"[name='{mark}-mass_g']").fill(grams)
    page.get_by_role("button", name="All out today").click()
    expect(page.locator(".toast")).to_contain_text("5 young on record.")
    expect(page.locator("#main")).to_contain_text("7 laid = 5 hatched + 1 lost + 1 slug.")
    page.get_by_role("button", name="Close the clutch").click()
    expect(keeper.band("Tarn")).to_contain_text("Hatched 26 June")
    expect(keeper.go("/animals/").locator("#main")).to_contain_text("8 animals on record.")
    expect(keeper.desk("First shed of 5 young")).to_be_visible()


def _raise(keeper: Keeper) -> None:
    """First shed and first meals of one young; what is due of it goes once it is written."""
    page = keeper.page
    keeper.on("2027-07-06")
    keeper.log("27-01-1", "Shed")
    expect(keeper.desk("First shed of 4 young")).to_be_visible()
    keeper.on("2027-07-10")
    expect(keeper.desk("First meal of 5 young")).to_be_visible()
    for day in ("2027-07-10", "2027-07-16", "2027-07-22", "2027-07-28", "2027-08-03"):
        keeper.on(day)
        keeper.log("27-01-1", "Fed", Prey="9")
    assert keeper.desk("First meal of 27-01-1.").count() == 0
    expect(keeper.desk("First meal of 27-01-2.")).to_contain_text("Slow starters are not rare")
    keeper.on("2027-08-21")
    ready = keeper.desk("27-01-1: ready for sale.")
    expect(ready).to_contain_text("5 meals in a row without help, 56 days old.")
    ready.get_by_role("button", name="Hold it ready").click()
    expect(page.locator(".toast")).to_be_visible()
    assert keeper.desk("27-01-1: ready for sale.").count() == 0


def _sell(keeper: Keeper) -> None:
    """The first young is sold: it stands as sold, and nothing is asked of it any more."""
    page = keeper.page
    keeper.log("27-01-1", "Sold", To_whom="Bram Hollin", Price="120")
    expect(page.locator(".toast")).to_contain_text("27-01-1: sold.")
    keeper.go("/animals/?text=27-01-1")
    expect(page.locator("tr", has_text="27-01-1")).to_contain_text("sold")
    page.get_by_role("link", name="27-01-1").first.click()
    expect(page.locator("#main")).to_contain_text("Bram Hollin")
    assert keeper.desk("27-01-1").count() == 0
