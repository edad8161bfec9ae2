"""Whether days foretold come in their windows, and whether the chance of laying is right.

Each keeper's last season is foretold on days drawn at random, from what was on record before them, and held against
what came. A window of whole days holds a little more than the 80 % it is meant to hold; for the score a day is put at a
random point of its chance, so that the window of a right law holds 80 % exactly.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
from verification.calibration import Said, bias, bins, by_group, by_kind
from verification.season_keepers import Keeper, Truth, keeper

from holdback.collection.model import PartialDate
from holdback.season.cycles import cycles, past_seasons
from holdback.season.days import DayLaw
from holdback.season.incubation import warmth_of
from holdback.season.intervals import Intervals, Span
from holdback.season.laying import lays
from holdback.season.laying_past import Past
from holdback.season.outlook import Cycle
from holdback.species.catalogue import Catalogue, load

SHORT, FULL = 40, 400
"""Keepers."""
DAYS = 3
"""Days on which each keeper's season is foretold."""
COVERAGE, ALLOWED = 0.8, 0.02
BOUND = 4.0
"""Standard errors beyond what is allowed."""
LAYS = "she lays"


def drawn(keepers: int, seed: int) -> list[Said]:
    """Everything that is said of some keepers' last seasons."""
    catalogue = load()
    said: list[Said] = []
    for number, each in enumerate(np.random.SeedSequence(seed).spawn(keepers)):
        rng = np.random.default_rng(each)
        one = keeper(rng, catalogue)
        for offset in rng.integers(-15, 250, DAYS):
            today = dt.date(one.season, 1, 1) + dt.timedelta(days=int(offset))
            said += told(one, today, catalogue, rng, f"keeper {number}")
    return said


def told(one: Keeper, today: dt.date, catalogue: Catalogue, rng: np.random.Generator, name: str) -> Iterator[Said]:
    """What is said of one keeper's season on a day, and whether it is so."""
    intervals = Intervals.learned(one.collection, catalogue, before=today)
    past = Past.learned(past_seasons(one.collection, catalogue, today), catalogue)
    now = cycles(one.collection, one.season, catalogue, before=today)
    for true in one.truth:
        if true.season != one.season or true.dam not in now:
            continue
        cycle = now[true.dam]
        if not cycle.has_laid and cycle.together:
            yield from _laying(cycle, true, past, today, intervals, catalogue, rng, name)
        elif true.laid is not None and cycle.laid == true.laid:
            yield from _after_laying(one, true, today, intervals, rng, name)


def _laying(
    cycle: Cycle,
    true: Truth,
    past: Past,
    today: dt.date,
    intervals: Intervals,
    catalogue: Catalogue,
    rng: np.random.Generator,
    name: str,
) -> Iterator[Said]:
    if true.laid is not None and true.laid < today:
        return
    chance = lays(cycle, past, today=today, intervals=intervals, catalogue=catalogue)
    assert chance is not None
    last = f"last sign: {_last_sign(cycle)}"
    yield Said(LAYS, chance.p, true.laid is not None, name, (last,))
    if true.laid is not None and chance.law is not None:
        groups = (last, _of_own(past.n_days))
        yield Said("laying in its 80 % window", COVERAGE, _is_held(chance.law, true.laid, rng), name, groups)


def _last_sign(cycle: Cycle) -> str:
    if cycle.shed is not None:
        return "shed"
    if cycle.ovulated is not None:
        return "ovulation"
    return "follicles" if cycle.follicles else "paired"


def _after_laying(
    one: Keeper, true: Truth, today: dt.date, intervals: Intervals, rng: np.random.Generator, name: str
) -> Iterator[Said]:
    assert true.laid is not None
    assert true.hatched is not None
    assert true.ready is not None
    yesterday = today - dt.timedelta(days=1)
    if true.hatched >= today:
        celsius = warmth_of(one.collection, true.clutch, first=true.laid, last=yesterday)
        length = intervals.length(Span.LAYING_TO_HATCHING, dam=true.dam, celsius=celsius)
        kind, start, end = "hatching in its 80 % window", true.laid, true.hatched
        warmth = "warmth on record" if celsius is not None else "no warmth on record"
    else:
        hatched = one.collection.clutches[true.clutch].hatched
        if true.ready < today or hatched != PartialDate.parse(true.hatched.isoformat()):
            return
        length = intervals.length(Span.HATCHING_TO_READY, dam=true.dam)
        kind, start, end, warmth = "ready in its 80 % window", true.hatched, true.ready, ""
    assert length is not None
    law = DayLaw.on(start).plus(length.law).after(yesterday)
    if law is not None:
        groups = (_of_own(length.n_own), *((warmth,) if warmth else ()))
        yield Said(kind, COVERAGE, _is_held(law, end, rng), name, groups)


def _of_own(n: int) -> str:
    for most in (9, 29, 99):
        if n <= most:
            return f"up to {most} own records"
    return "100 own records and more"


def _is_held(law: DayLaw, day: dt.date, rng: np.random.Generator) -> bool:
    """Whether a day lies in the middle 80 %, at a random point of its own chance."""
    upto = law.chance_by(day) - law.chance_on(day) * rng.random()
    return bool((1 - COVERAGE) / 2 <= upto < (1 + COVERAGE) / 2)


def faults(said: Sequence[Said]) -> list[str]:
    """Windows that hold more or less than 78 to 82 %, and chances that are off, beyond chance; one line each."""
    found = [
        f"{one.kind}, {one.low:.0%} to {one.high:.0%}: said {one.said:.3f}, true {one.true:.3f}, {one.z:+.1f} errors"
        for one in bins(each for each in said if each.kind == LAYS)
        if one.is_judged and abs(one.z) > BOUND and abs(one.said - one.true) > ALLOWED
    ]
    for kind, each in by_kind(said).items():
        held, off = _share(each), abs(bias(each))
        away = abs(held - float(np.mean([one.chance for one in each])))
        if away > ALLOWED and off * (away - ALLOWED) / away > BOUND:
            found.append(f"{kind}: {held:.1%}")
    return found


def _share(said: Iterable[Said]) -> float:
    return float(np.mean([one.is_true for one in said]))


def windows_table(said: Sequence[Said]) -> str:
    """How many days came in their windows, of all and by group."""
    rows = ["| what | where | days | in the window |", "|---|---|---|---|"]
    windows = [one for one in said if one.kind != LAYS]
    for kind, each in by_kind(windows).items():
        rows.append(f"| {kind.removesuffix(' in its 80 % window')} | all | {len(each):,} | {_share(each):.1%} |")
        rows += [
            f"| {kind.removesuffix(' in its 80 % window')} | {group} | {len(part):,} | {_share(part):.1%} |"
            for (of, group), part in sorted(by_group(each).items())
            if of == kind
        ]
    return "\n".join(rows)


def chances_table(said: Sequence[Said]) -> str:
    """Said and true chance of laying, by tenths and by the last sign."""
    rows = ["| chance | females | said | true | errors |", "|---|---|---|---|---|"]
    of_laying = [one for one in said if one.kind == LAYS]
    rows += [
        f"| {one.low:.0%} to {one.high:.0%} | {one.count:,} | {one.said:.3f} | {one.true:.3f} | {one.z:+.1f} |"
        for one in bins(of_laying)
    ]
    for (_, group), part in sorted(by_group(of_laying).items()):
        mean = float(np.mean([one.chance for one in part]))
        rows.append(f"| {group} | {len(part):,} | {mean:.3f} | {_share(part):.3f} | {bias(part):+.1f} |")
    return "\n".join(rows)
