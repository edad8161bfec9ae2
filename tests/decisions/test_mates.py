"""Mates for one animal: their order, chances, reasons, and what stands against a pair."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.herd import IndependentGenes, herd, laws

from holdback.decisions.goal import Goal, Target
from holdback.decisions.mates import Mate, mates, mates_for_wish
from holdback.decisions.offspring import PairLaw, PairState
from holdback.decisions.steps import Kind, Plan, Side, Step
from holdback.decisions.stock import NEVER, Stock, UnderWay
from holdback.decisions.wanting import targets_of
from holdback.errors import DecisionError
from holdback.heredity.genotype import GenotypeBelief
from holdback.species.catalogue import load

EGGS, YOUNG = laws()


def listed(stock: Stock, animal: str, goal: Goal, **more: object) -> dict[str, Mate]:
    found = mates(stock, animal, targets_of(goal, load()), goal, load(), **more)  # type: ignore[arg-type]
    return {mate.mate: mate for mate in found}


def once(q: float) -> float:
    """Chance of at least one in a season of a dam that lays with .7."""
    return PairLaw((PairState(1.0, q / 2, q / 2),)).tries(1, YOUNG, 0.7)


def test_mates__chance_of_this_season_and_its_range() -> None:
    """C4: visual male with a 66 % dam: 44 in 100, from none to 67 as she carries it or not."""
    stock = herd(males=[("vis",)], females=[("66",), ("vis",), ("-",)], genes=("clown",))
    found = listed(stock, "m0", Goal("Harbour", "Clown", by=2027))
    one = found["f0"].at_least_one
    assert (one.mean, one.low, one.high) == pytest.approx((44.39, 0.0, 66.59), abs=0.005)
    assert list(found) == ["f1", "f0", "f2"]
    assert found["f0"].possible == pytest.approx(2 / 3)
    assert found["f0"].reasons[0] == "1 in 3 young is the goal: 44 in 100 for at least one this season."
    assert found["f0"].reasons[1] == "F0 may carry Clown (2 in 3); if not, no young shows it."


def test_mates__through_a_daughter() -> None:
    """By hand: a daughter carrying Clown of half the young, then three tries at 1 in 8 with her uncle by marriage."""
    stock = herd(males=["Clown", "Enchi het Clown"], females=["normal"])
    (mate,) = listed(stock, "m0", Goal("Harbour", "Clown Enchi", by=2033)).values()
    assert mate.next is not None
    assert (mate.next.mate, mate.next.first_season) == ("m1", 4)
    assert mate.next.keeps == pytest.approx(once(1 / 2))
    assert mate.next.chance == pytest.approx(1 - (1 - once(1 / 8)) ** 3)
    assert mate.score == pytest.approx(once(1 / 2) * (1 - (1 - once(1 / 8)) ** 3))
    assert mate.at_least_one.mean == 0.0
    assert "keep a daughter that carries Clown (67 in 100) for M1 from 2031 on" in mate.reasons[1]


def test_mates__through_a_son_who_is_ready_sooner() -> None:
    """By 2029 only a son is grown; one try with the visual female that is not his kin."""
    stock = herd(males=["Clown"], females=["normal", "Clown"])
    found = listed(stock, "m0", Goal("Harbour", "Clown", by=2029))
    following = found["f0"].next
    assert following is not None
    assert (str(following.kind.sex), following.mate, following.first_season) == ("male", "f1", 2)
    assert found["f0"].score == pytest.approx(once(1 / 2) * once(1 / 2))


def test_mates__either_this_clutch_or_a_young_of_it() -> None:
    """Target in the clutch, else a carrier kept: the clutch is one event, G(1-t) - G(1-u) is not a product."""
    stock = herd(males=["het Clown"], females=["het Clown", "Clown"])
    found = listed(stock, "m0", Goal("Harbour", "Clown", by=2029))
    following = found["f0"].next
    assert following is not None

    def none(q: float) -> float:
        return float(YOUNG.chances @ (1 - q) ** np.arange(len(YOUNG.chances)))

    # sons that do not show Clown are 3 of 8; they carry with 2 in 3 and have one try with the visual female
    assert following.keeps == pytest.approx(0.7 * (none(1 / 4) - none(1 / 4 + 3 / 8)))
    assert following.chance == pytest.approx(2 / 3 * once(1 / 2))
    assert found["f0"].score == pytest.approx(once(1 / 4) + following.keeps * following.chance)


def test_mates__a_son_with_banana_of_his_dam_gives_it_to_daughters() -> None:
    """His dam's banana lies on his X: to sons it goes only by crossing over."""
    linkage = load().loci["banana"].sex_linkage
    assert linkage is not None
    stock = herd(males=["normal"], females=["Banana", "Enchi"])
    sons, daughters = (
        listed(stock, "m0", Goal("Harbour", f"{sex} Banana Enchi", by=2029, inbreeding_at_most=0.0))["f0"].next
        for sex in ("male", "female")
    )
    assert sons is not None
    assert daughters is not None
    assert sons.per_hatchling == pytest.approx(0.25 * linkage.r.value)
    assert daughters.per_hatchling == pytest.approx(0.25 * (1 - linkage.r.value))


