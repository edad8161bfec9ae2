"""Who of a line should breed in the open season, and how much each should give."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from holdback.answers.decisions.line_breeding import Breeder, LineBreeding, LineClutch, Trade
from holdback.answers.decisions.line_breeding_words import mind
from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Sex
from holdback.decisions.contributions import (
    Contributions,
    LitterLimits,
    Litters,
    contributions,
    frontier,
    kinship_limit,
    least_inbreeding,
    least_litters,
    litters,
)
from holdback.decisions.stock import FloatArray, IntArray
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions

Cancelled = Callable[[], bool]
BoolArray = npt.NDArray[np.bool_]

SHARE = 0.25
"""Least share of the line that counts an animal to it, where nobody says (assumed)."""
RATE = 0.01
"""Rise of the kinship a generation, where nobody says (common practice, no source)."""
INBREEDING = 0.125
"""Largest inbreeding coefficient of the young of a pair, where nobody says."""
MOST_CLUTCHES = 200
_ALIKE = 1e-6
"""Spread of breeding values, in ln, below which they tell nobody apart."""
_Z = 1.6448536269514722
_POINTS = 13


@dataclass(frozen=True, slots=True)
class LineWish:
    """What is asked of a line.

    Parameters
    ----------
    share : float
        Least share of the line that counts an animal to it, in [0, 1]; 0 takes all that have any.
    rate : float
        Rise of the mean kinship that is allowed for this generation, in [0, 1].
    clutches : int or None
        Clutches of the line in the season; half of the females that can breed if left out.
    inbreeding_at_most : float
        Largest inbreeding coefficient of the young of a pair, in [0, 1].
    """

    share: float = SHARE
    rate: float = RATE
    clutches: int | None = None
    inbreeding_at_most: float = INBREEDING


def contributions_of(
    decisions: Decisions, line: str, wish: LineWish, *, cancelled: Cancelled | None = None
) -> LineBreeding:
    """Who of a line should breed in the open season, in whole clutches, and what inbreeding buys in size.

    Parameters
    ----------
    decisions : Decisions
        Animals at hand on a day.
    line : str
        Name of the line, whatever the case of the letters.
    wish : LineWish
        Whom it counts, how much inbreeding, how many clutches.
    cancelled : callable, optional
        Ends the search early with the best clutches so far.

    Raises
    ------
    PedigreeError
        PED-011 if no claim names the line.
    DecisionError
        DEC-108 if no male or no female of it can breed in the season, DEC-109 if a number is out of range, DEC-104 if
        its animals cannot be put to each other within the limits.

    Notes
    -----
    The limit on the mean kinship of the young is the least that whole clutches of these animals were found to have,
    and what one generation at the rate adds. Where no breeding values tell the animals apart, the clutches with the
    least kinship are given.
    """
    _check(wish)
    line = decisions.answers.descent.line_named(line)
    group = _Group.of(decisions, line, wish)
    limits = LitterLimits(
        group.clutches, 1.0, group.caps, wish.inbreeding_at_most, barred=_barred(decisions, group, wish)
    )
    asked = (group.animals, group.gains, group.kinship, group.sexes)
    least = least_litters(*asked, limits)
    limit = kinship_limit(least.group_kinship, wish.rate)
    most = np.minimum(group.caps / (2 * group.clutches), 0.5)
    if group.is_by_size:
        whole = litters(*asked, replace(limits, group_kinship_at_most=limit), start=least.clutches, cancelled=cancelled)
        best = contributions(*asked, group_kinship_at_most=limit, most=most)
        points = frontier(*asked, most=most, points=_POINTS)
    else:
        whole, best = least, least_inbreeding(*asked, most=most)
        points = ()
    return _told(decisions, group, wish, whole=whole, least=least, best=best, points=points)


def _check(wish: LineWish) -> None:
    given = {"share": wish.share, "rate": wish.rate, "inbreeding": wish.inbreeding_at_most}
    faults = [
        Fault("DEC-109", f"The {name} {value:g} is out of range.", "Give 0 to 1.", field=name, value=f"{value:g}")
        for name, value in given.items()
        if not 0 <= value <= 1
    ]
    if wish.clutches is not None and not 1 <= wish.clutches <= MOST_CLUTCHES:
        what = f"{wish.clutches} clutches cannot be planned."
        hint = f"Give 1 to {MOST_CLUTCHES}."
        faults.append(Fault("DEC-109", what, hint, field="clutches", value=str(wish.clutches)))
    if faults:
        raise DecisionError(faults)


@dataclass(frozen=True, eq=False)
class _Group:
    """Animals of a line that can breed in a season, n of them, and those that cannot, by place in the stock."""

    line: str
    year: int
    animals: tuple[str, ...]
    sexes: tuple[Sex, ...]
    shares: FloatArray
    gains: FloatArray
    spreads: FloatArray
    kinship: FloatArray
    caps: IntArray
    lays: FloatArray
    clutches: int
    is_by_size: bool
    n_weighed: int
    waiting: tuple[tuple[str, str], ...]

    @classmethod
    def of(cls, decisions: Decisions, line: str, wish: LineWish) -> _Group:
        """The animals of a line at hand.

        Raises
        ------
        DecisionError
            DEC-108, DEC-109; see `contributions_of`.
        """
        stock, year = decisions.stock, decisions.open_year
        shares = stock.shares[line]
        season = year - stock.year
        members = [at for at in range(len(stock.animals)) if shares[at] >= max(wish.share, 1e-9) - 1e-9]
        there = [at for at in members if stock.ready[at] <= season and np.isfinite(stock.kinship[at]).all()]
        sexes = tuple(stock.sexes[at] for at in there)
        clutches = _clutches(line, sexes, wish, year)
        gains = stock.size_mean[there]
        known = np.isfinite(gains)
        is_by_size = bool(known.all()) and float(np.ptp(gains)) > _ALIKE
        spreads = stock.size_sd[there]
        return cls(
            line=line,
            year=year,
            animals=tuple(stock.animals[at] for at in there),
            sexes=sexes,
            shares=shares[there],
            gains=gains if is_by_size else np.zeros(len(there)),
            spreads=spreads if is_by_size else np.full(len(there), np.nan),
            kinship=stock.kinship[np.ix_(there, there)],
            caps=stock.clutches[there],
            lays=stock.lays[there],
            clutches=clutches,
            is_by_size=is_by_size,
            n_weighed=sum(_is_weighed(decisions, stock.animals[at]) for at in there),
            waiting=tuple(
                (stock.animals[at], stock.why_not.get(stock.animals[at], "It cannot breed by then."))
                for at in members
                if at not in there
            ),
        )


def _is_weighed(decisions: Decisions, animal: str) -> bool:
    """Whether weights of its own speak for its size."""
    found = decisions.answers.sizes.of(animal)
    return found.n_weights > found.n_left_out


def _clutches(line: str, sexes: Sequence[Sex], wish: LineWish, year: int) -> int:
    """Clutches to plan: as asked, else half of the females."""
    for sex, name in ((Sex.MALE, "male"), (Sex.FEMALE, "female")):
        if sex not in sexes:
            what = f"No {name} with a share of {100 * wish.share:g} % of {line} or more can breed in {year}."
            raise DecisionError(Fault("DEC-108", what, f"Count in a smaller share, or borrow a {name}.", field="share"))
    females = sum(one is Sex.FEMALE for one in sexes)
    if wish.clutches is None:
        return max(1, math.ceil(females / 2))
    if wish.clutches > females:
        what = f"{wish.clutches} clutches of {line} are asked for, and {females} females of it can breed in {year}."
        hint = f"Give {females} at most, or count in a smaller share."
        raise DecisionError(Fault("DEC-109", what, hint, field="clutches", value=str(wish.clutches)))
    return wish.clutches


def _barred(decisions: Decisions, group: _Group, wish: LineWish) -> BoolArray:
    """Pairs of the group that a caution stands against, shape (n, n), sires in rows."""
    from holdback.decisions.barring import Barring
    from holdback.decisions.goal import Goal

    goal = Goal(name=group.line, want="", inbreeding_at_most=wish.inbreeding_at_most)
    barring = Barring(decisions.stock, goal, decisions.welfare, group.year - decisions.stock.year)
    found = np.zeros((len(group.animals), len(group.animals)), dtype=np.bool_)
    for row, sire in enumerate(group.animals):
        for column, dam in enumerate(group.animals):
            if group.sexes[row] is Sex.MALE and group.sexes[column] is Sex.FEMALE:
                found[row, column] = not barring.may_pair(sire, dam)
    return found


def _told(
    decisions: Decisions,
    group: _Group,
    wish: LineWish,
    *,
    whole: Litters,
    least: Litters,
    best: Contributions,
    points: Sequence[Contributions],
) -> LineBreeding:
    """The answer in the numbers that are shown."""
    breeders = tuple(_breeder(group, at, whole, best) for at in range(len(group.animals)))
    used = whole.clutches / (2 * group.clutches)
    found = LineBreeding(
        line=group.line,
        year=group.year,
        clutches=group.clutches,
        is_by_size=group.is_by_size,
        rate=wish.rate,
        least_share=wish.share,
        inbreeding_at_most=wish.inbreeding_at_most,
        pairs=tuple(_clutch(decisions, group, *one) for one in whole.pairs),
        breeders=tuple(sorted(breeders, key=lambda one: (-one.clutches, -one.part, one.animal))),
        waiting=group.waiting,
        least_kinship=least.group_kinship,
        limit=kinship_limit(least.group_kinship, wish.rate),
        kinship=whole.group_kinship,
        share=float(used @ group.shares),
        size=_size(group, used) if group.is_by_size else None,
        best_size=100 * math.expm1(best.gain) if group.is_by_size else None,
        could_gain=0.0 if not group.is_by_size or whole.is_best else 100 * math.expm1(max(whole.gap, 0.0)),
        trades=tuple(
            Trade(one.group_kinship, 100 * math.expm1(one.gain), int((one.shares > _ALIKE).sum())) for one in points
        ),
        percent_costs=_price(best) if group.is_by_size else None,
    )
    return replace(found, notes=mind(found, decisions.stock.names, n_weighed=group.n_weighed))


def _breeder(group: _Group, at: int, whole: Litters, best: Contributions) -> Breeder:
    return Breeder(
        animal=group.animals[at],
        sex=group.sexes[at],
        share=float(group.shares[at]),
        size=_size(group, np.eye(len(group.animals))[at]) if group.is_by_size else None,
        kinship=float(np.delete(group.kinship[at], at).mean()) if len(group.animals) > 1 else 0.0,
        part=float(best.shares[at]),
        clutches=int(whole.clutches[at]),
        clutches_at_most=int(group.caps[at]),
    )


def _size(group: _Group, parts: FloatArray) -> Estimate:
    """Breeding value of young of whom the animals are such parts, as percent; the range lets all be wrong together."""
    mean, spread = float(parts @ group.gains), _Z * float(parts @ group.spreads)
    low, middle, high = (100 * math.expm1(one) for one in (mean - spread, mean, mean + spread))
    ground = "Weights of its kin and of its line; the range lets all values be wrong together."
    return Estimate(middle, low, high, "%", Basis.BY_DESCENT, ground)


def _clutch(decisions: Decisions, group: _Group, sire: str, dam: str, inbreeding: float) -> LineClutch:
    one, other = group.animals.index(sire), group.animals.index(dam)
    parts = np.zeros(len(group.animals))
    parts[[one, other]] = 0.5
    return LineClutch(
        sire=sire,
        dam=dam,
        inbreeding=inbreeding,
        share=float(parts @ group.shares),
        size=_size(group, parts) if group.is_by_size else None,
        lays=float(group.lays[other]),
        cautions=tuple(one.message for one in decisions.welfare.of_pair(sire, dam)),
    )


def _price(best: Contributions) -> float | None:
    """Rise of the mean kinship for one more percent of size at the limit; None where the limit does not bind."""
    worth = best.worth_of_limit
    return None if worth <= 0 or math.isinf(worth) else math.log(1.01) / worth
