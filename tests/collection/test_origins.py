"""A place of origin: coarse by default."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from holdback.collection.collection import Collection
from holdback.collection.countries import countries
from holdback.collection.origins import PlaceOfOrigin, Precision, coarse_degrees

EXACT = PlaceOfOrigin("A", "the Marrowfen", "", 7.9518, -1.0244, Precision.EXACT, "bill")


@pytest.mark.parametrize("degrees, coarse", [(7.9518, 8.0), (-1.0244, -1.0), (-0.04, 0.0), (None, None), (9.5, 9.5)])
def test_coarse_degrees__to_a_tenth(degrees: float | None, coarse: float | None) -> None:
    assert coarse_degrees(degrees) == coarse
    assert not str(coarse_degrees(degrees)).startswith("-0.0")


def test_place_of_origin__coarse_keeps_the_words() -> None:
    assert EXACT.coarse == PlaceOfOrigin("A", "the Marrowfen", "", 8.0, -1.0, Precision.COARSE, "bill")
    assert EXACT.coarse.coarse == EXACT.coarse


def test_collection__with_coarse_places(tmp_path: Path) -> None:
    (tmp_path / "animals.csv").write_text("id\nA\nB\n")
    plain = Collection.from_folder(tmp_path)
    (tmp_path / "origins.csv").write_text("animal,latitude,longitude,precision\nA,7.9518,-1.0244,Exact\n")
    herd = Collection.from_folder(tmp_path)
    assert herd.digest != plain.digest
    assert herd.origin_of("B") is None
    one, coarse = herd.origin_of("A"), herd.with_coarse_places().origin_of("A")
    assert one is not None
    assert one.precision is Precision.EXACT
    assert (one.latitude, coarse and coarse.latitude) == (7.9518, 8.0)


def test_countries__are_those_of_the_standard() -> None:
    """ISO 3166-1 has 249 entries (common knowledge of the standard; the list is that of the time zone database)."""
    assert len(countries()) == 249
    assert all(re.fullmatch("[A-Z]{2}", code) and name for code, name in countries().items())
    assert (countries()["GH"], countries()["CI"], countries()["SS"]) == ("Ghana", "Côte d'Ivoire", "South Sudan")
