"""What is wrong with an input, all of it told at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np

from holdback.decisions.season_plan.columns import allowed
from holdback.decisions.season_plan.limits import ready_males
from holdback.decisions.season_plan.plan_input import Lock, PlanInput
from holdback.errors import DecisionError, Fault


def check(inp: PlanInput) -> None:
    """Raise all faults of an input.

    Raises
    ------
    DecisionError
        DEC-030 to DEC-034, DEC-036 and DEC-037.
    """
    faults = [*_values(inp), *_names(inp)]
    if not faults:
        faults = [*_nobody(inp), *_locks(inp), *_carriers(inp)]
    if faults:
        raise DecisionError(faults)


def _values(inp: PlanInput) -> Iterator[Fault]:
    chance = inp.crosses.chance
    wrong = {
        "chance of a cross": ~((chance >= 0) & (chance <= 1)),
        "number of clutches of a male": inp.caps < 0,
        "worth of a project": np.array([not 0 <= one.worth < np.inf for one in inp.projects]),
        "chance that a male carries": np.array([not 0 < one.chance < 1 for one in inp.may_carry]),
        "number of males kept free": np.array([inp.reserve < 0, *(one.reserve < 0 for one in inp.projects)]),
    }
    hint = "Chances lie from 0 to 1, and numbers and worths are not negative."
    for what, mask in wrong.items():
        if np.any(mask):
            yield Fault("DEC-033", f"The {what} is out of range.", hint, field=what)


def _names(inp: PlanInput) -> Iterator[Fault]:
    hint = "Take it out, or plan with that animal or project too."
    known = (set(inp.males), set(inp.females), {one.id for one in inp.projects} | {""})
    asked = [(one.sire, one.dam, one.project) for one in inp.locks]
    for names in asked:
        for name, there in zip(names, known, strict=True):
            if name not in there:
                yield Fault("DEC-037", f"A fixed pair names {name}, which is not in this plan.", hint, animal=name)
    for one in inp.may_carry:
        if one.sire not in known[0] or one.project not in known[2]:
            what = f"A male who may carry names {one.sire} and project {one.project}, which are not both in this plan."
            yield Fault("DEC-037", what, hint, animal=one.sire)


def _nobody(inp: PlanInput) -> Iterator[Fault]:
    males = len(ready_males(inp))
    if not males:
        what = f"No male can breed this season.{_most_often(inp, inp.males)}"
        yield Fault("DEC-030", what, "Borrow a male, or wait a season.")
    if all(one in inp.not_ready for one in inp.females):
        what = f"No female can breed this season.{_most_often(inp, inp.females)}"
        yield Fault("DEC-031", what, "Wait a season, or bring in a grown female.")
    elif males and not inp.locks and not allowed(inp).any():
        reasons = Counter(one.reason for one in inp.bans).most_common(1)
        told = f" Most often: {reasons[0][0]}" if reasons else ""
        what = f"No pair is left that a project gains from.{told}"
        yield Fault("DEC-032", what, "Relax that limit, or bring in another animal.")


def _most_often(inp: PlanInput, animals: tuple[str, ...]) -> str:
    """The most frequent reason among animals, as a further sentence."""
    reasons = Counter(inp.not_ready[one] for one in animals if one in inp.not_ready).most_common(1)
    return f" Most often: {reasons[0][0]}" if reasons else ""


def _locks(inp: PlanInput) -> Iterator[Fault]:
    for lock in inp.locks:
        pair = f"The fixed pair {inp.name(lock.sire)} and {inp.name(lock.dam)}"
        for reason in _against(inp, lock):
            hint = "Release the pair, or relax that limit."
            yield Fault("DEC-034", f"{pair} breaks a limit: {reason}", hint, animal=lock.dam)
    for dam, n in Counter(one.dam for one in set(inp.locks)).items():
        if n > 1:
            what = f"{inp.name(dam)} is fixed {n} times, and has one clutch a season."
            yield Fault("DEC-034", what, "Release all but one.", animal=dam)
    for sire, n in Counter(one.sire for one in set(inp.locks)).items():
        cap = int(inp.caps[inp.males.index(sire)])
        if n > cap:
            females = "one female" if n == 1 else f"{n} females"
            clutches = "one clutch" if cap == 1 else f"{cap or 'no'} clutches"
            what = f"{inp.name(sire)} is fixed to {females}, and may have {clutches}."
            yield Fault("DEC-034", what, "Release a pair, or allow him more clutches.", animal=sire)


def _against(inp: PlanInput, lock: Lock) -> Iterator[str]:
    """Reasons against a fixed pair."""
    for animal in (lock.sire, lock.dam):
        if animal in inp.not_ready:
            yield inp.not_ready[animal]
    for ban in inp.bans:
        if (ban.sire, ban.dam) == (lock.sire, lock.dam) and ban.project in ("", lock.project):
            yield ban.reason


def _carriers(inp: PlanInput) -> Iterator[Fault]:
    crosses, ids = inp.crosses, [one.id for one in inp.projects]
    for one in inp.may_carry:
        his = (crosses.sire == inp.males.index(one.sire)) & (crosses.part == one.part)
        his &= crosses.project == ids.index(one.project)
        if np.any(crosses.chance[his] > one.chance + 1e-9):
            what = f"A clutch of {inp.name(one.sire)} is given a better chance than he has of carrying at all."
            yield Fault("DEC-036", what, "Mix its chance over what he may be.", animal=one.sire)
