"""Verdicts on odd animals against listing every gene copy of every animal."""

from __future__ import annotations

import json
import math
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.heredity.proving import reference_proving as listed

from holdback.collection.model import Sex
from holdback.errors import CrossError
from holdback.heredity.proving import Assumptions, Look, Mode, OddAnimal, Partner, SexCounts, Trial, Verdict, weigh

MODES = {
    "rec": Mode.RECESSIVE,
    "inc": Mode.INCOMPLETE_DOMINANT,
    "dom": Mode.DOMINANT,
    "sex": Mode.SEX_LINKED,
    "not": Mode.NOT_INHERITED,
}
MOTH = OddAnimal("Moth", Sex.MALE)
N, O, S = listed.NORMAL, listed.ODD, listed.STRONGER  # noqa: E741


def unsexed(number: int) -> SexCounts:
    return SexCounts(unknown=number)


def reference_backcross(
    mode: str,
    first: dict[tuple[int, str], int],
    back: dict[tuple[int, str], int],
    *,
    look: int,
    second_daughter: dict[tuple[int, str], int] | None = None,
) -> float:
    """Odd male to a normal female, then one daughter of the look back to him, and another if asked."""
    r, whole = listed.r_of(mode), 0.0
    for (him, p), (mate, q) in product(listed.odd_of_normal_parents(mode, "m").items(), listed.normal_mates(mode, "f")):
        daughters = []
        for counts in (back, second_daughter):
            if counts is not None:
                states = [each for each in listed.young_of(mode, mate, him, look, r) if each[0][0] == "f"]
                daughters.append(math.fsum(p * listed.counted(mode, her, him, counts, r) for her, p in states))
        whole += p * q * listed.counted(mode, mate, him, first, r) * math.prod(daughters)
    return whole


@pytest.mark.parametrize("name", MODES)
def test_weigh__backcross_equals_listing(name: str) -> None:
    trials = [
        Trial(Partner.unrelated("A"), odd=SexCounts(1, 2), normal=SexCounts(3, 2, 1), stronger=SexCounts(dead=1)),
        Trial(Partner.young(0, "d", sex=Sex.FEMALE), odd=SexCounts(1, 1), normal=SexCounts(2, 2)),
    ]
    rest = {(O, "m"): 1, (O, "f"): 2, (N, "m"): 3, (N, "f"): 1, (N, "?"): 1, (S, "?"): 1}
    back = {(O, "m"): 1, (O, "f"): 1, (N, "m"): 2, (N, "f"): 2}
    found = weigh(MOTH, trials).log_likelihoods[MODES[name]]
    assert found == pytest.approx(math.log(reference_backcross(name, rest, back, look=N)), abs=1e-7)


@pytest.mark.parametrize("name", MODES)
def test_weigh__two_daughters_share_their_parents(name: str) -> None:
    trials = [
        Trial(Partner.unrelated("A"), odd=SexCounts(0, 3), normal=SexCounts(2, 1)),
        Trial(Partner.young(0, "d", look=Look.ODD, sex=Sex.FEMALE), odd=SexCounts(1, 1), stronger=SexCounts(1)),
        Trial(Partner.young(0, "e", look=Look.ODD, sex=Sex.FEMALE), normal=SexCounts(females=4)),
        Trial(Partner.young(0, "d", look=Look.ODD, sex=Sex.FEMALE), odd=SexCounts(unknown=1)),
    ]
    rest = {(O, "f"): 1, (N, "m"): 2, (N, "f"): 1}
    first = {(O, "m"): 1, (O, "f"): 1, (S, "m"): 1, (O, "?"): 1}
    expected = reference_backcross(name, rest, first, look=O, second_daughter={(N, "f"): 4})
    assert weigh(MOTH, trials).log_likelihoods[MODES[name]] == pytest.approx(math.log(expected), abs=1e-7)


