"""Measuring on a photo in a real browser: by finger, mouse and keyboard, on a picture of known size."""

from __future__ import annotations

import io
import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.conf import LazySettings
from PIL import Image, ImageDraw
from playwright.sync_api import Browser, CDPSession, Page, expect
from tests.browser.barriers import barriers

from holdback.collection.photo_marks import Part, Trace
from holdback.web.access.tokens import new_token
from holdback.web.records.models import Animal, Measurement, Photo, PhotoMarks
from holdback.web.records.services import Marked, add_photo, keep_marks

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PX_PER_MM = 20
SIZE = (2400, 1800)
RULER = ((300, 1500), (300 + 85.60 * PX_PER_MM, 1500))
"""A card of 85.60 mm."""
HEAD = ((800, 600), (1300, 600))
"""A head 25 mm wide."""


@pytest.fixture(autouse=True)
def _folder(settings: LazySettings, tmp_path: Path) -> None:
    settings.HOLDBACK_DATA = tmp_path


def picture() -> bytes:
    """A dark head 25 mm wide, a neck and a card on a light ground."""
    image = Image.new("RGB", SIZE, "#c9c2b4")
    pen = ImageDraw.Draw(image)
    pen.rectangle((RULER[0][0], 1400, RULER[1][0], 1700), fill="#3b5a86")
    pen.rectangle((950, 800, 1150, 1300), fill="#4a3621")
    pen.ellipse((HEAD[0][0], 250, HEAD[1][0], 950), fill="#4a3621")
    for x in (930, 1150):
        pen.ellipse((x, 420, x + 30, 450), fill="#101010")
    out = io.BytesIO()
    image.save(out, "JPEG", quality=85)
    return out.getvalue()


@pytest.fixture
def photo(site: str) -> Photo:
    return add_photo(Animal.objects.get(tag="20-09"), who="Wren", file=io.BytesIO(picture()), taken="2026-05-14")


@pytest.fixture
def phone(browser: Browser, site: str) -> Iterator[Page]:
    """A telephone: 390 px wide, touched, with the door open; anything on its console fails the test."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, device_scale_factor=2)
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(f"{site}/open/{new_token()}/")
    yield page
    context.close()
    assert said == []


def choose(page: Page) -> None:
    """Choose the picture; the page sends it by itself."""
    field = page.get_by_label("Photo", exact=True)
    field.set_input_files({"name": "x.jpg", "mimeType": "image/jpeg", "buffer": picture()})
    expect(page).to_have_url(re.compile(r"/mark/$"))


def on_screen(page: Page, point: tuple[float, float]) -> tuple[float, float]:
    """Where a point of the photo is seen."""
    stage = page.locator(".photo-seen")
    box = stage.bounding_box()
    assert box is not None
    x, y, width, _ = (float(part) for part in (stage.get_attribute("viewBox") or "").split())
    scale = width / box["width"]
    return box["x"] + (point[0] - x) / scale, box["y"] + (point[1] - y) / scale


def tap(page: Page, point: tuple[float, float]) -> None:
    page.touchscreen.tap(*on_screen(page, point))


def test_head__is_measured_on_a_phone_in_under_a_minute(phone: Page, site: str) -> None:
    """Ten touches: the link, the file, two for the scale, its length and what it is, two for the head, and Keep."""
    animal = Animal.objects.get(tag="20-09")
    phone.goto(f"{site}/animals/{animal.pk}/")
    start = time.monotonic()
    phone.get_by_role("link", name="Measure on a photo").tap()
    phone.get_by_label("Photo", exact=True).set_input_files(
        {"name": "x.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    expect(phone).to_have_url(re.compile(r"/mark/$"))
    expect(phone.locator(".photo-say")).to_have_text("Touch one end of the scale.")
    tap(phone, RULER[0])
    expect(phone.locator(".photo-say")).to_have_text("Now the other end of the scale.")
    tap(phone, RULER[1])
    expect(phone.get_by_label("Head width")).to_be_checked()
    tap(phone, HEAD[0])
    tap(phone, HEAD[1])
    phone.get_by_label("Marked length").fill("8.56")
    reading = phone.locator("#photo-reading")
    expect(reading).to_contain_text("Head width")
    expect(reading).to_contain_text("Zoom in")
    phone.get_by_role("button", name="Keep it").tap()
    expect(phone.locator(".toast")).to_contain_text("The reading is kept.")
    assert time.monotonic() - start < 60
    expect(phone.locator(".lede")).to_contain_text(re.compile(r"Head width 2[45]\.?\d*\smm"))
    kept = Measurement.objects.get(trait="head width", condition="from a photo")
    assert kept.value == pytest.approx(25, rel=0.03)  # a finger's tap without zoom: one pixel of the screen is 0.3 mm
    phone.goto(f"{site}/animals/{animal.pk}/photos/new/")
    phone.get_by_label("Photo", exact=True).set_input_files(
        {"name": "y.jpg", "mimeType": "image/jpeg", "buffer": picture()}
    )
    expect(phone).to_have_url(re.compile(r"/mark/$"))
    expect(phone.get_by_label("Marked length")).to_have_value("8.56")


class Fingers:
    """Fingers on the glass, moved step by step."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.glass: CDPSession = page.context.new_cdp_session(page)

    def put(self, kind: str, *places: tuple[float, float]) -> None:
        points = [{"x": x, "y": y, "id": index} for index, (x, y) in enumerate(places)]
        self.glass.send("Input.dispatchTouchEvent", {"type": f"touch{kind}", "touchPoints": points})


