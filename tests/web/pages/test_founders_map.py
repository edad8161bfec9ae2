"""The founders' map and the form behind it: what a person reads, and what never leaves the computer."""

from __future__ import annotations

import io
import json
import math
import re
import zipfile
from itertools import combinations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from tests.web.pages.conftest import WHO, Read, plain

from holdback.collection.origins import PlaceOfOrigin as Place
from holdback.collection.origins import Precision
from holdback.species.catalogue import load
from holdback.web.pages.map.drawing import spread
from holdback.web.pages.map.outlines import Frame, atlas
from holdback.web.pages.map.page import range_words
from holdback.web.pages.map.places import sort_places
from holdback.web.records.models import Animal, Change, PlaceOfOrigin
from holdback.web.records.services import set_origin

MAP = "/lines/map/"


def at(key: str, country: str = "", north: float | None = None, east: float | None = None) -> Place:
    return Place(key, "", country, north, east)


def test_frame__is_true_to_scale_in_the_middle() -> None:
    """One degree at the equator is as wide as high; at 60 degrees half as wide (plate carrée, cos 60° = 1/2)."""
    assert Frame(0, -5, 10, 5).aspect == pytest.approx(1)
    assert Frame(0, 55, 10, 65).aspect == pytest.approx(0.5)
    assert (Frame(-10, 0, 10, 10).left(0), Frame(-10, 0, 10, 10).top(2.5)) == (50, 75)


def test_outlines__hold_the_reported_range_at_true_places() -> None:
    """Accra (5.6 N, 0.2 W) lies in Ghana and Lomé (6.2 N, 1.2 E) in Togo: common geography, from memory."""
    wild = load().wild_range
    assert wild is not None
    assert set(wild.countries) <= set(atlas().countries)
    assert holds("GH", 5.7, -0.25)
    assert holds("TG", 6.3, 1.25)
    assert not holds("GH", 6.3, 1.25)
    for code, outline in atlas().countries.items():
        assert holds(code, outline.latitude, outline.longitude), code


def holds(code: str, latitude: float, longitude: float) -> bool:
    """Whether a point lies in a country: an odd number of its edges lie to the east."""
    crossings = 0
    for ring in atlas().countries[code].path[1:-1].split("ZM"):
        points = [tuple(map(float, point.split())) for point in ring.split("L")]
        for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True):
            if (y0 > -latitude) != (y1 > -latitude):
                crossings += longitude < x0 + (-latitude - y0) / (y1 - y0) * (x1 - x0)
    return crossings % 2 == 1


def test_sort_places__one_mark_a_country_else_a_degree() -> None:
    origins = [
        at("a", "GH"), at("b", "GH", 7.64, -0.91), at("c", "TG", 7.64, 0.91), at("d", "TG", 7.66, 0.93),
        at("e", "", 9.1, 2.2), at("f", "", 9.9, 2.8), at("g", "", 10.1, 2.2), at("h", "ID"), at("i", "GH", -30.0, 1.0),
        at("j"),
    ]  # fmt: skip
    found = sort_places(origins, atlas())
    marks = {group.name: ([one.animal for one in group.origins], group.is_whole_country) for group in found.groups}
    assert marks == {
        "9.5° N, 2.5° E": (["e", "f"], False),
        "10.5° N, 2.5° E": (["g"], False),
        "Ghana": (["a", "b"], True),
        "Togo": (["c", "d"], False),
    }
    assert [one.animal for one in found.outside] == ["h", "i"]
    assert [one.animal for one in found.nowhere] == ["j"]
    assert found.n_drawn == 7
    assert next(group for group in found.groups if group.name == "Togo").latitude == 7.5


def test_sort_places__only_coarse_ones_come_out() -> None:
    (group,) = sort_places([Place("a", "x", "", 7.9518, -1.0244, Precision.EXACT)], atlas()).groups
    assert (group.origins[0].latitude, group.origins[0].precision) == (8.0, Precision.COARSE)


def test_spread__moves_only_marks_that_cover_each_other() -> None:
    places = [at("a", "", 8.2, 1.1), at("b", "", 7.2, 0.1), at("c", "", 20.1, 20.1), at("d", "GH"), at("e", "TG")]
    before = sort_places(places, atlas()).groups
    after = spread(before)
    spots = [(group.longitude, group.latitude) for group in after]
    assert min(math.dist(*pair) for pair in combinations(spots, 2)) > 3
    moved = {group.name for old, group in zip(before, after, strict=True) if old != group}
    assert "20.5° N, 20.5° E" not in moved
    assert {"Ghana", "Togo"} <= moved
    same = spread([before[0], before[0]])
    assert abs(same[0].longitude - same[1].longitude) > 3


def test_range_words__none_is_said() -> None:
    assert range_words(None, "corn snake") == (
        "Where the corn snake lives in the wild is not known here",
        "The species file names no range.",
    )


def test_map__without_a_place(barn: dict[str, Animal], read: Read) -> None:
    text = read(MAP)
    assert "Of 5 founders none has a place written down." in text
    assert "No place yet" in text
    assert "The ball python is reported from 18 countries" in text
    assert "A sketch, not a survey" in text
    assert "Auliya M, Schmitz A (2010)" in text
    assert "Appendix II of CITES" in text
    assert "Mortar 16-01" in text.partition("No place on record")[2]


