"""Which hatchlings of all clutches to hold back, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from holdback.collection.model import Sex
from holdback.decisions.holdbacks.active import active_groups
from holdback.decisions.holdbacks.alike import alike
from holdback.decisions.holdbacks.candidate import Candidate, Keeping, Project
from holdback.decisions.holdbacks.choosing import Choice, choose
from holdback.decisions.holdbacks.lede import lede, one_more, proof
from holdback.decisions.holdbacks.minding import minding
from holdback.decisions.holdbacks.ordering import Place, eggs, equals, gains, ordered
from holdback.decisions.holdbacks.preference import Lacking, preference
from holdback.decisions.holdbacks.reasons import reasons
from holdback.decisions.holdbacks.result import HoldBacks, Ranked
from holdback.decisions.holdbacks.selling import for_sale
from holdback.decisions.holdbacks.sized import waiting_for_size
from holdback.decisions.holdbacks.tools import Tools
from holdback.decisions.holdbacks.waiting_words import waiting
from holdback.decisions.holdbacks.watch import Watch
from holdback.decisions.holdbacks.worths import Bag, Worths
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock
from holdback.errors import DecisionError, Fault
from holdback.species.catalogue import Catalogue


def hold_backs(
    stock: Stock,
    candidates: Sequence[Candidate],
    projects: Sequence[Project],
    *,
    keeping: Keeping,
    tools: Tools,
    catalogue: Catalogue,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> HoldBacks:
    """Hatchlings in the order in which they are worth holding back, those for whom there is a tub first.

    Parameters
    ----------
    stock : Stock
        Animals at hand, the candidates among them.
    candidates : sequence of Candidate
        Hatchlings of all clutches.
    projects : sequence of Project
        What they are weighed for.
    keeping : Keeping
        Tubs and what they cost.
    tools : Tools
        Search for a plan and rehearsal of it.
    catalogue : Catalogue
        Species, for what may be said of those sold.
    progress : callable, optional
        Told the share of the work that is done.
    cancelled : callable, optional
        Asked now and then whether to stop.

    Raises
    ------
    DecisionError
        DEC-090 if there is no hatchling, DEC-091 if one is not in the stock, DEC-092 if there is no project, DEC-093 if
        the number of tubs is below 0.
    Cancelled
        If asked to stop.

    Notes
    -----
    A set's worth is that of the goals rehearsed with it; see `holdback.decisions.holdbacks.worths`. All sets are tried
    where they are few (`Keeping.most_sets`); else one is added at a time and then swapped.
    """
    _check(stock, candidates, projects, keeping)
    watch = Watch(progress, cancelled)
    groups = alike(stock, candidates, projects)
    by_id = {one.animal: one for one in candidates}
    worths = Worths(stock, by_id, groups, projects, keeping=keeping, tools=tools)
    choice, lacking = _chosen(worths, watch)
    places = ordered(worths, choice.bag, lacking)
    kept = tuple(place.animal for place in places if place.is_kept)
    rows = _rows(worths, places, choice.bag, lacking)
    plans = _plans(worths, choice.bag)
    return HoldBacks(
        year=stock.year,
        tubs=keeping.tubs,
        hatchlings=rows,
        kept=kept,
        proof=proof(choice),
        is_best_of_all=choice.is_best_of_all,
        one_more=one_more(worths, places),
        lede=lede(worths, rows, places),
        waiting=(*waiting(worths, choice.bag), *waiting_for_size(worths, kept)),
        mind=minding(worths, kept, [plan for _, plan in plans]),
        for_sale=tuple(for_sale(by_id[row.animal], catalogue) for row in rows if not row.is_kept),
        plans=plans,
        runs=len(worths.of(choice.bag).eggs),
        n_tried=choice.n_tried,
        assumptions=_assumptions(keeping, candidates),
    )


def check_keeping(keeping: Keeping) -> None:
    """Say what cannot be of the tubs.

    Raises
    ------
    DecisionError
        DEC-093 if the number of tubs is below 0.
    """
    faults = list(_of_keeping(keeping))
    if faults:
        raise DecisionError(faults)


def _of_keeping(keeping: Keeping) -> Iterator[Fault]:
    if keeping.tubs < 0:
        what = f"There cannot be {keeping.tubs} tubs."
        yield Fault("DEC-093", what, "Give 0 or more.", field="tubs", value=str(keeping.tubs))


def _check(stock: Stock, candidates: Sequence[Candidate], projects: Sequence[Project], keeping: Keeping) -> None:
    faults = []
    if not candidates:
        faults.append(Fault("DEC-090", "There is no hatchling to choose from.", "Name a clutch that has hatched."))
    for one in candidates:
        if one.animal not in stock.animals:
            what = f"Hatchling {one.animal} is not among the animals at hand."
            faults.append(Fault("DEC-091", what, "Leave out those that died or are sold.", animal=one.animal))
    if not projects:
        what = "There is no goal to weigh the hatchlings for."
        faults.append(Fault("DEC-092", what, "Write down a project, or say what is wanted."))
    faults += _of_keeping(keeping)
    if faults:
        raise DecisionError(faults)


def _chosen(worths: Worths, watch: Watch) -> tuple[Choice, Lacking]:
    """The choice by worth alone, then with what its plans still lack deciding between sets of one worth."""
    worths.of(())
    active = active_groups(worths, watch.part(0.1, 0.5))
    first = choose(worths, active, lambda bag: (len(bag),), watch.part(0.5, 0.9))
    plans = [
        (k, reached.plan)
        for bag in dict.fromkeys([(), first.bag])
        for k, reached in enumerate(worths.of(bag).projects)
        if reached.plan is not None
    ]
    lacking = Lacking(worths, plans)
    groups = sorted({*active, *(k for fillers in lacking.fillers for k in fillers)})
    return choose(worths, groups, lambda bag: preference(worths, lacking, bag), watch.part(0.9, 0.92)), lacking


def _rows(worths: Worths, places: Sequence[Place], kept: Bag, lacking: Lacking) -> tuple[Ranked, ...]:
    same = equals(places)
    return tuple(
        _row(worths, place, rank, kept, lacking=lacking, equal=same.get(place.animal, ()))
        for rank, place in enumerate(places, 1)
    )


def _row(worths: Worths, place: Place, rank: int, kept: Bag, *, lacking: Lacking, equal: tuple[str, ...]) -> Ranked:
    one, stock = worths.candidates[place.animal], worths.stock
    by_project = gains(worths, place)
    lines = dict.fromkeys(target.line for project in worths.projects for target in project.targets if target.line)
    return Ranked(
        animal=one.animal,
        clutch=one.clutch,
        rank=rank,
        is_kept=place.is_kept,
        sex=one.sex,
        score=eggs(*place.adds),
        alone=place.alone,
        gains=by_project,
        shows=one.shows,
        carries=one.carries,
        shares=tuple(
            (line, float(stock.shares[line][stock.index(one.animal)])) for line in lines if line in stock.shares
        ),
        hatch_mass_g=one.size.hatch_mass_g if one.size else None,
        beyond_egg=one.size.hatching if one.size else None,
        reasons=reasons(worths, place, kept, by_project, lacking=lacking),
        equal_to=equal,
    )


def _plans(worths: Worths, kept: Bag) -> tuple[tuple[str, Plan], ...]:
    reached = worths.of(kept).projects
    return tuple(
        (project.goal.name, one.plan)
        for project, one in zip(worths.projects, reached, strict=True)
        if one.plan is not None
    )


def _assumptions(keeping: Keeping, candidates: Sequence[Candidate]) -> tuple[str, ...]:
    found = ["A goal counts what its project says it is worth, in eggs; what is not rehearsed counts nothing."]
    if keeping.year_eggs == 0:
        found.append("A tub costs nothing here: nobody said what a year in it is worth in eggs.")
    else:
        eggs = f"{keeping.year_eggs:.3g} egg{'' if keeping.year_eggs == 1 else 's'}"
        found.append(f"A tub counts {eggs} a year, as you said, until the young in it can breed.")
    if any(one.sex is Sex.UNKNOWN for one in candidates):
        found.append("Where the sex is not known, both are counted; it is known before the animal breeds.")
    return tuple(found)
