"""Photographs on the pages: added, marked, served to nobody else, set side by side."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from PIL import Image
from tests.web.pages.conftest import WHO, Read, plain

from holdback.web.pages.photos.objects import KNOWN, key_of
from holdback.web.records.models import Animal, Measurement, Photo
from holdback.web.records.photo_files import path_of
from holdback.web.records.services import add_measurement

SCALE = {"kind": "scale", "points": [[100, 500], [956, 500]], "step": 1}
WIDTH = {"kind": "head width", "points": [[200, 100], [450, 100]], "step": 1}
LENGTH = {"kind": "head length", "points": [[325, 20], [325, 420]], "step": 1}
BODY = {"kind": "body line", "points": [[50, 300], [500, 500], [950, 300]], "step": 1}
CARD = {"object": "card-long", "unit": "cm"}
"""85.60 mm over 856 pixels: ten pixels a millimetre."""


@pytest.fixture(autouse=True)
def _folder(settings: LazySettings, tmp_path: Path) -> None:
    settings.HOLDBACK_DATA = tmp_path


def file_of(name: str = "IMG_0001.jpg") -> SimpleUploadedFile:
    out = io.BytesIO()
    Image.new("RGB", (1000, 600), "grey").save(out, "JPEG")
    return SimpleUploadedFile(name, out.getvalue(), "image/jpeg")


def added(opened: Client, animal: Animal) -> Photo:
    response = opened.post(f"/animals/{animal.pk}/photos/new/", {"file": file_of()})
    assert response.status_code == 302
    photo = Photo.objects.latest("id") if Photo.objects.count() == 1 else Photo.objects.get(animal=animal)
    assert response["Location"] == f"/photos/{photo.pk}/mark/"
    return photo


def kept(opened: Client, photo: Photo, *traces: dict[str, Any], **typed: str) -> str:
    typed = {**CARD, "marks": json.dumps(traces), "date": "2026-05-14", **typed}
    response = opened.post(f"/photos/{photo.pk}/mark/", typed, follow=True)
    assert response.status_code == 200
    return plain(response.content.decode())


def test_known_objects__name_what_fixes_them() -> None:
    """ID-1 is 85.60 by 53.98 mm (ISO/IEC 7810), A4 210 by 297 mm (ISO 216), the coins by their law."""
    lengths = {one.key: round(one.length_mm, 3) for one in KNOWN}
    assert lengths == {
        "card-long": 85.6, "card-short": 53.98, "a4-long": 297, "a4-short": 210, "euro-2": 25.75, "euro-1": 23.25,
        "us-quarter": 24.257,
    }  # fmt: skip
    assert all(one.source for one in KNOWN)
    assert [key_of(one.length_mm, "mm") for one in KNOWN] == [one.key for one in KNOWN]
    assert key_of(8.56, "cm") == "ruler"


def test_photo__from_the_animal_to_the_reading_and_back(barn: dict[str, Animal], opened: Client, read: Read) -> None:
    umber = barn["Umber"]
    text = read(f"/animals/{umber.pk}/")
    assert "Measure on a photo" in text
    assert "Set beside another" not in text
    photo = added(opened, umber)
    text = kept(opened, photo, SCALE, WIDTH)
    assert "The reading is kept." in text
    assert "Head width 25 mm (24.3–25.7)." in text
    assert "on a photo Marked once on a photo beside a scale of 85.6 mm" in text
    assert "perspective makes most of the error: ±2.5 %" in text
    assert "Head width 25 mm" in read(f"/animals/{umber.pk}/")
    assert (Measurement.objects.get(trait="head width").value, photo.marks.count()) == (25.0, 2)
    written = read(f"/animals/{umber.pk}/history/")
    assert "Measure on a photo scale marked; head width marked Take back" in written
    assert "together with others" not in written


def test_mark__remembers_the_scale_and_what_was_marked(barn: dict[str, Animal], opened: Client) -> None:
    first, second = added(opened, barn["Umber"]), added(opened, barn["Ledger"])
    kept(opened, first, SCALE, WIDTH, object="ruler", length="8,56", unit="cm")
    assert Measurement.objects.get(trait="head width").value == 25.0
    page = opened.get(f"/photos/{second.pk}/mark/").content.decode()
    assert 'name="length" value="8,56"' in page
    again = opened.get(f"/photos/{first.pk}/mark/")
    form = again.context["form"]
    assert sorted(json.loads(form["marks"].value()), key=lambda trace: trace["kind"]) == [WIDTH, SCALE]
    assert (form["length"].value(), form["unit"].value(), form["date"].value()) == ("8.56", "cm", "2026-05-14")
    kept(opened, first, SCALE, WIDTH)
    assert opened.get(f"/photos/{first.pk}/mark/").context["form"]["object"].value() == "card-long"
    assert Measurement.objects.filter(trait="head width").count() == 1


def test_reading__tells_the_length_and_keeps_nothing(barn: dict[str, Animal], opened: Client) -> None:
    photo = added(opened, barn["Umber"])

    def told(*traces: dict[str, Any], **typed: str) -> str:
        answer = opened.post(f"/photos/{photo.pk}/reading/", {**CARD, "marks": json.dumps(traces), **typed})
        assert answer.status_code == 200
        return plain(answer.content.decode())

    assert "Head width 25 mm 24.3–25.7, ±2.9 %" in told(SCALE, WIDTH)
    assert "pointing makes most of the error" in told(SCALE, WIDTH | {"step": 12})
    assert "Snout to vent" in told(SCALE, BODY)
    assert "The length will stand here" in told(SCALE)
    assert "No scale is marked." in told(WIDTH)
    assert "Type how long the marked piece is" in told(SCALE, WIDTH, object="ruler")
    assert "did not arrive in one piece" in plain(
        opened.post(f"/photos/{photo.pk}/reading/", {**CARD, "marks": "{]"}).content.decode()
    )
    assert not Measurement.objects.filter(trait="head width").exists()


@pytest.mark.parametrize(
    "marks, typed, said",
    [
        ("[]", {}, "Nothing of the animal is marked."),
        ("[1]", {}, "The marks did not arrive in one piece."),
        (json.dumps([SCALE, WIDTH | {"points": [[0, 0], [1e9, 0]]}]), {}, "lies outside the photo"),
        (json.dumps([SCALE, WIDTH]), {"object": "ruler", "length": "ten"}, "The scale has no length."),
        (json.dumps([SCALE, WIDTH]), {"date": "spring"}, "'spring' is no date"),
    ],
)
def test_mark__refused(barn: dict[str, Animal], opened: Client, marks: str, typed: dict[str, str], said: str) -> None:
    photo = added(opened, barn["Umber"])
    response = opened.post(f"/photos/{photo.pk}/mark/", {**CARD, "marks": marks, "date": "2026-05-14", **typed})
    assert response.status_code == 422
    assert said in plain(response.content.decode())
    assert not photo.marks.exists()


def test_add__refused(barn: dict[str, Animal], opened: Client) -> None:
    address = f"/animals/{barn['Umber'].pk}/photos/new/"
    for sent, code in (({}, "PHO-001"), ({"file": SimpleUploadedFile("a.jpg", b"no picture")}, "PHO-003")):
        response = opened.post(address, sent)
        assert response.status_code == 422
        assert response.content.decode().count(code) == 1
    assert not Photo.objects.exists()


def test_picture__is_for_an_open_session_only(barn: dict[str, Animal], opened: Client) -> None:
    photo = added(opened, barn["Umber"])
    for size in ("large", "small"):
        answer = opened.get(f"/photos/{photo.pk}/{size}.jpg")
        content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]  # a file response streams
        assert content[:2] == b"\xff\xd8"
        assert answer["Content-Type"] == "image/jpeg"
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert answer["Cache-Control"].startswith("private,")
        assert "IMG_0001" not in answer["Content-Disposition"]
        assert Client().get(f"/photos/{photo.pk}/{size}.jpg").status_code == 403
    assert opened.get(f"/photos/{barn['Umber'].pk}/large.jpg").status_code == 404
    assert "IMG_0001" not in str(path_of(photo.pk))


def test_picture__missing_file_is_said(barn: dict[str, Animal], opened: Client, read: Read) -> None:
    photo = added(opened, barn["Umber"])
    path_of(photo.pk).unlink()
    assert opened.get(f"/photos/{photo.pk}/large.jpg").status_code == 404
    assert "The file of this photo is missing. Bring the folder photos back" in read(f"/photos/{photo.pk}/")


def test_put_away__and_out_again(barn: dict[str, Animal], opened: Client, read: Read) -> None:
    photo = added(opened, barn["Umber"])
    kept(opened, photo, SCALE, WIDTH)
    animal = f"/animals/{barn['Umber'].pk}/"
    text = plain(opened.post(f"/photos/{photo.pk}/away/", follow=True).content.decode())
    assert "The photo is put away." in text
    assert f"/photos/{photo.pk}/" not in opened.get(animal).content.decode()
    assert Measurement.objects.filter(trait="head width").exists()
    assert "It is put away." in read(f"/photos/{photo.pk}/")
    opened.post(f"/photos/{photo.pk}/away/", {"again": "1"})
    assert f"/photos/{photo.pk}/" in opened.get(animal).content.decode()


def test_animal__queries_do_not_grow_with_photos(barn: dict[str, Animal], opened: Client) -> None:
    address = f"/animals/{barn['Umber'].pk}/"
    counts = []
    for _ in range(3):
        response = opened.post(f"/animals/{barn['Umber'].pk}/photos/new/", {"file": file_of()})
        key = response["Location"].split("/")[2]
        kept(opened, Photo.objects.get(pk=key), SCALE, WIDTH)
        opened.get(address)
        with CaptureQueriesContext(connection) as queries:
            opened.get(address)
        counts.append(len(queries))
    assert counts[0] == counts[1] == counts[2]


def test_beside__two_heads_at_one_scale(barn: dict[str, Animal], opened: Client, read: Read) -> None:
    wider = WIDTH | {"points": [[200, 100], [500, 100]]}
    kept(opened, added(opened, barn["Umber"]), SCALE, wider, LENGTH, BODY)
    kept(opened, added(opened, barn["Ledger"]), SCALE, WIDTH)
    page = opened.get("/photos/beside/", {"one": "22-11", "other": "22-05"}).content.decode()
    text = plain(page)
    assert "Umber beside Ledger" in text
    assert "Umber is 5 mm wider in the head than Ledger (3.9–6.1): more than the error of the two readings." in text
    assert "Of Ledger none is on record." in text
    assert page.count('width="40.5mm" height="68.9mm"') == 2
    assert "scale(0.1) rotate(0.0) translate(-325.0 -220.0)" in page
    assert "scale(0.1) rotate(-0.0) translate(-325.0 -100.0)" in page
    assert '<rect class="bar-body" x="0" y="5" width="30.0mm"' in page
    assert "1 to 2 on paper" in text
    assert "style=" not in page
    assert "Size now, and no more" in text


def test_beside__lengths_by_calipers_and_none(barn: dict[str, Animal], opened: Client, read: Read) -> None:
    for name, width in (("Umber", 30.0), ("Ledger", 29.0)):
        for trait, value in (("head width", width), ("head length", 50.0)):
            add_measurement(barn[name], who=WHO, date="2026-05-14", trait=trait, value=value, unit="mm")
    text = read("/photos/beside/", one="22-11", other="22-05")
    assert "an outline from its numbers, no likeness" in text
    assert "The difference is not more than the error of the two readings." in text
    assert "no range known, 14 May 2026" in text
    text = read("/photos/beside/", one="23-03", other="24-02")
    assert "Neither head nor body of the two is measured yet." in text
    response = opened.get("/photos/beside/", {"one": "zz", "other": "22-05"})
    assert response.status_code == 422
    assert "No animal has the tag zz." in plain(response.content.decode())
    assert "Two animals at one scale" in read("/photos/beside/")


def test_beside__few_queries(barn: dict[str, Animal], opened: Client) -> None:
    for name in ("Umber", "Ledger"):
        kept(opened, added(opened, barn[name]), SCALE, WIDTH, LENGTH, BODY)
    with CaptureQueriesContext(connection) as queries:
        opened.get("/photos/beside/", {"one": "22-11", "other": "22-05"})
    assert len(queries) <= 16
