"""Clutches drawn from the odds that were foretold: no more of them look wrong than their p values say."""

from __future__ import annotations

import numpy as np
import pytest

from holdback.answers import Answers
from holdback.answers.season.ratios import clutch_ratios
from holdback.collection.collection import Collection
from holdback.heredity.beliefs import Memory
from holdback.species.catalogue import load

CATALOGUE = load()
N_CLUTCHES = 200
P_VALUES = (0.02, 0.05, 0.1, 0.25, 0.5)


def drawn_clutch(rng: np.random.Generator) -> list[str]:
    """Six young of a dam that may be het Clown by her claim, and of one of two males, Pastel and Enchi Clown or Enchi.

    Plain Mendel, without the engine; the dam is het with 0.95 times two in three, as claims are trusted.
    """
    dam_is_het = rng.random() < 0.95 * 2 / 3
    is_first = rng.random() < 0.7
    young = []
    for _ in range(6):
        genes = []
        if is_first and rng.random() < 0.5:
            genes.append("Pastel")
        if rng.random() < 0.5:
            genes.append("Enchi")
        if is_first and dam_is_het and rng.random() < 0.5:
            genes.append("Clown")
        young.append(" ".join(genes) or "normal")
    return young


def answers(young: list[str], memory: Memory) -> Answers:
    animals = [
        {"id": "S", "sex": "male", "genes": "Pastel Clown"},
        {"id": "T", "sex": "male", "genes": "normal"},
        {"id": "D", "sex": "female", "genes": "Enchi 66% het Clown"},
        *({"id": f"K-{number}", "clutch": "K", "genes": genes} for number, genes in enumerate(young)),
    ]
    clutch = {"id": "K", "dam": "D", "sires": "S:0.7|T:0.3", "laid": "2024-04-01", "eggs": len(young), "slugs": 0}
    return Answers(Collection.from_frames({"animals": animals, "clutches": [clutch]}), CATALOGUE, memory=memory)


@pytest.fixture(scope="module")
def p_values() -> dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]]:
    rng = np.random.default_rng(20260514)
    memory = Memory()
    found: dict[str, list[float]] = {"whole": [], "Clown": [], "Pastel": [], "Enchi": []}
    for _ in range(N_CLUTCHES):
        ratios = clutch_ratios(answers(drawn_clutch(rng), memory), "K")
        assert ratios is not None
        found["whole"].append(ratios.whole.p_value)
        for one in ratios.genes:
            found[one.gene].append(one.test.p_value)
    return {key: np.array(values) for key, values in found.items()}


@pytest.mark.parametrize("of", ["whole", "Clown", "Pastel", "Enchi"])
def test_clutch_ratios__p_values_of_drawn_clutches(
    of: str, p_values: dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]]
) -> None:
    assert len(p_values[of]) == N_CLUTCHES
    for level in P_VALUES:
        # three standard errors of the share of clutches
        most = level + 3 * np.sqrt(level * (1 - level) / N_CLUTCHES)
        assert (p_values[of] <= level).mean() <= most


def test_clutch_ratios__p_values_find_wrong_odds(
    p_values: dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]],
) -> None:
    assert (p_values["whole"] <= 0.25).mean() > 0.1, "results far off come as well, and are seen"
    rng = np.random.default_rng(7)
    memory = Memory()
    wrong = [" ".join(["Pastel", *(["Enchi"] if rng.random() < 0.5 else [])]) for _ in range(6)]
    ratios = clutch_ratios(answers(wrong, memory), "K")
    assert ratios is not None
    pastel = next(one for one in ratios.genes if one.gene == "Pastel")
    assert pastel.test.p_value < 0.05, "six of six, by hand 0.7 / 64 and those no likelier"
