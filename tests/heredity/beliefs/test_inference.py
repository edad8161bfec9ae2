"""Posteriors against values worked out by enumeration and by other programs.

The numbers of the looped pedigree were made by enumeration over all 3^9 genotypes and with pyAgrum (LazyPropagation),
which agree to 2e-15; those of two sires by closed form and pyAgrum.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.heredity.beliefs.pedigrees import (
    LOOPED,
    NORMAL,
    VISUAL,
    claim,
    evidence_at,
    family_of,
    recessive,
    record,
)

from holdback.collection.model import Candidate, Sex
from holdback.descent.family import Brood, Family
from holdback.heredity.beliefs import Beliefs
from holdback.heredity.beliefs.inference import infer

FREQUENCY = 0.05
Values = tuple[float, float, float]


def _looped(look_of_x1: Values, normal: Values = NORMAL) -> Beliefs:
    records = [claim("S", (1 / 3, 2 / 3, 1e-300), FREQUENCY)]
    records += [record(name, normal) for name in LOOPED if name != "X1"]
    records.append(record("X1", look_of_x1))
    return infer(family_of(LOOPED), evidence_at(recessive("a", FREQUENCY, records)))


@pytest.mark.parametrize(
    "look, normal, one, two, probability",
    [
        (
            (1.0, 1.0, 1e-300),
            (1.0, 1.0, 1e-300),
            [0.559985, 0.077585, 0.081894, 0.217818, 0.283070, 0.303168, 0.288044, 0.245971, 0.245212],
            [0.0] * 9,
            0.751337126,
        ),
        (
            (1e-300, 1e-300, 1.0),
            (1.0, 1.0, 1e-300),
            [0.972466, 0.098690, 0.070327, 0.525626, 1.0, 1.0, 0.429424, 0.0, 0.571571],
            [0.0] * 7 + [1.0, 0.0],
            0.035424300,
        ),
        (
            VISUAL,
            NORMAL,
            [0.964189, 0.098398, 0.070709, 0.523390, 0.980931, 0.980640, 0.426944, 0.005128, 0.565842],
            [0.0, 0.000027, 0.000011, 0.000240, 0.004187, 0.004893, 0.000136, 0.979222, 0.001419],
            0.035925229,
        ),
    ],
    ids=["all normal", "one visual", "one visual, with errors"],
)
def test_infer__looped_pedigree(
    look: Values, normal: Values, one: list[float], two: list[float], probability: float
) -> None:
    found = _looped(look, normal)
    copies = [found.copies(name, "a", "a") for name in LOOPED]
    assert [round(c[1], 6) for c in copies] == pytest.approx(one, abs=1e-6)
    assert [round(c[2], 6) for c in copies] == pytest.approx(two, abs=1e-6)
    assert math.exp(found.log_likelihood) == pytest.approx(probability, abs=6e-10)
    assert found.exact
    assert found.standard_error == 0.0


@pytest.mark.parametrize(
    "each_egg, k, first, het",
    [
        (False, 0, 0.8, 0.666667),
        (False, 2, 0.666667, 0.555556),
        (False, 4, 0.4, 0.333333),
        (False, 8, 0.044444, 0.037037),
        (True, 0, 0.8, 0.666667),
        (True, 2, 0.744186, 0.581395),
        (True, 4, 0.732129, 0.490966),
        (True, 8, 0.708996, 0.317470),
    ],
)
def test_infer__two_sires(each_egg: bool, k: int, first: float, het: float) -> None:
    young = tuple(f"K{n}" for n in range(max(k, 1)))
    sires = (Candidate("S1", 0.8), Candidate("S2", 0.2))
    brood = Brood("C", "D", sires, young, each_egg=each_egg)
    family = Family(dict.fromkeys(("S1", "S2", "D", *young), Sex.UNKNOWN), (brood,))
    sure = 1e-300
    x = 0.01
    records = [
        claim("D", (sure, sure, 1.0), x),
        claim("S1", (sure, 1.0, sure), x),
        claim("S2", (1 / 3, 2 / 3, sure), x),
        *[record(name, (1.0, 1.0, sure)) for name in young[:k]],
    ]
    found = infer(family, evidence_at(recessive("a", x, records)))
    assert found.sires_by_egg("C")["K0"][0].posterior == pytest.approx(first, abs=6e-7)
    assert found.sires("C")[0].prior == 0.8
    assert found.copies("S2", "a", "a")[1] == pytest.approx(het, abs=6e-7)


def test_infer__a_doubtful_sire_is_shared_by_all_loci() -> None:
    """Values worked out by enumeration over both loci: 0.145077, 0.951303, 0.919389."""
    young = ("K1", "K2", "K3")
    brood = Brood("C", "D", (Candidate("S1", 0.5), Candidate("S2", 0.5)), young)
    family = Family(dict.fromkeys(("S1", "S2", "D", *young), Sex.UNKNOWN), (brood,))
    sure, x = 1e-300, 0.01
    looks = {"a": (True, False, True), "b": (False, False, True)}
    loci = []
    for key, seen in looks.items():
        s1 = (sure, 1.0, sure) if key == "a" else (1.0, sure, sure)
        claims = [claim("D", (sure, sure, 1.0), x), claim("S1", s1, x), claim("S2", (1 / 3, 2 / 3, sure), x)]
        shown = [
            record(name, (0.01, 0.01, 0.99) if is_visual else (0.99, 0.99, 0.01))
            for name, is_visual in zip(young, seen, strict=True)
        ]
        loci.append(recessive(key, x, [*claims, *shown]))
    both = infer(family, evidence_at(*loci))
    assert both.sires("C")[0].posterior == pytest.approx(0.145077, abs=1e-6)
    assert both.copies("S2", "a", "a")[1] == pytest.approx(0.951303, abs=1e-6)
    assert both.copies("S2", "b", "b")[1] == pytest.approx(0.919389, abs=1e-6)
    for locus, alone in zip(loci, (0.599905, 0.101669), strict=True):
        assert infer(family, evidence_at(locus)).sires("C")[0].posterior == pytest.approx(alone, abs=1e-6)


@pytest.mark.parametrize(
    "y, looks, expected",
    [
        (0.0, "VVN", 0.222819),
        (0.3, "VVN", 0.156058),
        (2 / 3, "VVN", 0.053896),
        (0.0, "NNN", 0.032498),
        (0.3, "NNN", 0.067841),
        (2 / 3, "NNN", 0.131796),
        (0.0, "VVV", 0.455818),
        (0.3, "VVV", 0.227653),
        (2 / 3, "VVV", 0.033720),
    ],
)
def test_infer__no_sire(y: float, looks: str, expected: float) -> None:
    """Closed form: terminal fusion gives (1 - y) / 2, y, (1 - y) / 2 of a dam with one copy."""
    young = ("K1", "K2", "K3")
    brood = Brood("C", "D", (Candidate("S", 0.9), Candidate("none", 0.1)), young)
    family = Family(dict.fromkeys(("S", "D", *young), Sex.UNKNOWN), (brood,))
    sure, x = 1e-300, 0.01
    records = [claim("D", (sure, 1.0, sure), x), claim("S", (sure, 1.0, sure), x)]
    records += [
        record(name, (0.99, 0.99, 0.01) if look == "N" else (0.01, 0.01, 0.99))
        for name, look in zip(young, looks, strict=True)
    ]
    found = infer(family, evidence_at(recessive("a", x, records), second_division=y))
    assert found.sires("C")[1].posterior == pytest.approx(expected, abs=1e-6)


def test_infer__no_sire_gives_females_only() -> None:
    """With a sire half are males; without, all are females but for the sexing error: 2^3 times as likely."""
    young = ("K1", "K2", "K3")
    brood = Brood("C", "D", (Candidate("S", 0.9), Candidate("none", 0.1)), young)
    sexes = {"S": Sex.MALE, "D": Sex.FEMALE, **dict.fromkeys(young, Sex.FEMALE)}
    found = infer(Family(sexes, (brood,)), evidence_at(recessive("a", 0.01), sex_error=0.02))
    ratio = (2 * 0.98) ** 3
    assert found.sires("C")[1].posterior == pytest.approx(0.1 * ratio / (0.1 * ratio + 0.9))
    sexes["K2"] = Sex.MALE
    found = infer(Family(sexes, (brood,)), evidence_at(recessive("a", 0.01), sex_error=0.02))
    ratio = (2 * 0.98) ** 2 * 2 * 0.02
    assert found.sires("C")[1].posterior == pytest.approx(0.1 * ratio / (0.1 * ratio + 0.9))


@pytest.mark.parametrize(
    "k, s, f1, young, log_probability",
    [(3, 0.587097, 0.174194, 0.322581, -0.214070), (5, 0.553034, 0.106067, 0.294195, -0.293340)],
)
def test_infer__normal_young_of_a_possible_het(
    k: int, s: float, f1: float, young: float, log_probability: float
) -> None:
    """Closed form: S 66 % het, D1 without; F1 of both looks normal, so do k young of S and F1."""
    names = [f"K{n}" for n in range(k)]
    family = family_of({"S": None, "D": None, "F1": ("S", "D"), **dict.fromkeys(names, ("S", "F1"))})
    sure, x = 1e-300, 0.01
    records = [claim("S", (1 / 3, 2 / 3, sure), x), claim("D", (1.0, sure, sure), x)]
    records += [record(name, (1.0, 1.0, sure)) for name in ["F1", *names]]
    found = infer(family, evidence_at(recessive("a", x, records)))
    assert found.copies("S", "a", "a")[1] == pytest.approx(s, abs=1e-6)
    assert found.copies("F1", "a", "a")[1] == pytest.approx(f1, abs=1e-6)
    assert found.copies("K0", "a", "a")[1] == pytest.approx(young, abs=1e-6)
    assert found.log_likelihood == pytest.approx(log_probability, abs=1e-6)
    unit = found.exact_unit_of("S")
    assert unit is not None
    without, log_rest = unit.withheld("a", [{f"look:{name}" for name in names}])
    assert without[0].posterior("S")[1] == pytest.approx(2 / 3, abs=1e-9)
    assert np.isclose(log_rest[0], 0.0, atol=1e-9)