def test_mates__a_daughter_and_a_male_maker() -> None:
    """A sire whose banana lies on his Y gives it to daughters only by crossing over; half of them show Enchi too."""
    linkage = load().loci["banana"].sex_linkage
    assert linkage is not None
    stock = herd(males=["Enchi", "Banana male maker"], females=["normal"])
    goal = Goal("Harbour", "female Banana Enchi", by=2031, inbreeding_at_most=0.0)
    following = listed(stock, "m0", goal)["f0"].next
    assert following is not None
    assert following.mate == "m1"
    assert following.per_hatchling == pytest.approx(0.25 * linkage.r.value)


def test_mates__a_young_that_dies_is_not_counted_on() -> None:
    """Asked about Spider the engine asks about Champagne too: half of the living young of the two are gone."""
    stock = herd(males=["Spider"], females=["Enchi", "Champagne"])
    goal = Goal(
        "Harbour", "Spider Enchi", by=2029, inbreeding_at_most=0.0, accepted=frozenset({"welfare-neurological"})
    )
    found = listed(stock, "m0", goal)
    assert found["f0"].per_hatchling == pytest.approx(1 / 4)
    assert found["f1"].blocked.startswith("Spider to Champagne:")
    following = listed(herd(males=["Spider"], females=["normal", "Enchi"]), "m0", goal)["f0"].next
    assert following is not None
    assert following.per_hatchling == pytest.approx(1 / 4)


def test_mates__a_mate_that_brings_harm_is_passed_over() -> None:
    goal = Goal("Harbour", "Clown", by=2029, inbreeding_at_most=0.0)
    stock = herd(males=["Clown"], females=["normal", "Clown Spider", "Clown"])
    following = listed(stock, "m0", goal)["f0"].next
    assert following is not None
    assert following.mate == "f2"
    assert listed(stock.without(["f2"]), "m0", goal)["f0"].next is None


def test_mates__what_the_records_hardly_allow() -> None:
    stock = herd(males=[("vis", 1)], females=[("vis", "50")], genes=("clown", "enchi"))
    (mate,) = listed(stock, "m0", Goal("Harbour", "Clown Super Enchi no Spider", by=2027)).values()
    assert mate.reasons[1] == "F0 may carry Enchi (1 in 2); if not, no young shows it."
    (mate,) = listed(stock, "f0", Goal("Harbour", "Clown Enchi Fire", by=2027)).values()
    assert mate.reasons == (
        "No young of this clutch can be the goal.",
        "Neither carries Fire.",
        "Nothing on record makes them kin.",
    )


def test_mates__what_only_a_slip_in_the_records_could_bring() -> None:
    stock = herd(males=[("vis",)], females=[("-",)], genes=("clown",))
    hardly = {"f0": GenotypeBelief(loci={"clown": {("+", "+"): 0.9999, ("+", "clown"): 0.0001}})}
    assert isinstance(stock.genes, IndependentGenes)
    stock = replace(stock, genes=IndependentGenes({**stock.genes.beliefs, **hardly}))
    (mate,) = listed(stock, "m0", Goal("Harbour", "Clown", by=2027)).values()
    assert mate.reasons[0] == "Going by the records no young of this clutch can be the goal."