def test_finger__slow_is_fine_and_two_zoom(phone: Page, site: str, photo: Photo) -> None:
    phone.goto(f"{site}/photos/{photo.pk}/mark/")
    fingers = Fingers(phone)
    stage = phone.locator(".photo-seen")
    before = [float(part) for part in (stage.get_attribute("viewBox") or "").split()]
    x, y = on_screen(phone, (1200, 900))
    fingers.put("Start", (x - 30, y))
    fingers.put("Start", (x - 30, y), (x + 30, y))
    for step in range(1, 11):
        fingers.put("Move", (x - 30 - 6 * step, y), (x + 30 + 6 * step, y))
    fingers.put("End")
    after = [float(part) for part in (stage.get_attribute("viewBox") or "").split()]
    assert after[2] == pytest.approx(before[2] / 3, rel=0.05)
    expect(phone.locator(".photo-marks circle")).to_have_count(0)
    phone.get_by_role("button", name="All").tap()
    x, y = on_screen(phone, RULER[0])
    fingers.put("Start", (x + 20, y))
    expect(phone.locator(".photo-loupe")).to_be_visible()
    for step in range(1, 11):
        phone.wait_for_timeout(60)
        fingers.put("Move", (x + 20 - 2 * step, y))
    fingers.put("End")
    expect(phone.locator(".photo-loupe")).to_be_hidden()
    mark = phone.locator(".photo-marks .mark-dot")
    scale = before[2] / (stage.bounding_box() or {"width": 1})["width"]
    moved = RULER[0][0] + 20 * scale - float(mark.get_attribute("cx") or 0)
    assert moved == pytest.approx(20 * scale / 5, rel=0.3)
    phone.get_by_role("button", name="Undo").tap()
    expect(mark).to_have_count(0)


def test_mouse__drags_undoes_and_repeats(opened: Page, site: str, photo: Photo) -> None:
    opened.set_viewport_size({"width": 1280, "height": 900})
    opened.goto(f"{site}/photos/{photo.pk}/mark/")
    opened.get_by_label("The scale is a").select_option("card-long")
    expect(opened.get_by_label("Marked length")).to_be_hidden()
    for point in (*RULER, *HEAD):
        opened.mouse.click(*on_screen(opened, point))
    expect(opened.locator("#photo-reading")).to_contain_text(re.compile(r"2[45](\.\d)?\smm"))
    opened.mouse.move(*on_screen(opened, HEAD[1]))
    opened.mouse.down()
    opened.mouse.move(*on_screen(opened, (1500, 600)), steps=5)
    opened.mouse.up()
    expect(opened.locator("#photo-reading")).to_contain_text(re.compile(r"3[45](\.\d)?\smm"))
    opened.get_by_role("button", name="Undo").click()
    expect(opened.locator("#photo-reading")).to_contain_text(re.compile(r"2[45](\.\d)?\smm"))
    opened.get_by_role("button", name="Once more").click()
    for point in HEAD:
        opened.mouse.click(*on_screen(opened, (point[0], point[1] + 200)))
    expect(opened.locator("#photo-reading")).to_contain_text("on a photo, 2 times")
    opened.get_by_label("Body line").check(force=True)
    for point in ((1000, 300), (1100, 700), (1000, 1000), (1100, 1250)):
        opened.mouse.click(*on_screen(opened, point))
    expect(opened.locator("#photo-reading")).to_contain_text("Snout to vent")
    opened.get_by_role("button", name="Keep it").click()
    expect(opened.locator(".toast")).to_contain_text("2 readings are kept.")
    assert PhotoMarks.objects.filter(photo=photo).count() == 4


