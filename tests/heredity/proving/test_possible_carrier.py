"""Test-breeding of a possible carrier against worked examples and enumeration."""

from __future__ import annotations

import math
from itertools import product

import pytest

from holdback.errors import CrossError
from holdback.heredity.crosses import EggCount
from holdback.heredity.crosses.possible_hets import normals_needed
from holdback.heredity.proving import possible_carrier
from holdback.heredity.proving.possible_carrier import CarrierTests, Copies, JointCopies, Mate, MateTest

VISUAL: Copies = (0.0, 0.0, 1.0)
HET: Copies = (0.0, 1.0, 0.0)
EIGHT = EggCount.hatchlings(8)


def maybe(p: float) -> Copies:
    return 1.0 - p, p, 0.0


def outlook(p: float, copies: Copies, joint: JointCopies | None = None) -> MateTest:
    return possible_carrier.carrier_tests(maybe(p), [Mate("mate", copies, joint)], eggs=EIGHT).mates[0]


@pytest.mark.parametrize(
    "mate, k, left",
    [(VISUAL, 3, 1 / 5), (VISUAL, 5, 1 / 17), (VISUAL, 6, 1 / 33), (HET, 5, 0.3219), (HET, 10, 0.1012)],
)
def test_curve__two_in_three_het_by_bayes_rule(mate: Copies, k: int, left: float) -> None:
    """p f^k / (p f^k + 1 - p) with f = 1/2 and 3/4, worked by hand."""
    assert outlook(2 / 3, mate).curve[k] == pytest.approx(left, abs=5e-5)


def test_curve__possible_het_mate_is_mixed_over() -> None:
    """By enumeration: .568297 where four young share a mate that is het at 1/2; its mean would give .539672."""
    assert outlook(2 / 3, maybe(0.5)).curve[4] == pytest.approx(0.568297, abs=1e-6)


def test_next_young__carrier_risk_chain() -> None:
    """A textbook risk of genetic counselling: 2/3 x 1/22 x 1/4, then after one to four unaffected children."""
    risks = outlook(2 / 3, maybe(1 / 22)).next_young
    assert [1 / risk for risk in risks[:5]] == pytest.approx([132, 174.667, 231.556, 307.407, 408.543], rel=1e-5)


def test_curve__x_linked_carrier() -> None:
    """Textbook: prior 1/2, and n normal sons leave 1/3, 1/5, 1/9, 1/17."""
    sons = possible_carrier.carrier_tests(maybe(0.5), [Mate("any")], eggs=EIGHT, proves=lambda a, m: a / 2).mates[0]
    assert sons.curve[:5] == pytest.approx((1 / 2, 1 / 3, 1 / 5, 1 / 9, 1 / 17), abs=1e-12)


def test_curve__daughter_back_to_a_proven_het_sire() -> None:
    curve = outlook(0.5, HET).curve
    assert (curve[0], curve[3], curve[5]) == pytest.approx((0.5, 0.296703, 0.191792), abs=1e-6)


def test_curve__daughter_back_to_a_possible_het_sire_needs_the_joint_table() -> None:
    """Sire het at 2/3, daughter of him and a normal dam: rows the daughter's copies, columns his."""
    daughter: JointCopies = ((1 / 3, 1 / 3, 0.0), (0.0, 1 / 3, 0.0), (0.0, 0.0, 0.0))
    sire: JointCopies = ((1 / 3, 0.0, 0.0), (1 / 3, 1 / 3, 0.0), (0.0, 0.0, 0.0))
    hers, his = outlook(1 / 3, maybe(2 / 3), daughter).curve, outlook(2 / 3, maybe(1 / 3), sire).curve
    assert (hers[3], hers[5]) == pytest.approx((0.174194, 0.106067), abs=1e-6)
    assert (his[3], his[5]) == pytest.approx((0.587097, 0.553034), abs=1e-6)


@pytest.mark.parametrize("p", [2 / 3, 1 / 2, 1 / 3])
def test_young_to_clear__agrees_with_the_closed_form(p: float) -> None:
    assert outlook(p, VISUAL).young_to_clear == normals_needed(p, 0.05, mate_shows=True)
    assert outlook(p, HET).young_to_clear == normals_needed(p, 0.05, mate_shows=False)


