"""Places, labels and scanning in a real browser: two taps, a label on paper, a photo that leads into a round."""

from __future__ import annotations

import datetime as dt
import io
import re
from pathlib import Path

import pytest
import segno
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from holdback.web.access.tokens import new_token
from holdback.web.records.models import Animal, Place, Stay
from holdback.web.records.services import add_animal, add_rack, move_animal
from holdback.web.records.short_codes import code_of

pytestmark = [pytest.mark.browser, pytest.mark.slow]

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
WHO = "Wren"


@pytest.fixture
def rack(transactional_db: None) -> Place:
    """Rack R with six tubs; an animal in each of the first four."""
    found = add_rack(who=WHO, name="Rack R", tubs=["1", "2", "3", "4", "9", "10"])
    for number in range(1, 5):
        animal = add_animal(who=WHO, tag=f"90-{number}", name=f"Reed {number}", sex="female", hatched="2020")
        move_animal(animal, who=WHO, place=found.parts.get(name=str(number)), on=dt.date(2026, 1, 1))
    return found


@pytest.fixture
def phone(page: Page, rack: Place, live_server: object) -> Page:
    """Page of a phone that was let in."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{live_server.url}/open/{new_token()}/")  # type: ignore[attr-defined]  # the fixture of the plugin
    return page


def test_places__moved_by_two_taps_and_taken_back(phone: Page, rack: Place, live_server: object) -> None:
    site = live_server.url  # type: ignore[attr-defined]
    phone.goto(f"{site}/places/{rack.pk}/")
    phone.get_by_role("link", name="Move… Reed 2").click()
    phone.get_by_role("button", name="10 free").click()
    expect(phone.get_by_text("Reed 2 is in tub 10 now.")).to_be_visible()
    stay = Stay.objects.select_related("place").get(animal__tag="90-2", until__isnull=True)
    assert stay.place.name == "10"
    phone.get_by_role("button", name="Undo").click()
    assert Stay.objects.get(animal__tag="90-2").place.name == "2"


def test_places__labels_scan_and_phone_are_clean(phone: Page, rack: Place, live_server: object) -> None:
    site = live_server.url  # type: ignore[attr-defined]
    animal = Animal.objects.get(tag="90-1")
    addresses = (
        "/places/",
        f"/places/{rack.pk}/",
        f"/places/move/{animal.pk}/",
        "/places/new/rack/",
        f"/labels/?rack={rack.pk}&what=tubs",
        "/labels/",
        "/scan/",
        "/phone/",
    )
    for address in addresses:
        phone.goto(f"{site}{address}")
        assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth"), address
        found = Axe().run(phone, options={"runOnly": {"type": "tag", "values": TAGS}})
        assert not found.violations_count, f"{address}: {found.generate_report()}"


def test_labels__fit_the_page_of_a4(phone: Page, rack: Place, live_server: object) -> None:
    site = live_server.url  # type: ignore[attr-defined]
    phone.goto(f"{site}/labels/?rack={rack.pk}&what=tubs&size=large")
    phone.emulate_media(media="print")
    box = phone.locator(".label-one").first.bounding_box()
    assert box is not None
    assert (box["width"] / 96 * 25.4, box["height"] / 96 * 25.4) == pytest.approx((95, 55), abs=0.5)
    printed = phone.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type /Page\b", printed)) == 1


def test_scan__within_a_round_goes_on_at_the_tub(phone: Page, rack: Place, live_server: object, tmp_path: Path) -> None:
    site = live_server.url  # type: ignore[attr-defined]
    tub = rack.parts.get(name="3")
    picture = io.BytesIO()
    segno.make(f"http://192.168.1.20:8750/a/{code_of(tub.pk)}/", error="m").save(picture, kind="png", scale=8, border=4)
    (tmp_path / "label.png").write_bytes(picture.getvalue())
    phone.goto(f"{site}/rounds/go/?what=weigh&place={rack.pk}")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Tub 1")
    phone.get_by_role("link", name="Scan a label").click()
    phone.get_by_label("Photo of the label").set_input_files(tmp_path / "label.png")
    phone.get_by_role("button", name="Read it").click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Tub 3")
    assert phone.url == f"{site}/rounds/go/?what=weigh&place={rack.pk}", "the round keeps its own address"