def test_keyboard__sets_all_marks(opened: Page, site: str, photo: Photo) -> None:
    opened.set_viewport_size({"width": 1280, "height": 900})
    opened.goto(f"{site}/photos/{photo.pk}/mark/")
    opened.get_by_label("The scale is a").select_option("card-long")
    opened.locator(".photo-seen").focus()
    keys = opened.keyboard
    keys.press("Enter")
    expect(opened.locator(".photo-loupe")).to_be_visible()
    for moves in (("ArrowLeft", 10), ("ArrowRight", 20), ("ArrowUp", 8), ("ArrowLeft", 9)):
        for _ in range(moves[1]):
            keys.press(moves[0])
        keys.press("Enter")
    expect(opened.locator(".photo-marks circle.mark-ring")).to_have_count(4)
    expect(opened.locator("#photo-reading")).to_contain_text("Head width")
    marks = opened.locator("input[name=marks]")
    before = marks.input_value()
    keys.press("Enter")
    expect(opened.locator(".photo-say")).to_contain_text("The mark is taken up.")
    keys.press("Shift+ArrowRight")
    keys.press("Enter")
    assert marks.input_value() != before
    keys.press("Backspace")
    assert marks.input_value() == before
    keys.press("+")
    keys.press("0")
    opened.get_by_role("button", name="Keep it").click()
    expect(opened.locator(".toast")).to_contain_text("The reading is kept.")
    assert PhotoMarks.objects.filter(photo=photo, kind="head width").count() == 1


def measured(photo: Photo) -> None:
    """A scale, a head and a body line on the photo."""
    as_floats = [tuple((float(x), float(y)) for x, y in points) for points in (RULER, HEAD)]
    length = Trace(((1050.0, 250.0), (1050.0, 950.0)))
    body = Trace(((1050.0, 250.0), (1100.0, 700.0), (1000.0, 1000.0), (1100.0, 1300.0)))
    traces = [(Part.SCALE, Trace(as_floats[0])), (Part.HEAD_WIDTH, Trace(as_floats[1]))]
    keep_marks(photo, Marked([*traces, (Part.HEAD_LENGTH, length), (Part.BODY, body)], 85.60, "mm"), who="Wren")


@pytest.fixture
def addresses_of_photos(site: str, photo: Photo) -> list[str]:
    measured(photo)
    other = add_photo(Animal.objects.get(tag="17-02"), who="Wren", file=io.BytesIO(picture()), taken="2026-05-14")
    measured(other)
    return [
        f"{site}/animals/{photo.animal_id}/",
        f"{site}/animals/{photo.animal_id}/photos/new/",
        f"{site}/photos/{photo.pk}/",
        f"{site}/photos/{photo.pk}/mark/",
        f"{site}/photos/beside/",
        f"{site}/photos/beside/?one=20-09&other=17-02",
    ]


def test_photos__have_no_barrier_and_never_scroll_sideways(opened: Page, addresses_of_photos: list[str]) -> None:
    assert barriers(opened, {one: one for one in addresses_of_photos}) == {}


def test_beside__heads_are_at_true_size_and_on_a_phone_beside_each_other(
    phone: Page, addresses_of_photos: list[str]
) -> None:
    phone.goto(addresses_of_photos[-1])
    heads = [head.bounding_box() for head in phone.locator(".true-head").all()]
    tops = [head["y"] for head in heads if head]
    assert len(tops) == 2
    assert tops[0] == tops[1]
    line = phone.locator(".true-head .trace-line").first.bounding_box()
    assert line is not None
    assert line["height"] == pytest.approx(35 * 96 / 25.4, abs=1)  # CSS Values 4: an inch is 96 px; 700 px are 35 mm


def test_mark__without_scripts_says_what_is_needed(browser: Browser, site: str, photo: Photo) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{site}/open/{new_token()}/")
    page.goto(f"{site}/photos/{photo.pk}/mark/")
    expect(page.get_by_text("Marking needs JavaScript")).to_be_visible()
    expect(page.get_by_role("button", name="Keep it")).to_be_hidden()
    context.close()