def test_young_to_clear__at_the_ends() -> None:
    assert outlook(0.04, VISUAL).young_to_clear == 0
    assert outlook(0.07, VISUAL).young_to_clear == 1
    assert outlook(2 / 3, maybe(0.5)).young_to_clear is None
    assert outlook(2 / 3, (1.0, 0.0, 0.0)).young_to_clear is None


def test_young_until_proven__geometric() -> None:
    assert outlook(2 / 3, VISUAL).young_until_proven == pytest.approx(2.0)
    assert outlook(2 / 3, HET).young_until_proven == pytest.approx(4.0)
    uncertain = outlook(2 / 3, maybe(0.5))
    assert uncertain.young_until_proven is None
    assert uncertain.young_until_proven_if_able == pytest.approx(4.0)
    assert uncertain.able == pytest.approx(0.5)
    assert uncertain.per_young == pytest.approx(0.125)


def test_proves_in_clutch__mixes() -> None:
    assert outlook(2 / 3, VISUAL).proves_in_clutch == pytest.approx(2 / 3 * (1 - 2**-8), abs=1e-12)
    assert outlook(2 / 3, maybe(2 / 3)).proves_in_clutch == pytest.approx(4 / 9 * (1 - 0.75**8), abs=1e-12)


def reference_bits(p: float, h: float, n: int) -> float:
    """Mutual information over every sequence of n young, each state listed."""
    joint: dict[tuple[bool, tuple[bool, ...]], float] = {}
    for carries, mate in product((False, True), repeat=2):
        weight = (p if carries else 1 - p) * (h if mate else 1 - h)
        q = 0.25 if carries and mate else 0.0
        for young in product((False, True), repeat=n):
            chance = weight * math.prod(q if visual else 1 - q for visual in young)
            joint[carries, young] = joint.get((carries, young), 0.0) + chance
    whole = 0.0
    for (carries, young), chance in joint.items():
        if chance:
            seen = joint[False, young] + joint[True, young]
            whole += chance * math.log2(chance / (seen * (p if carries else 1 - p)))
    return whole


def test_bits__equal_the_listed_outcomes() -> None:
    eggs = EggCount(((2, 0.5), (5, 0.5)), failure=0.2)
    found = possible_carrier.carrier_tests(maybe(0.6), [Mate("m", maybe(0.7))], eggs=eggs).mates[0]
    expected = 0.4 * reference_bits(0.6, 0.7, 2) + 0.4 * reference_bits(0.6, 0.7, 5)
    assert found.bits == pytest.approx(expected, abs=1e-12)


def three_mates() -> CarrierTests:
    mates = [Mate("possible het", maybe(0.5)), Mate("normal"), Mate("visual", VISUAL), Mate("het", HET)]
    return possible_carrier.carrier_tests(maybe(2 / 3), mates, eggs=EIGHT)


def test_carrier_tests__most_telling_first() -> None:
    found = three_mates()
    assert [mate.label for mate in found.mates] == ["visual", "het", "possible het", "normal"]
    assert found.mates[-1].bits == 0.0


def test_sentence__is_built_from_the_numbers() -> None:
    visual, _, possible, normal = three_mates().mates
    assert visual.sentence == (
        "visual: a 66 % chance that one clutch proves it; 6 normal young and no visual bring the chance that it "
        "carries below 5 %."
    )
    assert "no number of normal young" in possible.sentence
    assert "above 50 %" in possible.sentence
    assert normal.sentence == "normal: young of this pair tell nothing of whether it carries."
    assert "below 5 % as it is" in outlook(0.01, VISUAL).sentence
    assert outlook(1.0, VISUAL).young_to_clear is None


def test_as_json__plain_values() -> None:
    told = three_mates().as_json()
    assert told["mates"][0]["curve"][3] == pytest.approx(0.2)
    assert told["basis"].endswith("8 hatchlings, as asked.")


def test_carrier_tests__refuses_what_is_no_probability() -> None:
    broken: JointCopies = ((0.5, 0.0, 0.0), (0.0, 0.4, 0.0), (0.0, 0.0, 0.0))
    with pytest.raises(CrossError) as caught:
        possible_carrier.carrier_tests((0.5, 0.6, 0.0), [Mate("she", joint=broken)], eggs=EIGHT)
    assert [fault.code for fault in caught.value.faults] == ["PRV-001", "PRV-001"]
    assert caught.value.faults[1].animal == "she"
