"""Ideas for an animal of a collection, or for genes as typed."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import pytest

from holdback.answers import Answers
from holdback.answers.ideas import ideas_for, offers_read
from holdback.collection.collection import Collection
from holdback.decisions.ideas import Only
from holdback.errors import DecisionError, HoldbackError
from holdback.heredity.crosses import EggCount
from holdback.species import load

ROWS: list[dict[str, Any]] = [
    {"id": "M1", "name": "Furrow", "sex": "male", "genes": "Pastel"},
    {"id": "F1", "name": "Sorrel", "sex": "female", "genes": "Cinnamon"},
    {"id": "F2", "name": "Heather", "sex": "female", "genes": "Pastel"},
    {"id": "M2", "name": "Gone", "sex": "male", "genes": "GHI", "status": "sold"},
    {"id": "K1", "name": "Kid", "sex": "male", "genes": "Pastel", "sire": "M1", "dam": "F1", "hatched": "2025-07"},
    {"id": "B1", "name": "Bee", "sex": "male", "genes": "Bumblebee"},
    {"id": "D1", "name": "Marsh", "sex": "female", "genes": "66% het Clown"},
    {"id": "S1", "name": "Brook", "sex": "male", "genes": "normal", "sire": "M3", "dam": "D1"},
    {"id": "M3", "name": "Stone", "sex": "male", "genes": "normal"},
    {"id": "S2", "name": "Pool", "sex": "female", "genes": "normal", "sire": "M3", "dam": "D1"},
]


@lru_cache(1)
def answers() -> Answers:
    return Answers(Collection.from_frames({"animals": ROWS}), load())


def holders(found: Any, name: str) -> list[Any]:
    return [one for idea in found.found.ideas for gene in idea.genes if gene.name == name for one in gene.at_hand]


def test_ideas_for__an_animal_of_the_collection() -> None:
    found = ideas_for(answers(), "Sorrel")
    assert (found.id, found.label, str(found.sex)) == ("F1", "Sorrel F1", "female")
    first, second = holders(found, "Pastel")
    assert (first.id, first.kinship, first.is_proven) == ("M1", 0.0, True)
    assert (second.id, second.kinship, second.is_proven) == ("K1", 0.25, False)
    assert second.facts[2:] == ("no young on record", "hatched 2025")
    assert [name for name, _ in found.found.left_out] == ["Bee B1"]
    assert not holders(found, "GHI"), "sold animals are not at hand"


def test_ideas_for__only_at_hand() -> None:
    found = ideas_for(answers(), "F1", only=Only.AT_HAND)
    assert {gene.name for idea in found.found.ideas for gene in idea.genes} == {"Pastel"}


def test_ideas_for__kin_share_what_is_not_known_of_their_parents() -> None:
    """Dam a carrier with 2/3: both young carry with 2/3 x 1/4, not 1/3 x 1/3; then one young in four shows it."""
    found = ideas_for(answers(), "Pool")
    (brother,) = (one for one in holders(found, "Clown") if one.id == "S1")
    carries = brother.chance
    plain = EggCount.from_species(load()).at_least_one(0.25)
    assert carries == pytest.approx(1 / 3, abs=0.03)
    assert brother.first_clutch == pytest.approx(carries / 2 * plain, rel=0.02)
    assert brother.first_clutch > carries**2 * plain * 1.3


def test_ideas_for__typed_genes_have_no_kin() -> None:
    found = ideas_for(answers(), "female Cinnamon")
    assert found.id == ""
    assert {one.kinship for one in holders(found, "Pastel")} == {None}


def test_ideas_for__offers_are_read_and_the_rest_is_told() -> None:
    lines = ["1.0 GHI 900g", "", "call me", "male Mojave Lesser Phantom", "0.1 Pastel"]
    found = ideas_for(answers(), "F1", offers=lines, only=Only.OFFERED)
    assert [idea.label for idea in found.found.ideas] == ["GHI"]
    assert found.found.ideas[0].genes[0].offered[0].name == "1.0 GHI 900g"
    assert [text for text, _ in found.not_read] == ["call me", "male Mojave Lesser Phantom"]
    assert found.as_json()["offers_not_read"][0] == {"text": "call me", "reason": "Nothing in it reads as genes."}


def test_offers_read__number_of_the_line_is_its_id() -> None:
    read, not_read = offers_read(["", "Pastel", "normal"], load())
    assert [(one.id, one.name) for one in read] == [("2", "Pastel"), ("3", "normal")]
    assert not_read == ()


def test_ideas_for__nobody() -> None:
    with pytest.raises(DecisionError, match="DEC-112"):
        ideas_for(answers(), "  ")
    with pytest.raises(HoldbackError, match="PAIR-001"):
        ideas_for(answers(), "Nobodyatall")
