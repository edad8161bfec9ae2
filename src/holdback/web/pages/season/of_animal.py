"""One animal in this season: her band and what comes next, or whom he was with; and whether it may breed."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.safestring import SafeString

from holdback.answers.season import Season
from holdback.answers.season.words import day_words
from holdback.season.by_season import first_day
from holdback.season.outlook import Fitness, Reason
from holdback.web.pages.season.band import months_head
from holdback.web.pages.season.breeders import WORDS
from holdback.web.pages.season.names import Names
from holdback.web.pages.season.page import BandRow, anchor_of, band_row, is_blank, season_end
from holdback.web.pages.season.scale import Scale
from holdback.web.pages.wording import counted


@dataclass(frozen=True, slots=True)
class ThisSeason:
    """What the entry says.

    Parameters
    ----------
    year : int
        Season by the year of laying.
    row : BandRow or None
        Her band; None for a male.
    scale_months : safe mark-up
        Names of the months over the band.
    anchor : str
        Where her band stands on the season page; empty for a male.
    is_blank : bool
        Whether nothing is on record of her season.
    with_whom : tuple of (safe mark-up, str)
        Of a male: females and when.
    verdict : str
        Whether it may breed, in words; empty where it is too young to ask.
    reasons : tuple of Reason
        Why.
    """

    year: int
    row: BandRow | None
    scale_months: SafeString
    anchor: str
    is_blank: bool
    with_whom: tuple[tuple[SafeString, str], ...]
    verdict: str
    reasons: tuple[Reason, ...]

    @property
    def says_nothing(self) -> bool:
        """Whether there is nothing to tell."""
        return self.row is None and not self.with_whom and not self.verdict


def this_season(season: Season, animal: str) -> ThisSeason:
    """What the season says of an animal.

    Parameters
    ----------
    season : Season
        As it stands today.
    animal : str
        Id.
    """
    outlook = season.outlook(animal)
    fit = next((one for one in season.fitness if one.animal == animal), None)
    dams = [one.cycle.dam for one in season.outlooks if any(stay.sire == animal for stay in one.cycle.together)]
    sires = [stay.sire for stay in outlook.cycle.together] if outlook else []
    names = Names.of(season.collection, [animal, *dams, *sires])
    row, months = None, SafeString()
    if outlook:
        scale = Scale.holding(first_day(season.year, season.catalogue), season_end(season), [outlook])
        row = band_row(outlook, season, names, scale, {animal: fit} if fit else {})
        months = months_head(scale)
    return ThisSeason(
        year=season.year,
        row=row,
        scale_months=months,
        anchor=anchor_of(animal) if outlook else "",
        is_blank=outlook is not None and is_blank(outlook.cycle),
        with_whom=tuple(_females(season, names, animal)),
        verdict=_verdict(fit),
        reasons=fit.reasons if fit else (),
    )


def _verdict(fit: Fitness | None) -> str:
    return "" if fit is None else f"{WORDS[fit.verdict].capitalize()}."


def _females(season: Season, names: Names, sire: str) -> list[tuple[SafeString, str]]:
    found = []
    for outlook in season.outlooks:
        stays = [stay for stay in outlook.cycle.together if stay.sire == sire]
        if stays:
            days = [day for stay in stays for day in (stay.first, stay.last) if day]
            last = f"last {day_words(max(days), today=season.on)}" if days else "no day written"
            locks = sum(stay.locks for stay in stays)
            parts = [counted(len(stays), "time"), last, counted(locks, "lock") if locks else "no lock written"]
            found.append((names.link(outlook.cycle.dam), ", ".join(parts)))
    return found
