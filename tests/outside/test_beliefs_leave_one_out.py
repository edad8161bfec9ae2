"""What each record of the looped pedigree says, against refitting without it.

The numbers were made by enumerating all genotypes again without the records named, in another program.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.heredity.beliefs.exact import exact_part, exact_unit
from tests.heredity.beliefs.pedigrees import LOOPED, NORMAL, VISUAL, claim, evidence_at, family_of, recessive, record

from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.claims import claim_likelihood
from holdback.heredity.beliefs.evidence import FloatArray, GeneRecord, RecordKind
from holdback.heredity.beliefs.inference import infer

pytestmark = pytest.mark.outside

X = 0.05
POPULATION = np.outer((1 - X, X), (1 - X, X))


def _found(of_s: GeneRecord) -> Beliefs:
    looks = [record(name, VISUAL if name == "X1" else NORMAL) for name in LOOPED]
    return infer(family_of(LOOPED), evidence_at(recessive("a", X, [of_s, *looks])))


def _certain_claim() -> GeneRecord:
    """S is said to be 66 % het, and this is not doubted."""
    return claim("S", (1 / 3, 2 / 3, 1e-300), X)


def _doubted_claim() -> GeneRecord:
    likelihood, wrong = claim_likelihood((1 / 3, 2 / 3, 0.0), 0.9, 1, POPULATION)
    return GeneRecord("claim:S", "S", RecordKind.CLAIM, "", likelihood, wrong)


def _carries(chances: FloatArray) -> float:
    return float(chances[1:].sum())


def test_part__carrier_from_all_records() -> None:
    assert _carries(exact_part(_found(_certain_claim()), "F1", "a").posterior("F1")) == pytest.approx(
        0.523630, abs=6e-7
    )


@pytest.mark.parametrize(
    "animals, carrier",
    [
        (["X1"], 0.232814),
        (["B2"], 0.678977),
        (["B1"], 0.663138),
        (["F1"], 0.534664),
        (["D1"], 0.524891),
        (["B1", "B2"], 0.793202),
        (list(LOOPED), 0.366667),
    ],
    ids=lambda value: "+".join(value) if isinstance(value, list) else "",
)
def test_withheld__carrier_without_some_looks(animals: list[str], carrier: float) -> None:
    unit = exact_unit(_found(_certain_claim()), "F1")
    parts, _ = unit.withheld("a", [{f"look:{name}" for name in animals}])
    assert _carries(parts[0].posterior("F1")) == pytest.approx(carrier, abs=6e-7)


@pytest.mark.parametrize(
    "animal, given_the_others, wrong",
    [("X1", 0.045941, 0.020778), ("B1", 0.706437, 0.004187), ("H", 0.876040, 0.001419)],
)
def test_withheld__how_odd_a_record_is(animal: str, given_the_others: float, wrong: float) -> None:
    """P(record | all others) is a ratio of likelihoods; P(record is wrong) the chance of what it contradicts."""
    found = _found(_certain_claim())
    _, log_rest = exact_unit(found, animal).withheld("a", [{f"look:{animal}"}])
    assert math.exp(found.log_likelihood - log_rest[0]) == pytest.approx(given_the_others, abs=6e-7)
    look = next(one for one in found.evidence.loci["a"].records[animal] if one.kind is RecordKind.LOOK)
    at = found.at(animal, "a")
    locus = found.evidence.loci["a"]
    contradicted = {locus.pair(i, j) for i, j in np.argwhere(look.wrong).tolist()}
    assert sum(at[pair] for pair in contradicted) == pytest.approx(wrong, abs=6e-7)


def test_withheld__many_sets_at_once_are_as_one_by_one() -> None:
    unit = exact_unit(_found(_doubted_claim()), "S")
    sets = [{f"look:{name}"} for name in LOOPED] + [{"claim:S"}, set()]
    parts, logs = unit.withheld("a", sets)
    for part, log_rest, keys in zip(parts, logs, sets, strict=True):
        alone, log_alone = unit.withheld("a", [keys])
        assert log_rest == pytest.approx(log_alone[0], abs=1e-12)
        assert part.posterior("H") == pytest.approx(alone[0].posterior("H"), abs=1e-12)


def test_infer__a_claim_trusted_nine_times_in_ten() -> None:
    found = _found(_doubted_claim())
    assert _carries(exact_part(found, "F1", "a").posterior("F1")) == pytest.approx(0.525947, abs=6e-7)
    parts, _ = exact_unit(found, "F1").withheld("a", [{"claim:S"}])
    assert _carries(parts[0].posterior("F1")) == pytest.approx(0.614924, abs=6e-7)


def test_infer__chance_that_a_claim_has_a_true_source() -> None:
    """Of what the claim says of each genotype, the part that does not come from a wrong source."""
    found = _found(_doubted_claim())
    said = np.array([1 / 3, 2 / 3, 0.0]) / np.array([(1 - X) ** 2, 2 * X * (1 - X), X * X])
    is_true = 0.9 * said / (0.9 * said + 0.1)
    assert exact_part(found, "S", "a").posterior("S") @ is_true == pytest.approx(0.974618, abs=6e-7)
