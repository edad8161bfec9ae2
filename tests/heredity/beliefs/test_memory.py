"""What is worked out once is not worked out again, and nothing that changed is taken from memory."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from tests.heredity.beliefs.pedigrees import (
    LOOPED,
    NORMAL,
    VISUAL,
    evidence_at,
    family_of,
    locus_with,
    recessive,
    record,
)

from holdback.collection.model import Sex
from holdback.heredity.beliefs.evidence import Evidence
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.layout import Layout
from holdback.heredity.beliefs.memory import Memory, locus_digest

FAMILY = family_of(LOOPED)


def _only(one: Evidence, **look: object) -> Evidence:
    """Nothing recorded at the first locus but that H is visual."""
    bare = replace(one.loci["a"], records={})
    return replace(one, loci={**one.loci, "a": locus_with(bare, [record("H", VISUAL, **look)])})  # type: ignore[arg-type]


def _evidence() -> Evidence:
    pair = recessive("a", 0.05, [record(name, NORMAL) for name in LOOPED])
    three = replace(
        recessive("b", 0.05),
        alleles=("+", "b", "c"),
        frequencies=np.array([0.9, 0.05, 0.05]),
        survival=np.ones((3, 3)),
        hides=np.zeros((3, 3), dtype=bool),
    )
    return evidence_at(pair, three)


def test_infer__the_same_again_is_taken_from_memory() -> None:
    memory = Memory()
    first = infer(FAMILY, _evidence(), memory=memory)
    made = memory.made
    again = infer(FAMILY, _evidence(), memory=memory)
    assert memory.made == made
    assert again.log_likelihood == first.log_likelihood
    assert again.at("H", "a") == first.at("H", "a")


def test_infer__a_record_at_one_locus_leaves_the_other_as_it_was() -> None:
    memory = Memory()
    evidence = _evidence()
    infer(FAMILY, evidence, memory=memory)
    made = memory.made
    changed = replace(
        evidence, loci={**evidence.loci, "a": locus_with(evidence.loci["a"], [record("X1", VISUAL, key="second")])}
    )
    found = infer(FAMILY, changed, memory=memory)
    assert memory.made == made + 1
    assert found.at("B1", "a") == pytest.approx(infer(FAMILY, changed).at("B1", "a"), abs=1e-12)


CHANGES: dict[str, Callable[[Evidence], Evidence]] = {
    "frequencies": lambda one: replace(
        one, loci={**one.loci, "a": replace(one.loci["a"], frequencies=np.array([0.8, 0.2]))}
    ),
    "survival": lambda one: replace(
        one, loci={**one.loci, "a": replace(one.loci["a"], survival=np.array([[1.0, 1.0], [1.0, 0.1]]))}
    ),
    "a look": _only,
    "a record that does not count": lambda one: _only(one, counted=False),
    "unborn": lambda one: replace(
        one,
        loci={**one.loci, "a": replace(one.loci["a"], survival=np.array([[1.0, 1.0], [1.0, 0.1]]))},
        unborn=frozenset({"H"}),
    ),
    "species": lambda one: replace(one, heterogametic=Sex.FEMALE),
}


@pytest.mark.parametrize("change", list(CHANGES))
def test_infer__memory_never_changes_an_answer(change: str) -> None:
    memory = Memory()
    evidence = _evidence()
    infer(FAMILY, evidence, memory=memory)
    changed = CHANGES[change](evidence)
    found, fresh = infer(FAMILY, changed, memory=memory), infer(FAMILY, changed)
    assert found.log_likelihood == fresh.log_likelihood
    for animal in LOOPED:
        assert found.at(animal, "a") == fresh.at(animal, "a")


def test_infer__another_parent_is_another_family() -> None:
    memory = Memory()
    infer(FAMILY, _evidence(), memory=memory)
    other = family_of({**LOOPED, "H": ("G1", "B2")})
    found, fresh = infer(other, _evidence(), memory=memory), infer(other, _evidence())
    assert found.at("H", "a") == fresh.at("H", "a")
    assert found.log_likelihood == fresh.log_likelihood


def test_locus_digest__tells_records_apart() -> None:
    layout = Layout(FAMILY, tuple(LOOPED))
    locus = recessive("a", 0.05)
    digests = {
        locus_digest(layout, locus),
        locus_digest(layout, locus_with(locus, [record("S", NORMAL)])),
        locus_digest(layout, locus_with(locus, [record("D1", NORMAL)])),
        locus_digest(layout, locus_with(locus, [record("S", VISUAL)])),
        locus_digest(layout, locus_with(locus, [record("S", NORMAL, hidden_by="white")])),
        locus_digest(layout, locus_with(locus, [record("S", NORMAL, counted=False)])),
        locus_digest(layout, replace(locus, maker={"S": 0.9})),
    }
    assert len(digests) == 7
    stranger = locus_with(locus, [record("Z", VISUAL)])
    assert locus_digest(layout, stranger) == locus_digest(layout, locus)


def test_get__the_longest_unused_is_forgotten() -> None:
    memory = Memory(most_bytes=4_000)
    for key in ("a", "b", "a", "c"):
        memory.get(key, lambda key=key: key.upper())  # type: ignore[misc]
    made = memory.made
    assert memory.get("a", lambda: "new") == "A"
    assert memory.made == made
    assert memory.get("b", lambda: "new") == "new"


def test_get__a_value_that_fails_is_not_kept() -> None:
    memory = Memory()

    def fail() -> str:
        raise ValueError("it rained")

    with pytest.raises(ValueError, match="it rained"):
        memory.get("a", fail)
    assert memory.get("a", lambda: "fine") == "fine"


def test_get__threads_see_whole_values() -> None:
    memory = Memory(most_bytes=16_000)
    seen: list[tuple[int, int]] = []

    def ask(start: int) -> None:
        for number in range(start, start + 200):
            key = number % 20
            seen.append((key, memory.get(key, lambda key=key: 3 * key)))  # type: ignore[misc]

    threads = [threading.Thread(target=ask, args=(start,)) for start in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(seen) == 800
    assert all(value == 3 * key for key, value in seen)


def test_memory__forgets_the_longest_unused_beyond_its_bytes() -> None:
    memory = Memory(most_bytes=100)
    for name in "abc":
        memory.get(name, lambda name=name: name, n_bytes=lambda _: 40)  # type: ignore[misc]
    assert memory.made == 3
    memory.get("c", lambda: "c", n_bytes=lambda _: 40)
    memory.get("b", lambda: "b", n_bytes=lambda _: 40)
    assert memory.made == 3
    memory.get("a", lambda: "a", n_bytes=lambda _: 40)
    assert memory.made == 4
    assert memory.get("large", lambda: "large", n_bytes=lambda _: 1000) == "large"
    assert memory.get("large", lambda: "made again", n_bytes=lambda _: 1000) == "large"