@pytest.mark.parametrize("name", MODES)
def test_weigh__sib_of_normal_parents(name: str) -> None:
    """A normal sib of a recessive comes of two hets; of anything else it has no copy."""
    trial = Trial(Partner.sib("S", sex=Sex.FEMALE), odd=SexCounts(2, 1), normal=SexCounts(3, 1))
    counts = {(O, "m"): 2, (O, "f"): 1, (N, "m"): 3, (N, "f"): 1}
    het = {"rec": (("f", 1, 0), ("m", 1, 0))}.get(name, (("f", 0, 0), ("m", 0, 0)))
    sibs = [(one, p) for one, p in listed.young_of(name, *het, N, 0.5) if one[0] == "f"]
    whole = sum(p for _, p in sibs)
    expected = math.fsum(
        p * q / whole * listed.counted(name, sib, him, counts, listed.r_of(name))
        for him, p in listed.odd_of_normal_parents(name, "m").items()
        for sib, q in sibs
    )
    assert weigh(MOTH, [trial]).log_likelihoods[MODES[name]] == pytest.approx(math.log(expected), abs=1e-7)


@pytest.mark.parametrize("name", MODES)
def test_weigh__sibs_of_unknown_parents_and_one_parent_put_back(name: str) -> None:
    """Parents from the population, weighed by the odd young that they gave."""
    odd = OddAnimal(
        "Moth", Sex.MALE, sire_normal=False, dam_normal=False, sibs=(SexCounts(2, 1), unsexed(1), unsexed(0))
    )
    trial = Trial(Partner.parent(Sex.FEMALE), odd=SexCounts(1, 2), normal=SexCounts(2, 1))
    sibs = {(N, "m"): 2, (N, "f"): 1, (O, "?"): 1}
    counts = {(O, "m"): 1, (O, "f"): 2, (N, "m"): 2, (N, "f"): 1}
    r, before, after = listed.r_of(name), 0.0, 0.0
    for (dam, p), (sire, q) in product(listed.founders(name, "f").items(), listed.founders(name, "m").items()):
        for him, chance in listed.birth(dam, sire, r).items():
            if him[0] == "m" and (name == "not" or listed.look(name, him) == O):
                before += p * q * chance
                clutches = listed.counted(name, dam, sire, sibs, r) * listed.counted(name, dam, him, counts, r)
                after += p * q * chance * clutches
    found = weigh(odd, [trial]).log_likelihoods[MODES[name]]
    assert found == pytest.approx(math.log(after / before), abs=1e-7)


@pytest.mark.parametrize("name", MODES)
def test_weigh__another_odd_animal_is_the_same_or_not(name: str) -> None:
    trial = Trial(Partner.other_odd("Fern", Sex.FEMALE), odd=SexCounts(3, 1), normal=SexCounts(1))
    counts = {(O, "m"): 3, (O, "f"): 1, (N, "m"): 1}
    population = listed.founders(name, "f")
    alike = {state: p for state, p in population.items() if name == "not" or listed.look(name, state) == O}
    shares = {state: 0.1 * p + 0.9 * alike.get(state, 0.0) / sum(alike.values()) for state, p in population.items()}
    expected = math.fsum(
        p * q * listed.counted(name, her, him, counts, listed.r_of(name))
        for him, p in listed.odd_of_normal_parents(name, "m").items()
        for her, q in shares.items()
    )
    assert weigh(MOTH, [trial]).log_likelihoods[MODES[name]] == pytest.approx(math.log(expected), abs=1e-7)


def test_weigh__bayes_rule_over_the_modes() -> None:
    found = weigh(MOTH, [Trial(Partner.unrelated("A"), odd=unsexed(4), normal=unsexed(5))])
    weights = {mode: found.prior[mode] * math.exp(found.log_likelihoods[mode]) for mode in Mode}
    for mode in Mode:
        assert found.posterior[mode] == pytest.approx(weights[mode] / sum(weights.values()), abs=1e-12)
        ratio = found.posterior[mode] / found.posterior[Mode.NOT_INHERITED] / found.prior[mode] * 0.6
        assert found.bayes_factors[mode] == pytest.approx(ratio, rel=1e-9)


