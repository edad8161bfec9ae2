"""The season's pairings, held against every plan of small seasons."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.season_plan.cases import best_of_all, crosses, every_plan, keeps, small, worth

from holdback.decisions.season_plan import (
    Ban,
    Lock,
    MayCarry,
    Part,
    PlanInput,
    Project,
    WeeklyLoad,
    next_best,
    plan_season,
    search,
)
from holdback.errors import DecisionError


@pytest.mark.parametrize("seed", range(12))
def test_plan_season__three_males_five_females_two_projects(seed: int) -> None:
    inp = small(seed)
    plan = plan_season(inp)
    assert plan.optimal
    assert plan.worth == pytest.approx(best_of_all(inp), rel=1e-6)
    assert plan.worth <= plan.bound <= plan.worth * (1 + 1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_plan_season__with_all_limits(seed: int) -> None:
    inp = _limited(seed)
    best = best_of_all(inp)
    if best == -np.inf:
        with pytest.raises(DecisionError, match="DEC-035: No plan keeps all limits"):
            plan_season(inp)
    else:
        plan = plan_season(inp)
        assert plan.optimal
        assert plan.worth == pytest.approx(best, rel=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_plan_season__males_settled_first(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The way that seasons with thousands of pairs go."""
    monkeypatch.setattr(search, "MANY", 0)
    inp = _limited(seed)
    best = best_of_all(inp)
    if best == -np.inf:
        with pytest.raises(DecisionError, match="DEC-035"):
            plan_season(inp)
    else:
        plan = plan_season(inp)
        assert plan.optimal
        assert plan.worth == pytest.approx(best, rel=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_plan_season__two_parts_that_count_only_together(seed: int) -> None:
    both = Project("A", "Alder", 60.0, (Part("a male"), Part("a female")), together=True)
    inp = small(seed, females=4, projects=(both, Project("B", "Birch", 20.0)))
    assert plan_season(inp).worth == pytest.approx(best_of_all(inp), rel=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_plan_season__uncertain_male(seed: int) -> None:
    inp = small(seed)
    cut = np.where((inp.crosses.sire == 0) & (inp.crosses.project == 0), 2 / 3, 1.0)
    inp = replace(
        inp,
        crosses=replace(inp.crosses, chance=inp.crosses.chance * cut),
        may_carry=(MayCarry("m0", "A", 2 / 3),),
    )
    assert plan_season(inp).worth == pytest.approx(best_of_all(inp), rel=1e-6)


def test_plan_season__a_solution_that_the_solver_disowns() -> None:
    """Here presolve ends with a row passed by just the tolerance, and the solver takes its solution back."""
    parts = (Part("a son"), Part("a daughter", 0.6))
    projects = (Project("A", "Alder", 60.0, parts, least=1), Project("B", "Birch", 0.0), Project("C", "Cedar", 30.0))
    inp = small(1517, males=2, females=3, projects=projects)
    first = (inp.crosses.sire == 0) & (inp.crosses.project == 0) & (inp.crosses.part == 0)
    chance = np.where(first, inp.crosses.chance / 2, inp.crosses.chance)
    inp = replace(inp, crosses=replace(inp.crosses, chance=chance))
    assert plan_season(inp).worth == pytest.approx(best_of_all(inp), rel=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_plan_season__places_by_week_are_never_passed(seed: int) -> None:
    """The deviation is taken from above, so a plan may be a little worse than the best, and never breaks a week."""
    inp = _with_weeks(small(seed), seed)
    plan = plan_season(inp)
    assert all(one.planned_for <= one.places + 1e-9 for one in plan.load)
    best = best_of_all(inp)
    assert 0.9 * best <= plan.worth <= best + 1e-9


@pytest.mark.parametrize("seed", range(4))
def test_next_best__differs_by_a_third(seed: int) -> None:
    inp = small(seed)
    plan = plan_season(inp)
    made = {(one.sire, one.dam) for one in plan.pairings}
    most = len(made) - -(-len(made) // 3)
    others = [
        pairs
        for pairs in every_plan(inp)
        if keeps(inp, pairs) and len({(inp.males[sire], inp.females[dam]) for sire, dam, _, _ in pairs} & made) <= most
    ]
    other = next_best(inp, plan)
    assert other.worth == pytest.approx(max(worth(inp, pairs) for pairs in others), rel=1e-6)
    assert len({(one.sire, one.dam) for one in other.pairings} & made) <= most


def test_plan_season__names_the_order_of_females_does_not_matter() -> None:
    inp = small(3)
    back = np.arange(len(inp.females))[::-1]
    turned = replace(inp, females=inp.females[::-1], crosses=replace(inp.crosses, dam=back[inp.crosses.dam]))
    assert plan_season(turned).worth == pytest.approx(plan_season(inp).worth, rel=1e-6)


def test_plan_season__one_two_three_clutches() -> None:
    """1/4 of the young, laying .7: worth of 1, 2, 3 clutches (figures of the usual clutch law)."""
    chance = 1 - np.exp(-0.765819)
    for n, share in ((1, 0.5350), (2, 0.7838), (3, 0.8995)):
        rows = [(0, dam, 0, 0, chance) for dam in range(n)]
        inp = PlanInput(
            ("m",), tuple(f"f{dam}" for dam in range(n)), np.array([5]), (Project("A", "Alder", 1.0),), crosses(rows)
        )
        assert plan_season(inp).projects[0].chances[0] == pytest.approx(share, abs=5e-5)


def test_plan_season__uncertain_male_on_one_two_three_visual_females() -> None:
    """He carries with 2/3: .4439 .5923 .6418, not .6908 .8281 as if every clutch were a bet of its own."""
    for n, share in ((1, 0.4439), (2, 0.5923), (3, 0.6418)):
        rows = [(0, dam, 0, 0, 2 / 3 * 0.6659) for dam in range(n)]
        inp = PlanInput(
            ("m",),
            tuple(f"f{dam}" for dam in range(n)),
            np.array([5]),
            (Project("A", "Alder", 1.0),),
            crosses(rows),
            may_carry=(MayCarry("m", "A", 2 / 3),),
        )
        assert plan_season(inp).projects[0].chances[0] == pytest.approx(share, abs=1e-4)


def test_plan_season__json() -> None:
    told = plan_season(small(1)).as_json()
    assert {"pairings", "left_out", "optimal"} <= set(told)
    assert isinstance(told["pairings"], list)
    assert {"sire", "dam", "project", "value"} <= set(told["pairings"][0])


def test_plan_season__stopped_before_a_plan_was_found() -> None:
    shares: list[float] = []
    with pytest.raises(DecisionError, match="DEC-038: No season plan was found in the time"):
        plan_season(small(2), progress=shares.append, cancelled=lambda: True)
    assert shares
    assert all(0 <= one <= 1 for one in shares)


def _limited(seed: int) -> PlanInput:
    """A small season with bans, a fixed pair, a male kept free, pairings at least and at most, eggs and costs."""
    rng = np.random.default_rng(100 + seed)
    projects = (
        Project("A", "Alder", 60.0, least=int(rng.integers(0, 3)), most=3),
        Project("B", "Birch", 45.0, least=1, eggs=15.0),
    )
    inp = small(seed, males=4, females=5, projects=projects)
    first = int(np.argmax(inp.crosses.dam == 1))
    lock = Lock(inp.males[int(inp.crosses.sire[first])], "f1")
    ban = Ban("m0", "f0", "They are half brother and sister.")
    return replace(
        inp,
        bans=(ban,) if (lock.sire, lock.dam) != ("m0", "f0") else (),
        locks=(lock,),
        reserve=int(rng.integers(0, 3)),
        clutches_at_most=4,
        eggs=rng.uniform(4, 9, 5),
        clutch_costs=rng.uniform(0, 3, 5),
        not_ready={"f4": "Not back to weight until May."} if seed % 2 else {},
    )


def _with_weeks(inp: PlanInput, seed: int) -> PlanInput:
    rng = np.random.default_rng(200 + seed)
    mean = rng.uniform(0, 6, (len(inp.females), 3))
    load = WeeklyLoad("egg places", mean, 0.4 * mean, np.full(3, 14.0), np.zeros(3), np.zeros(3))
    weeks = tuple(dt.date(2031, 7, 7) + dt.timedelta(days=7 * week) for week in range(3))
    return replace(inp, weeks=weeks, loads=(load,))