def test_mates__a_gene_that_one_of_them_may_carry() -> None:
    stock = herd(males=[("50",)], females=[("-",)], genes=("enchi",))
    (mate,) = listed(stock, "m0", Goal("Harbour", "Enchi", by=2027)).values()
    assert mate.reasons[1] == "M0 may carry Enchi (1 in 2)."


def test_mates__a_line_of_which_nobody_is() -> None:
    stock = herd(males=["Clown"], females=["Clown"])
    (mate,) = listed(stock, "m0", Goal("Harbour", "Clown", line="Ember", share_at_least=0.5)).values()
    assert (mate.share, mate.score) == (0.0, 0.0)


def test_mates__inbreeding_limit_bars_the_way_back() -> None:
    stock = herd(males=["Clown"], females=["normal"])
    tight = listed(stock, "m0", Goal("Harbour", "Clown", by=2033))["f0"]
    loose = listed(stock, "m0", Goal("Harbour", "Clown", by=2033, inbreeding_at_most=0.25))["f0"]
    assert tight.next is None
    assert loose.next is not None
    assert (loose.next.mate, loose.next.inbreeding) == ("m0", 0.25)


@pytest.mark.parametrize(
    "stock,reason",
    [
        (
            herd(males=["Clown"], females=["Clown"], kinship={("m0", "f0"): 0.25}),
            "Young inbred 25 %; your limit is 12.5 %.",
        ),
        (
            herd(males=["Clown"], females=["Clown"], ready={"f0": 1}, why_not={"f0": "laid 40 days ago."}),
            "F0: laid 40 days ago.",
        ),
        (herd(males=["Clown"], females=["Clown"], ready={"f0": 2}), "F0 can have young from 2029 on."),
        (herd(males=["Clown"], females=["Clown"], ready={"f0": NEVER}), "F0 will not breed."),
        (
            replace(herd(males=["Clown"], females=["Clown"]), under_way=(UnderWay("f0", (("m0", 1.0),), EGGS, YOUNG),)),
            "F0 is at work already this season.",
        ),
        (
            replace(
                herd(males=["Clown"], females=["Clown"], clutches=1),
                under_way=(UnderWay("f9", (("m0", 1.0),), EGGS, YOUNG),),
            ),
            "M0 is on one female already, as many as he may have.",
        ),
        (
            herd(males=["Clown"], females=["Desert Clown"]),
            "A Desert female: they do not lay successfully",
        ),
        (herd(males=["Spider"], females=["Clown"]), "Spider: Inner ear malformed"),
    ],
)
def test_mates__one_reason_against_a_pair(stock: Stock, reason: str) -> None:
    mate = listed(stock, "m0", Goal("Harbour", "Clown"))["f0"]
    assert mate.blocked.startswith(reason)
    assert mate.next is None


def test_mates__those_that_cannot_be_paired_come_last() -> None:
    stock = herd(males=["Clown"], females=["Clown", "normal"], ready={"f0": 3})
    assert list(listed(stock, "m0", Goal("Harbour", "Clown", by=2028))) == ["f1", "f0"]


def test_mates__welfare_spoken_for() -> None:
    stock = herd(males=["Spider"], females=["Clown"])
    goal = Goal("Harbour", "Spider het Clown", accepted=frozenset({"welfare-neurological:spider"}))
    mate = listed(stock, "m0", goal)["f0"]
    assert mate.blocked == ""
    assert [caution.code for caution in mate.cautions] == ["welfare-neurological:spider", "wobble"]


def test_mates__share_of_the_line() -> None:
    """Without enough of the line a clutch with the genes is not the goal, but its young may lead there."""
    stock = herd(males=["Clown"], females=["Clown", "Clown", "Clown"], line="Ember", shares=(0.5, 0.5, 0.0, 1.0))
    goal = Goal("Harbour", "Clown", line="Ember", share_at_least=0.5, by=2029)
    found = listed(stock, "m0", goal)
    assert [found[one].share for one in ("f0", "f1", "f2")] == [0.5, 0.25, 0.75]
    assert found["f1"].at_least_one.mean == 0.0
    assert found["f1"].next is not None
    assert found["f1"].next.mate == "f2"
    assert "Young are 25 % Ember by pedigree; you want 50 %." in found["f1"].reasons


