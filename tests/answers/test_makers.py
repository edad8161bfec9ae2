"""Male or female maker, by the young of a male and by his parents."""

from __future__ import annotations

from typing import Any

import pytest

from holdback.answers import Answers
from holdback.answers.makers import makers_of
from holdback.collection.collection import Collection
from holdback.species import load

BANANA = {"id": "S", "sex": "male", "genes": "Banana"}


def _answers(*rows: dict[str, Any], species: str = "python_regius") -> Answers:
    return Answers(Collection.from_frames({"animals": list(rows)}, species=species), load(species))


def _young(sexes: str, genes: str) -> list[dict[str, Any]]:
    words = {"m": "male", "f": "female"}
    return [
        {"id": f"{genes}{n}{sex}", "sex": words[sex], "genes": genes, "sire": "S", "dam": "D"}
        for n, sex in enumerate(sexes)
    ]


def test_makers_of__a_male_of_unknown_descent_is_open() -> None:
    (maker,) = makers_of((found := _answers(BANANA)).beliefs, found.catalogue, "S")
    assert maker.on_limited == pytest.approx(0.5)
    assert maker.sentence.startswith("Male or female maker is open")


def test_makers_of__his_young_tell() -> None:
    """One carrier son multiplies the odds by (1 - r) to r, about 13 to 1 at r = 0.07, less for the sexing error."""
    dam = {"id": "D", "sex": "female", "genes": "Normal"}
    one = _answers(BANANA, dam, *_young("m", "Banana"))
    assert makers_of(one.beliefs, one.catalogue, "S")[0].on_limited == pytest.approx(0.92, abs=0.02)
    many = _answers(BANANA, dam, *_young("mmm", "Banana"), *_young("ff", "Normal"))
    assert makers_of(many.beliefs, many.catalogue, "S")[0].sentence.startswith("Male maker (over 99 %)")
    daughters = _answers(BANANA, dam, *_young("fff", "Banana"))
    assert makers_of(daughters.beliefs, daughters.catalogue, "S")[0].sentence.startswith("Female maker")


def test_makers_of__is_said_with_the_grounds_of_males_only() -> None:
    found = _answers({**BANANA, "genes": "Banana MM"}, {"id": "F", "sex": "female", "genes": "Banana"})
    assert "Male maker" in found.grounds("S", "banana").sentence
    assert "maker" not in found.grounds("F", "banana").sentence
    assert makers_of(found.beliefs, found.catalogue, "F") == ()
