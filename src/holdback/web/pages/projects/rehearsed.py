"""What a rehearsal of the way says: chance by year, goal animals by year, and what it takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holdback.collection.estimate import Basis
from holdback.decisions.kind_words import in_hundred
from holdback.decisions.rehearsal import Rehearsal, Spread
from holdback.web.pages.charts import Axis, Band, Curve, Figure
from holdback.web.pages.components import Column, LedgerRow, Table
from holdback.web.pages.projects.words import FAILS, FAILS_HOW, points
from holdback.web.pages.wording import counted, number, percent

HUNDRED = Axis(100.0, tuple((float(value), str(value)) for value in (0, 25, 50, 75, 100)))
_NINE = "Nine in ten rehearsals lie in this range."
_STRETCH = 1.96
"""Standard errors on either side that hold 19 in 20 repeats."""


@dataclass(frozen=True, slots=True)
class FigureShown:
    """A figure: its message, how to read it, the drawing and the numbers behind it."""

    message: str
    how: str
    figure: Figure
    numbers: Table


@dataclass(frozen=True, slots=True)
class RehearsedShown:
    """A rehearsal on the page.

    Parameters
    ----------
    runs, seed : int
        How it was played.
    chance, number : FigureShown
        Chance by year, and goal animals by year.
    rows : list of LedgerRow
        What it takes, and what it fails by.
    notes : tuple of str
        What it rests on.
    """

    runs: int
    seed: int
    chance: FigureShown
    number: FigureShown
    rows: list[LedgerRow]
    notes: tuple[str, ...]


def rehearsed_shown(found: Rehearsal, *, is_dated: bool, currency: str = "") -> RehearsedShown:
    """A rehearsal, ready for the page.

    Parameters
    ----------
    found : Rehearsal
        As played.
    is_dated : bool
        Whether the keeper named the year that it is wished by.
    currency : str
        Of money; empty for none.
    """
    return RehearsedShown(
        found.runs,
        found.seed,
        _chance(found, is_dated=is_dated),
        _number(found, is_dated=is_dated),
        _rows(found, currency),
        found.notes,
    )


def _chance(found: Rehearsal, *, is_dated: bool) -> FigureShown:
    means = [100 * one.mean for one in found.reached_by_season]
    spread = [100 * _STRETCH * one.se for one in found.reached_by_season]
    upper = [(float(at), min(mean + by, 100.0)) for at, (mean, by) in enumerate(zip(means, spread, strict=True))]
    lower = [(float(at), max(mean - by, 0.0)) for at, (mean, by) in enumerate(zip(means, spread, strict=True))]
    curve = Curve([(float(at), mean) for at, mean in enumerate(means)], "me", "this way", len(means) // 2)
    by = found.by_wished
    said = ", ".join(f"{year}: {in_hundred(one.mean)}" for year, one in found.by_year.items())
    figure = Figure(
        _years(found),
        HUNDRED,
        f"Chance of having reached the goal by year. {said}.",
        height=230,
        bands=(Band(upper, lower, is_fan=True),),
        curves=(curve,),
        here=(float(found.wished), "your date") if is_dated else None,
    )
    table = Table(
        [Column("By the end of"), Column("There"), Column("Give or take")],
        [
            [str(year), in_hundred(one.mean), f"{100 * _STRETCH * one.se:.1f}"]
            for year, one in found.by_year.items()
        ],
        is_cards=False,
    )  # fmt: skip
    message = f"{in_hundred(by.mean)} by {found.year + found.wished}."
    how = "Rehearsals of a hundred that are there by the end of the year; the shade is the error of rehearsing."
    return FigureShown(f"{message[:1].upper()}{message[1:]}", how, figure, table)


def _number(found: Rehearsal, *, is_dated: bool) -> FigureShown:
    low, low_half, middle, high_half, high = (
        [(float(at), float(row[column])) for at, row in enumerate(found.fan)] for column in range(5)
    )
    most = max(value for _, value in high)
    top = max(2, int(most) + (int(most) % 2))
    ticks = tuple((float(value), str(value)) for value in range(0, top + 1, max(1, top // 4)))
    last, year = found.fan[-1], found.year + len(found.fan) - 1
    figure = Figure(
        _years(found),
        Axis(float(top), ticks),
        f"Animals that meet the goal, by year. In the middle rehearsal {last[2]:.0f} by {year}, in nine of ten "
        f"{last[0]:.0f} to {last[4]:.0f}.",
        height=170,
        bands=(
            Band(high, low, "nine in ten", is_fan=True, is_word_low=False),
            Band(high_half, low_half, is_fan=True),
        ),
        curves=(Curve(middle, "me", "middle"),),
        here=(float(found.wished), "your date") if is_dated else None,
    )
    table = Table(
        [Column("By"), Column("Middle"), Column("Half of all"), Column("Nine in ten")],
        [
            [str(found.year + at), f"{row[2]:.0f}", f"{row[1]:.0f}–{row[3]:.0f}", f"{row[0]:.0f}–{row[4]:.0f}"]
            for at, row in enumerate(found.fan)
        ],
        is_cards=False,
    )
    middle_last = found.fan[found.wished][2]
    message = (
        f"{counted(int(middle_last), 'such animal')} in the middle rehearsal."
        if middle_last
        else "None in the middle rehearsal."
    )
    how = (
        "Animals that meet the goal, hatched up to each year. Shades: where half and where nine in ten rehearsals end."
    )
    return FigureShown(message, how, figure, table)


def _years(found: Rehearsal) -> Axis:
    count = len(found.reached_by_season)
    return Axis(float(count - 1), tuple((float(at), str(found.year + at)) for at in range(count)))


def _rows(found: Rehearsal, currency: str) -> list[LedgerRow]:
    rows = [
        _row(f"There by {found.year + found.wished}", in_hundred(found.by_wished.mean), "", _error(found)),
        _there(found),
        _spread("Eggs", found.eggs, f"Until the goal or the last year played. {_NINE}"),
        _spread("Clutches", found.clutches, "Those of this season that are made already among them."),
        _spread("Held back", found.kept, "Young kept to breed on."),
        _tubs(found),
    ]
    if found.money is not None:
        rows.append(_spread("Money", found.money, f"{currency}. By your own prices.".lstrip(". ")))
    if found.share is not None and found.true_share is not None:
        ground = "By pedigree; nine in ten goal animals truly have what the range says, and no look shows it."
        rows.append(
            _row(
                "Line",
                percent(found.share.mean),
                f"{percent(found.true_share.low)}–{percent(found.true_share.high)}",
                ground,
            )
        )
    if found.inbreeding is not None:
        rows.append(_row("Inbreeding", percent(found.inbreeding.mean), "", "Of the goal animals, in the mean."))
    return [*rows, *_failures(found)]


def _error(found: Rehearsal) -> str:
    return f"{points(found.by_wished)[:1].upper()}{points(found.by_wished)[1:]}: the error of rehearsing."


def _there(found: Rehearsal) -> LedgerRow:
    """The year by which half of the rehearsals are there."""
    played = len(found.reached_by_season)

    def year(season: float) -> str:
        return str(found.year + int(season)) if season < played else f"past {found.year + played - 1}"

    spread = found.seasons
    middle = year(spread.middle)
    ground = "Half of the rehearsals are there by then." if spread.middle < played else "Fewer than half get there."
    return _row("Year", middle, f"{year(spread.low)} to {year(spread.high)}", ground)


def _tubs(found: Rehearsal) -> LedgerRow:
    most = max(found.history, key=lambda one: one.tubs_high)
    high = number(most.tubs_high)
    if not most.tubs_high:
        return _row("Tubs", "0", "", "Nothing has to be grown on for it.")
    return _row("Tubs", high, "", f"Enough in 95 of 100 rehearsals; the most in {most.year}.")


def _failures(found: Rehearsal) -> Sequence[LedgerRow]:
    for reason, part in list(found.failures.items())[:1]:
        rest = [f"{FAILS[one]} {in_hundred(chance)}" for one, chance in list(found.failures.items())[1:3]]
        also = f" Then: {', '.join(rest)}." if rest else ""
        return [
            LedgerRow("Fails most by", FAILS[reason], ground=f"In {in_hundred(part)} {FAILS_HOW[reason]}.{also}")
        ]  # fmt: skip
    return []


def _spread(name: str, spread: Spread, ground: str) -> LedgerRow:
    return _row(name, number(spread.middle), f"{number(spread.low)}–{number(spread.high)}", ground)


def _row(name: str, value: str, among: str, ground: str) -> LedgerRow:
    return LedgerRow(name, value, among, Basis.REHEARSED, ground, "rehearsed")