def test_mates__the_better_of_two_targets() -> None:
    stock = herd(males=["Clown Enchi"], females=["het Clown Pastel", "Clown"])
    goal = Goal("Harbour", "Clown", some_of=("Enchi", "Pastel"), some_least=1, by=2027)
    found = listed(stock, "m0", goal)
    assert {mate: one.target for mate, one in found.items()} == {"f1": 0, "f0": 0}
    assert found["f1"].at_least_one.mean == pytest.approx(100 * once(1 / 2))


def test_mates__what_stays_hidden() -> None:
    stock = herd(males=["het Clown Pinstripe"], females=["het Clown Pinstripe"])
    (mate,) = mates_for_wish(stock, "m0", "Clown Pinstripe", load())
    assert mate.hidden == (
        "Young that do not show Clown carry it with 2 in 3.",
        "One and two copies of Pinstripe look alike; 1 in 3 of those that show it have two.",
    )


def test_mates__size_of_both_parents() -> None:
    stock = herd(males=["Clown"], females=["Clown"])
    stock = replace(stock, size_mean=np.array([0.2, 0.0]), size_sd=np.array([0.1, 0.1]))
    (mate,) = mates_for_wish(stock, "m0", "Clown", load())
    assert mate.size is not None
    assert mate.size.mean == pytest.approx(100 * np.expm1(0.1))
    assert mate.size.low < mate.size.mean < mate.size.high


def test_mates__steps_of_a_plan_come_first_of_equals() -> None:
    stock = herd(males=["Clown"], females=["Enchi", "Pastel"])
    goal = Goal("Harbour", "Clown Enchi Pastel Fire", by=2030)
    (target,) = targets_of(goal, load())
    anything = Kind(((0.0, 0.0),) * 4)
    step = Step(0, Side(anything, ("m0",)), Side(anything, ("f1",)), anything, 1, 0, 1.0, 0.7, is_goal=False)
    plan = Plan(target, (step,), (0.0,), 24.0, 0.0, 0.0, 0.0)
    assert list(listed(stock, "m0", goal)) == ["f0", "f1"]
    found = listed(stock, "m0", goal, plan=plan)
    assert list(found) == ["f1", "f0"]
    assert (found["f1"].step, found["f0"].step) == (0, None)


def test_mates__no_score_falls_for_a_looser_limit_or_one_more_animal() -> None:
    rows = ["66% het Clown", "Enchi", "het Clown Enchi", "Clown", "normal"]
    stock = herd(males=["Clown", "Enchi het Clown"], females=rows, kinship={("m0", "f2"): 0.25, ("m1", "f1"): 0.25})
    goal = Goal("Harbour", "Clown Enchi", by=2034)
    before = listed(stock, "m0", goal)
    loose = listed(stock, "m0", replace(goal, inbreeding_at_most=1.0))
    later = listed(stock, "m0", replace(goal, by=2036))
    more = listed(
        herd(
            males=["Clown", "Enchi het Clown"], females=[*rows, "Clown Enchi"],
            kinship={("m0", "f2"): 0.25, ("m1", "f1"): 0.25},
        ),
        "m0",
        goal,
    )  # fmt: skip
    for mate, one in before.items():
        for other in (loose, later, more):
            assert other[mate].score >= one.score - 1e-12


def test_mates__faults() -> None:
    stock = herd(males=["Clown"], females=["Clown"])
    targets: tuple[Target, ...] = targets_of(Goal("Harbour", "Clown"), load())
    with pytest.raises(DecisionError, match="DEC-020"):
        mates(stock, "q7", targets, Goal("Harbour", "Clown"), load())
    with pytest.raises(DecisionError, match="DEC-021"):
        mates(stock, "m0", targets, Goal("Harbour", "Clown", by=2027), load(), season=1)
    with pytest.raises(DecisionError, match=r"DEC-021.*2024 is past: the first season here is 2027"):
        mates(stock, "m0", targets, Goal("Harbour", "Clown"), load(), season=-3)


def test_mates__order_of_animals_changes_nothing() -> None:
    first = herd(males=["Clown"], females=["het Clown", "66% het Clown"])
    turned = herd(males=["Clown"], females=["66% het Clown", "het Clown"])
    goal = Goal("Harbour", "Clown", by=2031)
    one, other = listed(first, "m0", goal), listed(turned, "m0", goal)
    assert [one["f0"].score, one["f1"].score] == [other["f1"].score, other["f0"].score]
