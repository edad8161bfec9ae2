"""The year of the females: their bands, those without anything on record, and what the page answers first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString

from holdback.answers.season import Season
from holdback.season.by_season import first_day
from holdback.season.outlook import Cycle, Fitness, Outlook, Step, Verdict
from holdback.web.pages.season.asked import Asked
from holdback.web.pages.season.band import band, months_head
from holdback.web.pages.season.names import Names
from holdback.web.pages.season.scale import Scale
from holdback.web.pages.season.words import Next, band_words, lede, next_of
from holdback.web.pages.wording import counted


@dataclass(frozen=True, slots=True)
class BandRow:
    """One female: who, with whom, her band, and what comes next.

    Parameters
    ----------
    anchor : str
        Id of the band in the page.
    who : safe mark-up
        Name and id, linked.
    males : str
        With whom.
    drawing : safe mark-up
        Her band.
    next : Next
        What comes next.
    caution : str
        Sentence that sends her to a vet, or empty.
    """

    anchor: str
    who: SafeString
    males: str
    drawing: SafeString
    next: Next
    caution: str


@dataclass(frozen=True, slots=True)
class Year:
    """Everything that the entry on the year shows.

    Parameters
    ----------
    months : safe mark-up
        Names of the months.
    bands : tuple of BandRow
        Females with something on record, the next event first.
    idle : tuple of safe mark-up
        Females with nothing on record, linked.
    males : list of (str, str)
        Ids and names of the males of the season.
    over, plain, doubt : str
        Line over the title; what the page answers, and the uncertain part of it.
    shown, total : int
        Females shown, and in all.
    """

    months: SafeString
    bands: tuple[BandRow, ...]
    idle: tuple[SafeString, ...]
    males: list[tuple[str, str]]
    over: str
    plain: str
    doubt: str
    shown: int
    total: int


def anchor_of(dam: str) -> str:
    """Id of a band in the page."""
    return "band-" + "".join(letter if letter.isalnum() else "-" for letter in dam)


def year_of(season: Season, names: Names, asked: Asked) -> Year:
    """The year of the females that are asked for.

    Parameters
    ----------
    season : Season
        As it stands today.
    names : Names
        Of the females and males.
    asked : Asked
        Which of them.
    """
    today = season.on
    taken = [one for one in season.outlooks if asked.takes(one, names)]
    is_idle_told = not asked.is_any
    idle = [one for one in taken if is_idle_told and is_blank(one.cycle) and not one.caution]
    busy = [one for one in taken if not (is_idle_told and is_blank(one.cycle) and not one.caution)]
    busy.sort(key=lambda one: not one.caution)
    scale = Scale.holding(first_day(season.year, season.catalogue), season_end(season), busy)
    fits = {one.animal: one for one in season.fitness}
    plain, doubt = lede(list(season.outlooks), names, today=today)
    return Year(
        months=months_head(scale),
        bands=tuple(band_row(one, season, names, scale, fits) for one in busy),
        idle=tuple(names.link(one.cycle.dam) for one in idle),
        males=_males(season.outlooks, names),
        over=_over(season),
        plain=plain,
        doubt=doubt,
        shown=len(taken),
        total=len(season.outlooks),
    )


def ids_of(season: Season) -> set[str]:
    """Ids of everybody the page names."""
    found = {one.animal for one in season.fitness}
    for one in season.outlooks:
        found |= {one.cycle.dam, *(stay.sire for stay in one.cycle.together)}
    return found


def is_blank(cycle: Cycle) -> bool:
    """Whether nothing of a season is on record."""
    return not (cycle.together or cycle.follicles or cycle.has_laid or cycle.rests or cycle.ovulated or cycle.shed)


def season_end(season: Season) -> dt.date:
    """Last day of a season."""
    return first_day(season.year + 1, season.catalogue) - dt.timedelta(days=1)


def band_row(
    outlook: Outlook, season: Season, names: Names, scale: Scale, fits: Mapping[str, Fitness]
) -> BandRow:  # fmt: skip
    """One female as a line of the page.

    Parameters
    ----------
    outlook : Outlook
        Where she stands.
    season : Season
        Her season.
    names : Names
        Of her and her males.
    scale : Scale
        Of the band.
    fits : mapping of str to Fitness
        Who may breed, by id.
    """
    cycle, today = outlook.cycle, season.on
    said = next_of(
        outlook,
        season.clutches.get(cycle.clutch) if cycle.clutch else None,
        today=today,
        why_not=_why_not(fits.get(cycle.dam)),
    )
    return BandRow(
        anchor=anchor_of(cycle.dam),
        who=names.link(cycle.dam),
        males=_with(cycle, names, outlook.step),
        drawing=band(outlook, scale, today=today, said=band_words(outlook, names, said, today=today)),
        next=said,
        caution=outlook.caution,
    )


def _why_not(fit: Fitness | None) -> str:
    if fit is None:
        return ""
    return next((reason.text for reason in fit.reasons if reason.verdict is not Verdict.MAY), "")


def _with(cycle: Cycle, names: Names, step: Step) -> str:
    males = list(dict.fromkeys(stay.sire for stay in cycle.together))
    if males:
        return f"with {' and '.join(names.label(one) for one in males)}"
    return "rests this year" if step is Step.RESTS and cycle.rests else ""


def _males(outlooks: Sequence[Outlook], names: Names) -> list[tuple[str, str]]:
    found = {stay.sire for one in outlooks for stay in one.cycle.together}
    return sorted(((one, names.label(one)) for one in found), key=lambda one: one[1])


def _over(season: Season) -> str:
    """Line over the title: females, clutches, the day."""
    laid = sum(one.cycle.has_laid for one in season.outlooks)
    clutches = f"{counted(laid, 'female')} laid" if laid else "nobody laid yet"
    day = f"{season.on:%A} {season.on.day} {season.on:%B}"
    return f"{counted(len(season.outlooks), 'female')} · {clutches} · {day}"
