"""Photographs: what is let in, what is stripped, what is kept, and that all of it can be taken back."""

from __future__ import annotations

import io
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings
from PIL import Image
from PIL.Image import Exif

from holdback.collection.photo_marks import Part, Trace
from holdback.errors import RecordError
from holdback.web.records import photo_files
from holdback.web.records.models import Animal, Change, Measurement, Photo, PhotoMarks
from holdback.web.records.services import (
    Marked,
    add_animal,
    add_photo,
    change_animal,
    keep_marks,
    marked_of,
    put_photo_away,
    undo,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
RULER = Trace(((100.0, 500.0), (500.0, 500.0)))
WIDTH = Trace(((200.0, 100.0), (300.0, 100.0)), 2.0)
BODY = Trace(((50.0, 300.0), (300.0, 320.0), (600.0, 300.0)))


@pytest.fixture(autouse=True)
def _folder(settings: LazySettings, tmp_path: Path) -> None:
    settings.HOLDBACK_DATA = tmp_path


@pytest.fixture
def animal() -> Animal:
    return add_animal(who=WHO, tag="Q1")


def file_of(size: tuple[int, int] = (800, 600), kind: str = "JPEG", **saved: Any) -> io.BytesIO:
    """A picture: left half dark, right half light."""
    picture = Image.new("RGB", size, "white")
    picture.paste("black", (0, 0, size[0] // 2, size[1]))
    out = io.BytesIO()
    picture.save(out, kind, **saved)
    out.seek(0)
    return out


def camera() -> Exif:
    """What a camera writes: a day, a place, a maker, and that it was held on its side."""
    written = Image.Exif()
    written[0x0112] = 6  # orientation: turn a quarter clockwise
    written[0x010F] = "Wrackline cameras"
    written.get_ifd(0x8769)[0x9003] = "2026:05:14 10:20:30"
    written.get_ifd(0x8825)[2] = (7.0, 57.0, 6.5)
    return written


@pytest.fixture
def photo(animal: Animal) -> Photo:
    return add_photo(animal, who=WHO, file=file_of(), taken="2026-05-14")


def test_add_photo__is_upright_and_holds_no_word_of_the_camera(animal: Animal) -> None:
    file = file_of(exif=camera(), comment=b"Wrackline note")
    assert b"Wrackline cameras" in file.getvalue()
    photo = add_photo(animal, who=WHO, file=file)
    assert (photo.width, photo.height, photo.taken) == (600, 800, "2026-05-14")
    stored = photo_files.path_of(photo.pk).read_bytes()
    assert b"Wrackline" not in stored
    assert b"Exif" not in stored
    with Image.open(io.BytesIO(stored)) as picture:
        assert dict(picture.getexif()) == {}
        assert (picture.getpixel((300, 100)), picture.getpixel((300, 700))) == ((0, 0, 0), (255, 255, 255))
    with Image.open(photo_files.path_of(photo.pk, is_small=True)) as small:
        assert small.size == (360, 480)
    assert len(photo.digest) == 64
    assert sorted(path.name for path in photo_files.path_of(photo.pk).parent.iterdir()) == [
        f"{photo.pk}-small.jpg",
        f"{photo.pk}.jpg",
    ]


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_add_photo__kinds(animal: Animal, kind: str) -> None:
    assert add_photo(animal, who=WHO, file=file_of(kind=kind)).width == 800


def test_add_photo__heic(animal: Animal) -> None:
    """The left half dark and the right half light, with the day and the maker, written by libheif."""
    sample = (Path(__file__).parent / "data" / "half.heic").read_bytes()
    assert b"Wrackline cameras" in sample
    photo = add_photo(animal, who=WHO, file=io.BytesIO(sample))
    assert (photo.width, photo.height, photo.taken) == (160, 120, "2026-05-14")
    stored = photo_files.path_of(photo.pk).read_bytes()
    assert b"Wrackline" not in stored
    with Image.open(io.BytesIO(stored)) as picture:
        row = picture.convert("L").crop((0, 60, 160, 61)).tobytes()
    assert row[20] < 60 < 200 < row[140]


def test_add_photo__what_can_be_seen_through_is_white(animal: Animal) -> None:
    out = io.BytesIO()
    Image.new("RGBA", (200, 200), (0, 0, 0, 0)).save(out, "PNG")
    out.seek(0)
    photo = add_photo(animal, who=WHO, file=out)
    with Image.open(photo_files.path_of(photo.pk)) as picture:
        assert picture.getpixel((50, 50)) == (255, 255, 255)


def test_add_photo__large_ones_are_made_smaller(animal: Animal) -> None:
    photo = add_photo(animal, who=WHO, file=file_of((6000, 3000)))
    assert (photo.width, photo.height) == (4096, 2048)


def many_pixels(count: int) -> io.BytesIO:
    out = io.BytesIO()
    Image.new("1", (count, 12_000)).save(out, "PNG")
    out.seek(0)
    return out


@pytest.mark.parametrize(
    "file, code",
    [
        (io.BytesIO(b"weights.csv;1;2"), "PHO-003"),
        (io.BytesIO(b""), "PHO-003"),
        (io.BytesIO(file_of().getvalue()[:900]), "PHO-003"),
        (file_of(kind="GIF"), "PHO-003"),
        (io.BytesIO(b"<svg xmlns='http://www.w3.org/2000/svg'/>"), "PHO-003"),
        (many_pixels(10_000), "PHO-004"),
        (many_pixels(20_000), "PHO-004"),
        (file_of((99, 300)), "PHO-005"),
    ],
)
def test_add_photo__refused(animal: Animal, file: io.BytesIO, code: str) -> None:
    file.seek(0)
    with pytest.raises(RecordError) as error:
        add_photo(animal, who=WHO, file=file)
    assert [fault.code for fault in error.value.faults] == [code]
    assert not Photo.objects.exists()
    assert not photo_files.path_of(animal.pk).parent.exists()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIC"])
def test_read_picture__damaged_files_are_read_or_refused(kind: str) -> None:
    """Eighty copies of a file, cut short or with bytes changed: nothing but a picture or a fault comes of them."""
    sample = Path(__file__).parent / "data" / "half.heic"
    whole = sample.read_bytes() if kind == "HEIC" else file_of(kind=kind, exif=camera()).getvalue()
    chance = random.Random(kind)
    codes = []
    for number in range(80):
        damaged = bytearray(whole[: chance.randrange(20, len(whole))] if number % 4 == 0 else whole)
        for _ in range(chance.randrange(1, 6)):
            damaged[chance.randrange(len(damaged))] = chance.randrange(256)
        try:
            assert photo_files.read_picture(io.BytesIO(damaged)).width >= 100
        except RecordError as error:
            codes += [fault.code for fault in error.faults]
    assert "PHO-003" in codes
    assert set(codes) <= {"PHO-003", "PHO-004", "PHO-005"}


def test_add_photo__too_many_bytes(animal: Animal, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photo_files, "MAX_BYTES", 1000)
    with pytest.raises(RecordError, match="PHO-002"):
        add_photo(animal, who=WHO, file=file_of())


def test_add_photo__no_day_and_no_writer(animal: Animal) -> None:
    with pytest.raises(RecordError, match="REC-012"):
        add_photo(animal, who=WHO, file=file_of(), taken="spring")
    with pytest.raises(RecordError, match="REC-001"):
        add_photo(animal, who=" ", file=file_of())
    assert list(photo_files.path_of(animal.pk).parent.iterdir()) == []


def test_keep_marks__makes_readings_that_go_with_their_marks(photo: Photo) -> None:
    marked = Marked([(Part.SCALE, RULER), (Part.HEAD_WIDTH, WIDTH), (Part.BODY, BODY)], 10, "cm")
    width, body = keep_marks(photo, marked, who=WHO)
    assert (width.trait, width.value, width.unit, width.date) == ("head width", 25.0, "mm", "2026-05-14")
    assert (width.condition, width.typed) == ("from a photo", "25 mm ±4.9%")
    assert (body.trait, body.unit) == ("snout-vent length", "cm")
    assert 13.75 < body.value < 13.85
    rows = list(photo.marks.all())
    assert {(row.kind, row.measurement_id) for row in rows} == {
        ("scale", None),
        ("head width", width.pk),
        ("body line", body.pk),
    }
    assert marked_of(rows) is not None
    undo(Change.objects.latest("id").batch, who=WHO)
    assert not Measurement.objects.exists()
    assert not PhotoMarks.objects.exists()
    assert Photo.objects.get() == photo


def test_keep_marks__again_corrects_the_same_reading_and_undo_restores_it(photo: Photo) -> None:
    (first,) = keep_marks(photo, Marked([(Part.SCALE, RULER), (Part.HEAD_WIDTH, WIDTH)], 10, "cm"), who=WHO)
    wider = Trace(((200.0, 100.0), (310.0, 100.0)))
    traces = [(Part.SCALE, RULER), (Part.HEAD_WIDTH, wider), (Part.HEAD_WIDTH, wider), (Part.BODY, BODY)]
    again = keep_marks(photo, Marked(traces, 10, "cm"), who=WHO)
    assert (again[0].pk, again[0].value, Measurement.objects.count(), photo.marks.count()) == (first.pk, 27.5, 2, 4)
    (only,) = keep_marks(photo, Marked([(Part.SCALE, RULER), (Part.BODY, BODY)], 10, "cm"), who=WHO)
    assert (only.pk, Measurement.objects.count()) == (again[1].pk, 1)
    undo(Change.objects.latest("id").batch, who=WHO)
    assert {one.value for one in Measurement.objects.filter(trait="head width")} == {27.5}
    assert photo.marks.count() == 4
    earlier = Change.objects.filter(deed="measure on a photo").order_by("id").values_list("batch", flat=True)
    undo(list(dict.fromkeys(earlier))[1], who=WHO)
    assert Measurement.objects.get().value == 25.0
    kept = marked_of(list(photo.marks.all()))
    assert kept is not None
    assert dict(kept.traces)[Part.HEAD_WIDTH] == WIDTH


@pytest.mark.parametrize(
    "traces, length, unit, codes",
    [
        ([(Part.SCALE, RULER)], 10, "cm", ["PHO-011"]),
        ([(Part.SCALE, RULER), (Part.BODY, Trace(((0.0, 0.0), (801.0, 10.0))))], 10, "cm", ["PHO-012"]),
        ([(Part.HEAD_WIDTH, WIDTH)], 0, "cm", ["PHO-020", "PHO-021"]),
        ([(Part.SCALE, RULER), (Part.HEAD_WIDTH, WIDTH)], 10, "g", ["REC-013"]),
    ],
)
def test_keep_marks__refused(
    photo: Photo, traces: list[tuple[Part, Trace]], length: float, unit: str, codes: list[str]
) -> None:
    with pytest.raises(RecordError) as error:
        keep_marks(photo, Marked(traces, length, unit), who=WHO)
    assert [fault.code for fault in error.value.faults] == codes
    assert not PhotoMarks.objects.exists()


def test_put_photo_away__keeps_everything(photo: Photo) -> None:
    marked = Marked([(Part.SCALE, RULER), (Part.HEAD_WIDTH, WIDTH)], 10, "cm")
    keep_marks(photo, marked, who=WHO)
    put_photo_away(photo, who=WHO)
    assert Photo.objects.get().put_away
    assert photo_files.path_of(photo.pk).is_file()
    assert Measurement.objects.count() == 1
    with pytest.raises(RecordError, match="PHO-013"):
        keep_marks(photo, marked, who=WHO)
    undo(Change.objects.latest("id").batch, who=WHO)
    assert not Photo.objects.get().put_away


def test_undo__of_a_photo_keeps_its_file(photo: Photo) -> None:
    taken = undo(Change.objects.latest("id").batch, who=WHO)
    assert not Photo.objects.exists()
    undo(taken[0].batch, who=WHO)
    assert Photo.objects.get().digest == photo.digest
    assert photo_files.path_of(photo.pk).is_file()


def test_undo__of_a_photo_with_marks_is_refused(photo: Photo) -> None:
    added = Change.objects.get(model="photo").batch
    keep_marks(photo, Marked([(Part.SCALE, RULER), (Part.HEAD_WIDTH, WIDTH)], 10, "cm"), who=WHO)
    with pytest.raises(RecordError, match="photo 2026-05-14 is still named by a later marking of a photo"):
        undo(added, who=WHO)


def test_keep_marks__before_the_hatch_date_is_refused(photo: Photo, animal: Animal) -> None:
    change_animal(animal, who=WHO, hatched="2026-07-01")
    with pytest.raises(RecordError, match="COL-041"):
        keep_marks(photo, Marked([(Part.SCALE, RULER), (Part.HEAD_WIDTH, WIDTH)], 10, "cm"), who=WHO)
    assert not PhotoMarks.objects.exists()


def test_folder__nothing_beside_it(tmp_path: Path, photo: Photo) -> None:
    found: Iterator[Path] = (path for path in tmp_path.rglob("*") if path.is_file())
    assert {path.parent.name for path in found} == {"photos"}
    assert not list(tmp_path.rglob("*.part"))
