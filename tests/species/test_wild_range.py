"""Where a species is reported from."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from holdback.collection.countries import countries
from holdback.errors import SpeciesError
from holdback.species.catalogue import Catalogue, load
from holdback.species.loading import file_data
from holdback.species.model import Mark

IUCN = (
    "Benin; Cameroon; Central African Rep.; Congo (Dem. Rep.); Côte d'Ivoire; Gambia; Ghana; Guinea; Guinea-Bissau; "
    "Liberia; Mali; Niger; Nigeria; Senegal; Sierra Leone; South Sudan; Togo; Uganda"
)
"""Countries of occurrence in Auliya and Schmitz (2010), IUCN Red List assessment 177562, in the spelling used here."""


def test_ball_python__countries_of_the_assessment() -> None:
    found = load().wild_range
    assert found is not None
    assert sorted(countries()[code] for code in found.countries) == sorted(IUCN.split("; "))
    assert found.mark is Mark.PUBLISHED
    assert found.sources[0].startswith("Auliya M, Schmitz A (2010)")


def test_corn_snake__has_none() -> None:
    assert load("pantherophis_guttatus").wild_range is None


@pytest.mark.parametrize(
    "wrong, code",
    [
        ({"countries": ["XQ"]}, "SPE-034"),
        ({"countries": ["GH"], "mark": "published"}, "SPE-028"),
        ({"countries": ["GH"], "mark": "published", "source": "Nobody99"}, "SPE-028"),
        ({"countries": "GH"}, "SPE-010"),
        ({"countries": ["GH"], "country": "GH"}, "SPE-011"),
    ],
)
def test_range__faults(wrong: dict[str, Any], code: str) -> None:
    data = copy.deepcopy(dict(file_data("python_regius")))
    data["range"] = wrong
    with pytest.raises(SpeciesError) as error:
        Catalogue.from_tables(data)
    assert [one.code for one in error.value.faults] == [code]


def test_range__without_a_source_says_so() -> None:
    data = copy.deepcopy(dict(file_data("pantherophis_guttatus")))
    data["range"] = {"countries": ["US"]}
    found = Catalogue.from_tables(data).wild_range
    assert found is not None
    assert (found.countries, found.mark, found.sources) == (("US",), Mark.MEMORY, ())
