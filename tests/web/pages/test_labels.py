"""Labels: what stands on them, that a phone reads their codes, and where these lead."""

from __future__ import annotations

import datetime as dt
import io
import random
import re
import uuid
from collections.abc import Callable
from pathlib import Path

import pytest
import segno
import zxingcpp
from django.test import Client
from PIL import Image, ImageFilter

from holdback.errors import RecordError
from holdback.web.pages.labels.codes import drawn, is_only_here
from holdback.web.pages.scan.reading import _opened
from holdback.web.records.models import Animal, Clutch, Place
from holdback.web.records.services import (
    add_rack,
    change_animal,
    lay_clutch,
    move_animal,
    remove_animal,
    set_rule,
)
from holdback.web.records.short_codes import code_of, find_by_code, keys_of

Read = Callable[..., str]
WHO = "Wrackline Barn"
BASE = "http://192.168.178.20:8000/"


def photo(text: str, *, angle: float = 0, noise: float = 0, scale: int = 6) -> bytes:
    """A code as a photo of a label: turned, with noise and blur, in JPEG."""
    out = io.BytesIO()
    segno.make(text, error="m", boost_error=False, micro=False).save(out, kind="png", scale=scale, border=4)
    image = Image.open(out).convert("L")
    paper = Image.new("L", (image.width * 2, image.height * 2), 215)
    paper.paste(image, (image.width // 2, image.height // 2))
    paper = paper.rotate(angle, expand=True, fillcolor=215, resample=Image.Resampling.BICUBIC)
    if noise:
        dots = random.Random(7)
        paper = paper.point(lambda grey: 40 + grey * 0.7).filter(ImageFilter.GaussianBlur(1.2))
        grain = Image.frombytes("L", paper.size, dots.randbytes(paper.width * paper.height))
        paper = Image.blend(paper, grain, noise)
    kept = io.BytesIO()
    paper.save(kept, "JPEG", quality=70)
    return kept.getvalue()


def send(client: Client, *content: bytes, **more: str) -> object:
    files = {"photo": io.BytesIO(content[0])} if content else {}
    if files:
        files["photo"].name = "label.jpg"
    return client.post("/scan/", {**files, **more})


@pytest.mark.parametrize("key", [uuid.UUID(int=0), uuid.UUID(int=2**128 - 1), uuid.uuid4()])
def test_code__goes_to_keys_and_back(key: uuid.UUID) -> None:
    first, last = keys_of(code_of(key).upper())
    assert first <= key <= last
    assert code_of(first) == code_of(last) == code_of(key)


@pytest.mark.parametrize("text", ["", "abc", "a" * 13, "a" * 11 + "1", "ä" * 12])
def test_code__that_is_none(text: str) -> None:
    with pytest.raises(ValueError, match="is no code"):
        keys_of(text)


def test_by_code__leads_to_the_record_after_its_id_and_tub_changed(opened: Client, barn: dict[str, Animal]) -> None:
    umber = barn["Umber"]
    code = code_of(umber.pk)
    change_animal(umber, who=WHO, name="Ochre")
    assert opened.get(f"/a/{code}/")["Location"] == f"/animals/{umber.pk}/"
    clutch = Clutch.objects.get(tag="22-C4")
    assert opened.get(f"/a/{code_of(clutch.pk)}/")["Location"] == "/clutches/22-C4/"
    rack = add_rack(who=WHO, name="Rack B", tubs=["1"])
    assert opened.get(f"/a/{code_of(rack.pk)}/")["Location"] == f"/places/{rack.pk}/"


@pytest.mark.django_db
def test_by_code__of_nothing_here_says_so(opened: Client, barn: dict[str, Animal]) -> None:
    for code in (code_of(uuid.uuid4()), "nonsense"):
        response = opened.get(f"/a/{code}/")
        assert response.status_code == 404
        assert "of another keeper" in response.content.decode()
    remove_animal(barn["Sedge"], who=WHO)
    assert find_by_code(code_of(barn["Sedge"].pk)) is None


def test_labels__of_a_rack_say_name_id_sex_year(opened: Client, barn: dict[str, Animal]) -> None:
    rack = add_rack(who=WHO, name="Rack B", tubs=["2", "1"])
    move_animal(barn["Umber"], who=WHO, place=rack.parts.get(name="1"), on=dt.date(2026, 1, 1))
    page = opened.get("/labels/", {"rack": str(rack.pk)}).content.decode()
    assert "<b>Umber</b><span>22-11</span><span>female, hatched 2022</span>" in page
    tubs = opened.get("/labels/", {"rack": str(rack.pk), "what": "tubs", "size": "small"}).content.decode()
    assert re.findall(r"<b>(Tub \d)</b><span>(.*?)</span>", tubs) == [("Tub 1", "Rack B"), ("Tub 2", "Rack B")]
    assert "label-sheet small" in tubs


def test_labels__of_a_clutch_and_its_young(opened: Client, barn: dict[str, Animal]) -> None:
    clutch = lay_clutch(who=WHO, dam="22-11", laid="2026-04-02", eggs=5)
    page = opened.get("/labels/", {"clutch": clutch.tag}).content.decode().replace("\u00a0", " ")
    assert f"<b>Clutch {clutch.tag}</b><span>of Umber</span><span>laid 2 April 2026, 5 eggs</span>" in page
    young = opened.get("/labels/", {"clutch": "22-C4", "what": "young"}).content.decode()
    assert re.findall(r"<b>(\w+)</b>", young) == ["Sorrel", "Umber"]


def test_labels__fill_pages_of_a4(opened: Client, barn: dict[str, Animal]) -> None:
    keys = ",".join(str(one.pk) for one in barn.values())
    response = opened.get("/labels/", {"animals": f"{keys},nonsense,{keys}"})
    assert [len(page) for page in response.context["pages"]] == [len(barn)] == [10], "each once"
    rack = add_rack(who=WHO, name="Rack B", tubs=[str(number) for number in range(45)])
    for size, pages in (("small", [44, 1]), ("large", [10, 10, 10, 10, 5])):
        tubs = opened.get("/labels/", {"rack": str(rack.pk), "what": "tubs", "size": size})
        assert [len(page) for page in tubs.context["pages"]] == pages
    assert len(opened.get("/labels/", {"animals": keys, "size": "small"}).context["pages"]) == 1


@pytest.mark.parametrize(
    "address, alone",
    [
        ("http://127.0.0.1:8000/", True),
        ("http://localhost/", True),
        ("http://[::1]:8000/", True),
        ("http://192.168.1.20:8000/", False),
        ("https://barn.local/", False),
    ],
)
def test_labels__know_which_address_no_phone_can_open(address: str, alone: bool) -> None:
    assert is_only_here(address) is alone


def test_labels__warn_of_such_an_address_and_take_the_own_rule(opened: Client, barn: dict[str, Animal]) -> None:
    asked = {"animals": str(barn["Umber"].pk)}
    here = opened.get("/labels/", asked, headers={"host": "127.0.0.1:8000"})
    assert "No phone can open these codes" in here.content.decode()
    set_rule("qr_address", BASE, who=WHO)
    told = opened.get("/labels/", asked, headers={"host": "127.0.0.1:8000"})
    assert "No phone can open these codes" not in told.content.decode()
    assert told.context["pages"][0][0].address == f"{BASE}a/{code_of(barn['Umber'].pk)}/"


def test_labels__codes_as_drawn_are_read(opened: Client, barn: dict[str, Animal]) -> None:
    """Each drawing on the sheet, filled in dot by dot from its path, is read by zxing as its address."""
    set_rule("qr_address", BASE, who=WHO)
    keys = ",".join(str(one.pk) for one in barn.values())
    response = opened.get("/labels/", {"animals": keys})
    labels = [label for page in response.context["pages"] for label in page]
    page = response.content.decode()
    assert "style=" not in page.split('<main id="main"')[1], "the policy forbids it"
    for label in labels:
        assert label.code in page
        (read,) = zxingcpp.read_barcodes(pixels(label.code))
        assert (read.text, read.ec_level) == (label.address, "M")


def pixels(svg: str, scale: int = 5) -> Image.Image:
    """Modules of an inline drawing, by the relative path of its dark runs."""
    side = int(svg.split('viewBox="0 0 ')[1].split(" ", maxsplit=1)[0])
    image = Image.new("L", (side, side), 255)
    x = y = 0.0
    (dark,) = re.findall(r' d="(M4 [^"]+)"', svg)
    steps = dark.replace("-", " -").replace("m ", "m")
    for kind, first, second in re.findall(r"([Mmh])(-?[\d.]+)(?: (-?[\d.]+))?", steps):
        if kind == "M":
            x, y = float(first), float(second)
        elif kind == "m":
            x, y = x + float(first), y + float(second)
        else:
            for step in range(int(first)):
                image.putpixel((int(x) + step, int(y)), 0)
            x += float(first)
    return image.resize((side * scale, side * scale), Image.Resampling.NEAREST)


@pytest.mark.parametrize("angle, noise", [(0, 0), (90, 0), (180, 0.1), (17, 0.25), (-38, 0.3), (133, 0.2)])
def test_scan__turned_and_noisy_photos(opened: Client, barn: dict[str, Animal], angle: float, noise: float) -> None:
    text = f"{BASE}a/{code_of(barn['Umber'].pk)}/"
    response = send(opened, photo(text, angle=angle, noise=noise))
    assert response["Location"] == f"/animals/{barn['Umber'].pk}/"  # type: ignore[index]  # a response


def test_scan__opens_heic_of_a_phone(opened: Client) -> None:
    sample = Path(__file__).parents[1] / "records/data/half.heic"
    assert "no code was found" in send(opened, sample.read_bytes()).content.decode()  # type: ignore[attr-defined]


def test_scan__damaged_files_are_read_or_refused() -> None:
    whole, chance = photo(f"{BASE}a/{code_of(uuid.UUID(int=7))}/"), random.Random(11)
    codes = []
    for number in range(60):
        damaged = bytearray(whole[: chance.randrange(20, len(whole))] if number % 4 == 0 else whole)
        for _ in range(chance.randrange(1, 40)):
            damaged[chance.randrange(len(damaged))] = chance.randrange(256)
        try:
            _opened(io.BytesIO(damaged))
        except RecordError as error:
            codes += [fault.code for fault in error.faults]
    assert set(codes) == {"SEA-341"}


def test_scan__several_codes_are_listed(opened: Client, barn: dict[str, Animal]) -> None:
    images = [Image.open(io.BytesIO(photo(f"{BASE}a/{code_of(barn[name].pk)}/"))) for name in ("Umber", "Ledger")]
    both = Image.new("L", (images[0].width * 2, images[0].height), 215)
    both.paste(images[0], (0, 0))
    both.paste(images[1], (images[0].width, 0))
    out = io.BytesIO()
    both.save(out, "JPEG")
    page = send(opened, out.getvalue()).content.decode()  # type: ignore[attr-defined]  # a response
    assert f"/animals/{barn['Umber'].pk}/" in page
    assert f"/animals/{barn['Ledger'].pk}/" in page


def test_scan__within_a_round_goes_on_at_the_tub(opened: Client, barn: dict[str, Animal]) -> None:
    rack = add_rack(who=WHO, name="Rack B", tubs=["1"])
    tub = Place.objects.get(kind="tub")
    move_animal(barn["Umber"], who=WHO, place=tub, on=dt.date(2026, 1, 1))
    for key in (barn["Umber"].pk, tub.pk):
        asked = f"what=weigh&place={rack.pk}&at=x&next=//evil.example"
        response = send(opened, photo(f"{BASE}a/{code_of(key)}/"), round=asked)
        assert response["Location"] == f"/rounds/go/?what=weigh&place={rack.pk}&at={barn['Umber'].pk}"  # type: ignore[index]


@pytest.mark.parametrize(
    "text, said",
    [
        ("https://evil.example/a/", "of another program and was not followed"),
        ("javascript:alert(1)", "of another program and was not followed"),
        ("WIFI:S:barn;P:secret;;", "of another program and was not followed"),
        (f"{BASE}a/{code_of(uuid.UUID(int=7 << 100))}/", "of nothing in these records"),
    ],
)
def test_scan__does_not_follow_strange_codes(opened: Client, text: str, said: str) -> None:
    response = send(opened, photo(text))
    assert response.status_code == 422  # type: ignore[attr-defined]
    page = response.content.decode()  # type: ignore[attr-defined]
    assert said in page
    assert f'href="{text}' not in page


def test_scan__broken_empty_and_none(opened: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    good = photo(BASE)
    white = io.BytesIO()
    Image.new("L", (300, 300), 255).save(white, "PNG")
    for content, said in (
        ((), "no photo was chosen"),
        ((b"no photo",), "cannot be read as a photo"),
        ((good[:400],), "cannot be read as a photo"),
        ((b"<svg xmlns='http://www.w3.org/2000/svg'/>",), "cannot be read as a photo"),
        ((white.getvalue(),), "no code was found"),
    ):
        response = send(opened, *content)
        assert response.status_code == 422  # type: ignore[attr-defined]
        assert said in response.content.decode()  # type: ignore[attr-defined]
    monkeypatch.setattr("holdback.web.pages.scan.reading.MOST_BYTES", 100)
    assert "Send a smaller one" in send(opened, good).content.decode()  # type: ignore[attr-defined]
    monkeypatch.undo()
    monkeypatch.setattr("holdback.web.records.photo_files.MAX_PIXELS", 100)
    assert "Send a smaller one" in send(opened, good).content.decode()  # type: ignore[attr-defined]


def test_drawn__keeps_a_white_margin() -> None:
    svg = drawn(BASE)
    assert 'class="qr"' in svg
    assert "M4 4.5" in svg, "four modules stay white (ISO/IEC 18004)"
