"""What a keeper asks of all clutches: shares, losses, use of males, sexes and looks, growth by feeding, dams."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdback.answers.season import Season
from holdback.answers.season.words import day_words
from holdback.collection.estimate import Estimate
from holdback.season.feed_gain import FeedGain
from holdback.season.male_use import MaleSeason
from holdback.season.outlook import RatioTest
from holdback.season.statistics import Statistics
from holdback.web.pages.components import Column, LedgerRow, Table
from holdback.web.pages.season.names import Names
from holdback.web.pages.season.shares import Told, estimate_cell, share_cell, told_share
from holdback.web.pages.size.words import signed_percent, signed_span
from holdback.web.pages.wording import GAP, counted, number, quantity

LISTED = 40
"""Rows listed of a long table."""


@dataclass(frozen=True, slots=True)
class Counts:
    """Everything the page shows.

    Parameters
    ----------
    shares : tuple of Told
        Hatched, slugs, lost.
    causes : Table or None
        Good eggs lost by cause.
    males, males_before : Table or None
        Use of the males in the last season, and in those before.
    sexes : RatioTest
        Males and females among the young.
    feeding, dams : Table or tuple
        Gain by prey; clutch beside dam.
    notes : tuple of str
        What was left out and why.
    n_clutches, n_counted : int
        Clutches on record, and those counted for hatching.
    """

    shares: tuple[Told, ...]
    causes: Table | None
    males: Table | None
    males_before: Table | None
    sexes: RatioTest
    feeding: Table | None
    dams: tuple[LedgerRow, ...]
    notes: tuple[str, ...]
    n_clutches: int
    n_counted: int


def counts_of(season: Season, found: Statistics, names: Names) -> Counts:
    """What the page says of the statistics.

    Parameters
    ----------
    season : Season
        As it stands today.
    found : Statistics
        Of all clutches.
    names : Names
        Of everybody in them.
    """
    usual = found.usual
    shares = (
        told_share("Hatched", "hatched", "hatched", found.hatched, names, usual.get("hatch_rate")),
        told_share("Slugs", "slugs", "were slugs", found.slugs, names, usual.get("slug_rate")),
        told_share("Lost", "lost", "were lost", found.lost, names, None, egg="good egg"),
    )
    return Counts(
        shares=tuple(one for one in shares if one),
        causes=_causes(found.causes),
        males=_males(_of_last_season(found.males, is_last=True), names),
        males_before=_males(_of_last_season(found.males, is_last=False), names),
        sexes=found.sexes,
        feeding=_feeding(found.feeding.rows, names, season),
        dams=_dams(found),
        notes=found.notes,
        n_clutches=len(found.records),
        n_counted=sum(not one.left_out for one in found.records),
    )


def ids_counted(found: Statistics) -> set[str]:
    """Ids of everybody in the statistics."""
    sires = {sire.animal for one in found.records for sire in one.sires}
    return (
        {one.dam for one in found.records}
        | sires
        | {one.sire for one in found.males}
        | {one.animal for one in found.feeding.rows}
    )


def looks_table(looks: Mapping[str, RatioTest]) -> Table | None:
    """Genes with what came beside what was foretold, the least likely first; None where no look is on record."""
    told = [(gene, test) for gene, test in looks.items() if test.n]
    if not told:
        return None
    heads = [Column("Gene"), Column("Young", is_number=True), Column("What came", is_full=True)]
    return Table(heads, [[gene, str(test.n), test.said] for gene, test in told])


def _causes(causes: Mapping[str, int]) -> Table | None:
    if not causes:
        return None
    heads = [Column("Cause as written"), Column("Good eggs lost", is_number=True)]
    return Table(heads, [[cause or "nobody wrote why", str(count)] for cause, count in causes.items()], is_cards=False)


def _of_last_season(males: Sequence[MaleSeason], *, is_last: bool) -> list[MaleSeason]:
    last = max((one.season for one in males), default=0)
    return [one for one in males if (one.season == last) is is_last]


def _males(males: Sequence[MaleSeason], names: Names) -> Table | None:
    if not males:
        return None
    heads = [
        Column("Male"),
        Column("Season", is_number=True),
        Column("Females", is_number=True),
        Column("Locks", is_number=True),
        Column("Clutches", is_number=True),
        Column("Slugs", is_full=True),
        Column("His mass", is_full=True),
    ]
    return Table(heads, [_male(one, names) for one in males[:LISTED]])


def _male(one: MaleSeason, names: Names) -> list[str]:
    return [
        names.link(one.sire),
        str(one.season),
        str(one.females) if one.females else "—",
        str(one.locks) if one.females else "—",
        number(one.clutches, 1),
        share_cell(one.slugs.share) if one.slugs else "—",
        _mass_cell(one.mass_change),
    ]


def _mass_cell(change: Estimate | None) -> str:
    if change is None:
        return "not weighed twice"
    return estimate_cell(signed_percent(change.mean), signed_span(change.low, change.high), change.basis)


def _feeding(rows: Sequence[FeedGain], names: Names, season: Season) -> Table | None:
    if not rows:
        return None
    heads = [
        Column("Animal"),
        Column("From … to", is_full=True),
        Column("Meals", is_number=True),
        Column("Prey", is_number=True),
        Column("Gained", is_number=True),
        Column("For 100 g of prey"),
    ]
    return Table(heads, [_gain(row, names, season) for row in rows[:LISTED]])


def _gain(row: FeedGain, names: Names, season: Season) -> list[str]:
    days = f"{day_words(row.first, today=season.on)} to {day_words(row.last, today=season.on)}"
    return [
        names.link(row.animal),
        days,
        str(row.meals),
        quantity(row.prey_g, "g"),
        quantity(row.gain_g, "g"),
        quantity(100 * row.gain_per_prey, "g") if row.gain_g <= row.prey_g else "more than it ate: meals are missing",
    ]


def _dams(found: Statistics) -> tuple[LedgerRow, ...]:
    dams, size = found.dams, found.usual.get("clutch_size_mean")
    rows = []
    if dams.eggs:
        rows.append(LedgerRow.of("Eggs of a clutch", dams.eggs, digits=1))
    if size:
        ground = f"{size.mark}{f' ({size.source})' if size.source else ''}. {size.note}".strip()
        rows.append(LedgerRow("Usual", f"{number(size.value, 1)}{GAP}eggs", ground=ground))
    if dams.mass_share:
        rows.append(LedgerRow.of("Clutch, of her mass", dams.mass_share))
    if dams.eggs_per_100_g:
        rows.append(LedgerRow.of("For 100 g more of her", dams.eggs_per_100_g, digits=2))
    return tuple(rows)


def counted_words(counts: Counts) -> str:
    """How many clutches the answers rest on."""
    if not counts.n_clutches:
        return "No clutch is on record yet."
    said = f"{counts.n_counted} of {counted(counts.n_clutches, 'clutch', 'clutches')} on record are counted."
    return said if counts.n_counted > 2 else f"{said} From so few little can be told."
