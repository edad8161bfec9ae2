"""Animals that do for two steps whose young come together: under a limit of inbreeding each keeps to its own."""

from __future__ import annotations

from dataclasses import replace

from tests.decisions.herd import herd
from tests.decisions.rehearsal.plans import ANY, HET, VIS, at_hand, bred, gene, kind, plan, step

from holdback.collection.model import Sex
from holdback.decisions.goal import Target
from holdback.decisions.rehearsal import Failure, rehearse
from holdback.decisions.rehearsal.stand_ins import StandIns
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock


def half_sibs(third: str = "vis") -> tuple[Stock, Plan]:
    """A son of one dam put to the daughters of the other, one sire for both; both dams would do for both steps."""
    genes = ("clown", "piebald")
    stock = herd(males=[("vis", "-")], females=[("-", "vis"), ("-", "vis"), ("-", third)], genes=genes)
    sire = at_hand((VIS, ANY), "m0")
    son = step(0, sire, at_hand((ANY, VIS), "f0"), kind(HET, HET, sex=Sex.MALE))
    daughter = step(1, sire, at_hand((ANY, VIS), "f1"), kind(HET, HET, sex=Sex.FEMALE), count=3)
    last = step(2, bred((HET, HET), 0), bred((HET, HET), 1), kind(VIS, VIS), first_season=4)
    return stock, plan(Target(tuple(gene(name) for name in genes)), son, daughter, last)


def test_stand_ins__on_the_pedigree_of_the_plan() -> None:
    """Half sibs' young are inbred 1/8, those of sibs 1/4, of parent and young 1/4."""
    stock, wanted = half_sibs()
    tight, loose, free = (StandIns(stock, wanted, limit) for limit in (0.125, 0.25, 1.0))
    assert not tight.will_do(0, Sex.FEMALE, ("f1",))
    assert not tight.will_do(1, Sex.FEMALE, ("f0",))
    assert tight.will_do(1, Sex.FEMALE, ("f2",))
    assert not tight.will_do(2, Sex.MALE, ("m0",))
    assert not tight.may_be_kept(0, 1)
    assert tight.may_be_kept(0, 0)
    assert loose.will_do(0, Sex.FEMALE, ("f1",))
    assert loose.will_do(2, Sex.MALE, ("m0",))
    assert loose.may_be_kept(0, 1)
    assert not loose.will_do(0, Sex.FEMALE, 1)
    assert free.will_do(0, Sex.FEMALE, 1)


def test_rehearse__a_plan_within_its_limit_does_not_end_in_kin() -> None:
    stock, wanted = half_sibs()
    limited, free = (rehearse(stock, wanted, runs=1000, seasons=10, inbreeding_at_most=limit) for limit in (0.125, 1.0))
    assert Failure.TOO_CLOSE not in limited.failures
    assert limited.inbreeding is not None
    assert limited.inbreeding.high <= 0.125 + 1e-6
    assert limited.reached_by_season[-1].mean > free.reached_by_season[-1].mean - 0.1


def test_rehearse__a_plan_over_its_limit_is_played_as_it_is() -> None:
    stock, wanted = half_sibs()
    kin = replace(stock, kinship=stock.kinship + 0.05)
    assert StandIns(kin, wanted, 0.0).will_do(1, Sex.FEMALE, ("f2",))