def test_map__says_who_is_from_where(barn: dict[str, Animal], opened: Client, read: Read) -> None:
    set_origin(barn["Mortar"], who=WHO, place="the Marrowfen", ground="the importer")
    set_origin(barn["Quill"], who=WHO, place="a farm", country="GH", latitude=7.6, longitude=-0.9)
    set_origin(barn["Fennel"], who=WHO, place="a market", country="ID")
    set_origin(barn["Umber"], who=WHO, place="here", country="GH", latitude=7.64, longitude=-0.93)
    text = read(MAP)
    assert "Of 5 founders, 3 have a place written down. So has 1 animal with a parent on record." in text
    assert "2 of these 4 can be drawn on this map. Every place is what somebody says" in text
    assert "a farm · near 7.6° N, 0.9° W Ghana Quill 17-02 No ground is noted. claimed drawn" in text
    assert "a market Indonesia Fennel 23-03 No ground is noted. claimed outside this map" in text
    assert "the Marrowfen not said Mortar 16-01 the importer claimed not drawn: no country said" in text
    page = opened.get(MAP).content.decode()
    (mark,) = re.findall(r'<a class="found" href="#(place-\d+)" aria-label="([^"]+)"', page)
    assert mark == ("place-1", "2 animals in Ghana, as claimed")
    assert 'id="place-1"' in page
    assert "style=" not in page


def test_map__queries_do_not_grow(barn: dict[str, Animal], opened: Client) -> None:
    set_origin(barn["Quill"], who=WHO, country="GH")
    opened.get(MAP)
    counts = []
    for name in ("Mortar", "Umber"):
        with CaptureQueriesContext(connection) as queries:
            opened.get(MAP)
        counts.append(len(queries))
        set_origin(barn[name], who=WHO, country="TG", place=name)
    assert counts[0] == counts[1]


def write(opened: Client, animal: Animal, **typed: str) -> str:
    response = opened.post(f"/animals/{animal.pk}/origin/", typed, follow=True)
    return plain(response.content.decode())


def test_origin__is_kept_coarse_and_can_be_undone(barn: dict[str, Animal], opened: Client) -> None:
    text = write(opened, barn["Quill"], place="a farm", country="GH", north="7,9518", east="-1.0244", ground="bill")
    assert "The place is kept." in text
    assert "Comes from a farm Ghana, near 8° N, 1° W claimed bill" in text
    assert "from a farm, GH, near 8.0, -1.0, bill" in text
    said = PlaceOfOrigin.objects.get()
    assert (said.latitude, said.longitude, said.precision) == (8.0, -1.0, "coarse")
    opened.post(f"/undo/{Change.objects.latest('id').batch}/")
    assert not PlaceOfOrigin.objects.exists()


def test_origin__exact_stays_on_the_form(barn: dict[str, Animal], opened: Client, read: Read) -> None:
    quill = barn["Quill"]
    write(opened, quill, place="a farm", north="7.9518", east="-1.0244", exact="on")
    write(opened, quill, place="a farm", north="7.9519", east="-1.0244", exact="on")
    assert PlaceOfOrigin.objects.get().latitude == 7.9519
    assert "7.9519" in opened.get(f"/animals/{quill.pk}/origin/").content.decode()
    for address in (MAP, f"/animals/{quill.pk}/", f"/animals/{quill.pk}/history/"):
        assert "7.95" not in read(address), address
    answer = opened.get("/api/animals/17-02")
    assert answer.status_code == 200
    assert "7.95" not in answer.content.decode()


def test_exports_of_the_pages__are_coarse(barn: dict[str, Animal], opened: Client) -> None:
    said = {"latitude": 7.9518, "longitude": -1.0244, "precision": "exact"}
    set_origin(barn["Quill"], who=WHO, **said)  # type: ignore[arg-type]  # a plain dict
    for address in ("/import/export/folder/", "/import/export/workbook/", "/api/export.xlsx"):
        answer = opened.get(address)
        assert answer.status_code == 200, address
        with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
            texts = {name: archive.read(name).decode() for name in archive.namelist()}
        assert not [name for name, text in texts.items() if "7.95" in text], address
        assert [name for name, text in texts.items() if "coarse" in text], address


def test_origin__taken_back(barn: dict[str, Animal], opened: Client) -> None:
    write(opened, barn["Quill"], place="a farm")
    opened.post(f"/animals/{barn['Quill'].pk}/origin/remove/")
    assert not PlaceOfOrigin.objects.exists()
    assert opened.post(f"/animals/{barn['Quill'].pk}/origin/remove/").status_code == 404


@pytest.mark.parametrize(
    "typed, said",
    [
        ({"place": " "}, "No place is said."),
        ({"north": "far", "east": "1"}, "far is no number."),
        ({"north": "97", "east": "1"}, "A latitude of 97 cannot be."),
        ({"east": "1"}, "The latitude is missing."),
        ({"country": "XQ"}, "Select a valid choice"),
    ],
)
def test_origin__refused(barn: dict[str, Animal], opened: Client, typed: dict[str, str], said: str) -> None:
    response = opened.post(f"/animals/{barn['Quill'].pk}/origin/", typed)
    assert response.status_code == 422
    assert said in plain(response.content.decode())
    assert not PlaceOfOrigin.objects.exists()


def test_countries_file__is_small_and_says_where_it_is_from() -> None:
    from holdback.web.pages.map import outlines

    path = outlines.Path(outlines.__file__).parent / "countries.json"
    assert path.stat().st_size <= 100_000
    data = json.loads(path.read_text("utf-8"))
    assert "Natural Earth 4.1.0" in data["source"]
    assert "dispute" in data["note"]
