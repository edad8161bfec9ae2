"""Loci too large to be asked what other parents would say."""

from __future__ import annotations

import pytest

from holdback.answers import Answers
from holdback.answers.conflicts import rewired
from holdback.collection.collection import Collection
from holdback.species import load

ROWS = [
    {"id": "S", "sex": "male", "genes": "Normal"},
    {"id": "V", "sex": "male", "genes": "Clown"},
    {"id": "D", "sex": "female", "genes": "Clown"},
    *(
        {"id": f"K{n}", "genes": "Clown", "sire": "S", "dam": "D", "clutch": "C", "hatched": "2024-06-20"}
        for n in range(4)
    ),
]


@pytest.mark.parametrize("most, is_found", [(600_000, True), (1, False)])
def test_conflicts_of__a_locus_that_is_not_asked_speaks_as_recorded(
    monkeypatch: pytest.MonkeyPatch, most: int, is_found: bool
) -> None:
    monkeypatch.setattr(rewired, "_MOST_ASKED", most)
    collection = Collection.from_frames({"animals": ROWS, "clutches": [{"id": "C", "dam": "D", "sires": "S"}]})
    found = Answers(collection, load()).conflicts
    assert any(str(one.kind) == "wrong sire" for each in found for one in each.explanations) is is_found


def test_conflicts_of__no_sire_may_be_one_of_the_candidates() -> None:
    young = [{"id": f"K{n}", "sire": "V:0.6|none:0.4", "dam": "D", "genes": "Pastel", "clutch": "C"} for n in range(4)]
    rows = [{**ROWS[1], "genes": "Super Pastel"}, {**ROWS[2], "genes": "Normal"}, *young]
    frames = {"animals": rows, "clutches": [{"id": "C", "dam": "D", "sires": "V:0.6|none:0.4"}]}
    (found,) = (one for one in Answers(Collection.from_frames(frames), load()).conflicts if one.code == "CNF-021")
    assert "V and no sire" in found.message