COUNTS = st.builds(SexCounts, st.integers(0, 3), st.integers(0, 3), st.integers(0, 2), st.integers(0, 2))


@given(COUNTS, COUNTS, COUNTS)
def test_weigh__one_mate_twice_equals_one_larger_clutch(odd: SexCounts, normal: SexCounts, more: SexCounts) -> None:
    mate = Partner.unrelated("A")
    apart = weigh(MOTH, [Trial(mate, odd=odd, normal=normal), Trial(mate, normal=more)])
    pooled = SexCounts(
        normal.males + more.males, normal.females + more.females, normal.unknown + more.unknown, normal.dead + more.dead
    )
    together = weigh(MOTH, [Trial(mate, odd=odd, normal=pooled)])
    assert dict(apart.posterior) == pytest.approx(dict(together.posterior), abs=1e-12)
    assert math.fsum(apart.posterior.values()) == pytest.approx(1.0)


def test_weigh__a_shared_mate_counts_once() -> None:
    """Where carriers are common, odd young of one mate twice say less than of two mates."""
    common = Assumptions(frequency=0.2)
    trial = Trial(Partner.unrelated("A"), odd=unsexed(2), normal=unsexed(2))
    other = Trial(Partner.unrelated("B"), odd=unsexed(2), normal=unsexed(2))
    shared = weigh(MOTH, [trial, trial], given=common).log_likelihoods[Mode.RECESSIVE]
    apart = weigh(MOTH, [trial, other], given=common).log_likelihoods[Mode.RECESSIVE]
    assert shared > apart + 0.1


def test_weigh__a_mate_without_young_changes_nothing() -> None:
    trial = Trial(Partner.unrelated("A"), odd=unsexed(3), normal=unsexed(4))
    with_mate = weigh(MOTH, [trial, Trial(Partner.unrelated("B"))])
    assert dict(with_mate.posterior) == pytest.approx(dict(weigh(MOTH, [trial]).posterior), abs=1e-12)


def test_weigh__zw_species_swaps_the_sexes() -> None:
    mate, zw = Partner.unrelated("A"), Assumptions(heterogametic=Sex.FEMALE)
    son = weigh(OddAnimal("o", Sex.MALE), [Trial(mate, odd=SexCounts(5, 1), normal=SexCounts(0, 4))])
    mirrored = Trial(mate, odd=SexCounts(1, 5), normal=SexCounts(4, 0))
    daughter = weigh(OddAnimal("o", Sex.FEMALE), [mirrored], given=zw)
    assert dict(daughter.posterior) == pytest.approx(dict(son.posterior), abs=1e-12)
    assert son.best is Mode.SEX_LINKED


def verdict(normal: int, odd: int) -> Verdict:
    return weigh(MOTH, [Trial(Partner.unrelated("A"), odd=unsexed(odd), normal=unsexed(normal))])


def test_verdict__normal_young_of_a_normal_mate_do_not_speak_against_a_recessive() -> None:
    found = verdict(9, 0)
    assert found.posterior[Mode.RECESSIVE] / found.posterior[Mode.NOT_INHERITED] == pytest.approx(0.25, abs=0.001)
    assert found.recessive_untested
    assert any("put them back to Moth" in each for each in found.cautions)
    assert found.sentence == (
        "Moth: of 9 young 0 odd, 9 normal; most likely not inherited (80 %), next recessive (20 %); not settled."
    )


