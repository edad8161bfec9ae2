"""What the page of hold-back day says, ready for the template."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holdback.collection.estimate import Estimate
from holdback.decisions.holdbacks import ForSale, HoldBacks, Ranked
from holdback.web.pages.wording import GAP, listed
from holdback.web.records.models import Animal, Clutch, Project
from holdback.web.records.queries import present_animals

_SHOWN = 5
"""Hatchlings beyond those kept that are shown at once; those that change nothing are folded away."""


@dataclass(frozen=True, slots=True)
class Row:
    """One hatchling on the page.

    Parameters
    ----------
    animal : Animal or None
        Record; None where it went meanwhile.
    tag : str
        Its id.
    sex : str
        Female, male, or not known.
    shows, carries : str
        In trade words; a dash where nothing is carried.
    share : str
        Expected share of the lines asked for; empty where none is.
    mass, beyond_egg : str
        Hatching mass, and against its egg; a dash where it was not weighed.
    adds : tuple of str
        Reasons.
    is_first_out : bool
        Whether the tubs end above it.
    """

    animal: Animal | None
    tag: str
    sex: str
    shows: str
    carries: str
    share: str
    mass: str
    beyond_egg: str
    adds: tuple[str, ...]
    is_first_out: bool


@dataclass(frozen=True, slots=True)
class Choice:
    """One clutch to choose from."""

    tag: str
    parents: str
    young: int
    is_chosen: bool


@dataclass(frozen=True, slots=True)
class ToHold:
    """One hatchling to hold back, and the project that gains most by it."""

    tag: str
    project: Project


@dataclass(frozen=True, slots=True)
class Sold:
    """What may be said of one that is sold."""

    tag: str
    statement: str
    notes: tuple[str, ...]


def rows(found: HoldBacks) -> tuple[list[Row], list[Row]]:
    """Hatchlings to show at once, and those folded away because they change nothing."""
    animals = {one.tag: one for one in present_animals().filter(tag__in=[row.animal for row in found.hatchlings])}
    all_rows = [_row(row, animals, len(found.kept)) for row in found.hatchlings]
    telling = [row.is_kept or row.score.low > 0 or row.alone.low > 0 for row in found.hatchlings]
    at_once = [row for k, (row, tells) in enumerate(zip(all_rows, telling, strict=True)) if tells or k < _SHOWN]
    return at_once, [row for row in all_rows if row not in at_once]


def _row(row: Ranked, animals: dict[str, Animal], n_kept: int) -> Row:
    sex = str(row.sex) if row.sex != "unknown" else "sex not known"
    return Row(
        animals.get(row.animal),
        row.animal,
        sex,
        row.shows,
        row.carries or "—",
        ", ".join(f"{100 * share:.0f}{GAP}%" + f" {line}" * (len(row.shares) > 1) for line, share in row.shares),
        "—" if row.hatch_mass_g is None else f"{row.hatch_mass_g:.0f}{GAP}g",
        "" if row.beyond_egg is None else _signed(row.beyond_egg),
        row.reasons,
        row.rank == n_kept + 1 > 1,
    )


def _signed(value: Estimate) -> str:
    whole = round(value.mean)
    return f"{whole:+d}{GAP}%".replace("-", "−") if whole else "as its egg"


def to_hold(found: HoldBacks) -> list[ToHold]:
    """Those kept with the open project that gains most by each; those of no open project are left out."""
    projects = {one.name: one for one in Project.objects.filter(state="open")}
    kept = []
    for row in found.hatchlings:
        gains = [gain for gain in row.gains if gain.project in projects]
        if row.is_kept and gains:
            best = max(gains, key=lambda gain: (gain.is_goal, gain.gain.mean, gain.seasons.mean))
            kept.append(ToHold(row.animal, projects[best.project]))
    return kept


def choices(tags: Sequence[str], chosen: Sequence[str], young: dict[str, int]) -> list[Choice]:
    """Clutches to choose from, with their parents and the young that are here."""
    clutches = {
        one.tag: one for one in Clutch.objects.filter(tag__in=tags).prefetch_related("candidate_sires__sire", "dam")
    }
    return [
        Choice(tag, _parents(clutches[tag]), young.get(tag, 0), tag in chosen or not chosen)
        for tag in tags
        if tag in clutches
    ]


def _parents(clutch: Clutch) -> str:
    sires = [one.sire.name or one.sire.tag for one in clutch.candidate_sires.all() if one.sire]
    dam = (clutch.dam.name or clutch.dam.tag) if clutch.dam else ""
    return " with ".join(part for part in (" or ".join(sires), dam) if part)


def sold(found: Sequence[ForSale]) -> list[Sold]:
    """What may be said of those not kept."""
    return [Sold(one.animal, one.statement, one.notes) for one in found]


def over(found: HoldBacks, clutches: Sequence[Choice], tubs: int) -> str:
    """Which clutches, how many hatchlings and tubs, over the title."""
    named = [
        f"clutch {one.tag}, {one.parents}" if one.parents else f"clutch {one.tag}" for one in clutches if one.is_chosen
    ]
    n = len(found.hatchlings)
    told = f"{n} hatchling{'' if n == 1 else 's'}, {tubs} tub{'' if tubs == 1 else 's'}"
    text = " · ".join([*named, told])
    return text[:1].upper() + text[1:]


def lines_asked(found: HoldBacks) -> str:
    """Lines that projects ask for, as the head of a column; empty where none does."""
    lines = dict.fromkeys(line for row in found.hatchlings for line, _ in row.shares)
    return listed(list(lines)) if lines else ""
