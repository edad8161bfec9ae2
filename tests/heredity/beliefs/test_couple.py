"""What two animals may be together."""

from __future__ import annotations

import pytest

from holdback.answers import Answers
from holdback.collection.collection import Collection
from holdback.heredity.beliefs import parents_joint
from holdback.species import load

MAKER = {"id": "S", "sex": "male", "genes": "Banana FM"}
DAM = [
    {"id": "A", "sex": "male", "genes": "Banana"},
    {"id": "B", "sex": "male", "genes": "Normal"},
    {"id": "M", "sex": "female", "genes": "Normal"},
]


@pytest.mark.parametrize("sire", ["A", "A:0.6|B:0.4"], ids=["one calculation", "two calculations"])
def test_parents_joint__the_phase_is_that_of_the_male(sire: str) -> None:
    """The dam's own sexing may be wrong, so she has a phase too, if she were a male; it must not stand for his."""
    young = {"id": "D", "sex": "female", "genes": "Banana", "sire": sire, "dam": "M"}
    answers = Answers(Collection.from_frames({"animals": [MAKER, *DAM, young]}), load())
    alone = answers.beliefs.phase("S", "banana")
    assert alone is not None
    assert alone < 0.1
    assert answers.beliefs.phase("D", "banana") != pytest.approx(alone, abs=0.1)
    assert (answers.beliefs.unit_of("S") is answers.beliefs.unit_of("D")) is (sire == "A")
    for scenario in parents_joint(answers.beliefs, "S", "D"):
        assert scenario.phase["banana"] == pytest.approx(alone)