def test_verdict__cautions_go_when_they_are_met() -> None:
    stronger = "Whether two copies look stronger shows only in young of two odd parents."
    sexes = "Sex the young: whether a gene is sex-linked shows only in which sex bears it."
    assert verdict(5, 4).cautions == (stronger, sexes)
    sexed = Trial(Partner.unrelated("A"), odd=SexCounts(2, 2), normal=SexCounts(2, 3))
    assert weigh(MOTH, [sexed]).cautions == (stronger,)
    both = Trial(Partner.young(0, "d", look=Look.ODD), odd=SexCounts(1, 1), normal=SexCounts(1))
    assert weigh(MOTH, [sexed, both]).cautions == ()


def test_weigh__thousands_of_young_do_not_underflow() -> None:
    found = weigh(MOTH, [Trial(Partner.unrelated("A"), odd=SexCounts(1500, 1500), normal=SexCounts(1500, 1500))])
    assert found.posterior[Mode.INCOMPLETE_DOMINANT] == pytest.approx(0.75, abs=0.01)  # the prior odds of 3 to 1
    assert found.posterior[Mode.NOT_INHERITED] == 0.0
    assert json.loads(json.dumps(found.as_json()))["bayes_factors_against_not_inherited"]["dominant"] is None


def test_verdict__settled_recessive() -> None:
    trials = [
        Trial(Partner.unrelated("A"), normal=unsexed(9)),
        Trial(Partner.young(0, "d"), odd=unsexed(3), normal=unsexed(4)),
    ]
    found = weigh(MOTH, trials)
    assert found.best is Mode.RECESSIVE
    assert not found.recessive_untested
    assert found.sentence == "Moth: of 16 young 3 odd, 13 normal; settled as recessive at over 99.5 %."


def test_verdict__before_any_young_and_stronger_young() -> None:
    assert weigh(MOTH, []).sentence == "Moth: no young yet, so only the assumption speaks: not inherited 60 %."
    trials = [Trial(Partner.other_odd("B"), odd=unsexed(4), stronger=unsexed(2), normal=unsexed(2))]
    assert "of 8 young 2 stronger, 4 odd, 2 normal" in weigh(MOTH, trials).sentence


def test_verdict__as_json_says_what_it_rests_on() -> None:
    told = verdict(5, 4).as_json()
    assert told["young"] == {"normal": 5, "odd": 4, "stronger": 0}
    assert told["best"] == "incomplete dominant"
    assert "from memory, no source" in told["basis"][0]
    own = weigh(MOTH, [], prior={Mode.RECESSIVE: 0.5, Mode.NOT_INHERITED: 0.5})
    assert own.posterior[Mode.DOMINANT] == 0.0
    assert "(as given)" in own.basis[0]
    assert told["assumptions"]["missed"] == 0.02


@pytest.mark.parametrize(
    "trials, code",
    [
        ([Trial(Partner.young(0, "d"), normal=unsexed(1))], "PRV-002"),
        ([Trial(Partner.unrelated("A"), normal=unsexed(1)), Trial(Partner.young(0, "d", look=Look.ODD))], "PRV-003"),
        ([Trial(Partner.unrelated("A")), Trial(Partner.other_odd("A"))], "PRV-004"),
        ([Trial(Partner.unrelated("A", Sex.MALE))], "PRV-005"),
        ([Trial(Partner.parent(Sex.UNKNOWN), parent=Partner.sib("S"))], "PRV-005"),
        ([Trial(Partner.unrelated("A"), odd=SexCounts(-1))], "PRV-006"),
    ],
)
def test_weigh__refuses_trials_that_cannot_be(trials: list[Trial], code: str) -> None:
    with pytest.raises(CrossError) as caught:
        weigh(MOTH, trials)
    assert [fault.code for fault in caught.value.faults] == [code]


def test_weigh__refuses_what_is_no_prior_and_no_rate() -> None:
    with pytest.raises(CrossError, match="PRV-008"):
        weigh(MOTH, [], prior={Mode.RECESSIVE: 0.5})
    with pytest.raises(CrossError, match="PRV-007 field missed: 0"):
        Assumptions(missed=0.0)
