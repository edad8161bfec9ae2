"""The keeper's records of the barn: what was written, not what is true."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import aims
import barren
import boxes
import racks
import season_2026
from barn import Barn, Nest, Snake
from chance import Chance
from diary import events, measurements
from plan import BOUGHT
from sizes import Sizes

from holdback.collection.model import (
    NO_SIRE,
    Animal,
    Candidate,
    Clutch,
    LineClaim,
    Mating,
    Origin,
    PartialDate,
    Records,
    Sex,
)
from holdback.collection.origins import PlaceOfOrigin

LINE = "Marrowfen"
WRONG_DAM = {"23-12": "19-17"}
"""Gneiss went into the wrong tub: written as of Shale, truly of Ashlar; her clutch was left open."""
NO_DAM_WRITTEN = ("23-13",)

ORIGINS = (
    PlaceOfOrigin("16-01", "the Marrowfen", ground="Sold in 2016 as wild caught there, by the importer"),
    PlaceOfOrigin("16-02", "the Marrowfen", ground="Sold in 2016 as wild caught there, by the importer"),
    PlaceOfOrigin(
        "19-13", "a farm in Saltrake", "GH", 7.6, -0.9,
        ground="Bill of sale names Ghana; the district and the coordinates are invented",
    ),
)  # fmt: skip
"""The Marrowfen is invented, so it lies in no country."""

EXTRA_MATINGS_OF = {
    # Clutch to other males that were with the dam that season, with first days.
    "24-03": (("20-07", "2024-02-03"), ("20-07", "2024-02-17"), ("16-01", "2024-01-20")),
    "22-03": (("19-11", "2022-01-28"),),
}


def records(barn: Barn, sizes: Sizes) -> Records:
    """Everything as the keeper would hand it over."""
    return Records(
        animals=tuple(_animal(snake, barn) for snake in barn.snakes.values()),
        lines=tuple(
            LineClaim(one.id, LINE, float(one.claim[0]), float(one.claim[1]), one.claim[2])
            for one in BOUGHT
            if one.claim
        ),
        measurements=tuple(sorted(measurements(barn, sizes), key=lambda one: (one.date, one.animal, one.trait))),
        matings=tuple(sorted(_matings(barn), key=lambda one: str(one.together))),
        clutches=tuple(_clutches(barn)),
        eggs=tuple(boxes.eggs(barn, WRONG_DAM)),
        egg_looks=tuple(sorted(boxes.looks(barn), key=lambda one: one.date)),
        temperatures=tuple(boxes.temperatures(barn)),
        places=(*racks.PLACES, *boxes.PLACES),
        events=tuple(sorted(events(barn, sizes), key=lambda one: (one.date, one.animal, one.kind))),
        origins=ORIGINS,
        projects=aims.PROJECTS,
        planned_pairings=aims.PLANNED,
    )


def _animal(snake: Snake, barn: Barn) -> Animal:
    """Record of one animal."""
    nest = barn.nests.get(snake.clutch)
    dam, clutch = snake.dam, snake.clutch if nest is not None and nest.recorded else ""
    if snake.id in WRONG_DAM:
        dam, clutch = WRONG_DAM[snake.id], ""
    if snake.id in NO_DAM_WRITTEN:
        dam = ""
    return Animal(
        snake.id,
        snake.name,
        Sex(snake.written_sex),
        PartialDate.parse(snake.written_hatched) if snake.written_hatched else None,
        Origin(snake.origin),
        _candidates(nest) if nest else (),
        dam or None,
        clutch or None,
        snake.written_genes,
        snake.status,
        snake.notes,
    )


def _candidates(nest: Nest) -> tuple[Candidate, ...]:
    """Sires as written: the true one unless the plan says otherwise."""
    written = nest.plan.written or nest.plan.sire
    if written == "?":
        return ()
    parts = [part.partition(":") for part in written.split("|")]
    return tuple(
        Candidate(NO_SIRE if animal == "none" else animal, float(weight) if weight else 1.0)
        for animal, _, weight in parts
    )


def _clutches(barn: Barn) -> Iterator[Clutch]:
    """Clutches that were written down, and the two in the boxes."""
    for nest in barn.nests.values():
        if nest.recorded:
            slugs = sum(egg.outcome == "slug" for egg in nest.eggs)
            plan, hatched = nest.plan, _date(nest.hatched)
            yield Clutch(
                plan.id,
                plan.dam,
                _candidates(nest),
                _date(plan.laid),
                len(nest.eggs),
                slugs,
                hatched,
                boxes.SET_ASIDE.get(plan.id, ""),
            )
    for name, dam, sire, laid in season_2026.CLUTCHES:
        eggs = season_2026.EGGS[name]
        slugs = sum(outcome == "slug" for _, outcome in eggs)
        yield Clutch(name, dam, (Candidate(sire),), PartialDate.parse(laid), len(eggs), slugs)


def _matings(barn: Barn) -> Iterator[Mating]:
    """Two or three meetings before each clutch, and this season's."""
    for nest in barn.nests.values():
        plan, chance = nest.plan, Chance("matings", nest.plan.id)
        for sire, day in EXTRA_MATINGS_OF.get(plan.id, ()):
            start = dt.date.fromisoformat(day)
            yield Mating(plan.dam, sire, _date(start), _date(start + dt.timedelta(days=2)), 1)
        if plan.written in ("?", "none") or plan.id == "24-03" or not nest.recorded:
            continue
        for before in (118, 92, 70)[: 2 + chance.below(2)]:
            start = plan.laid - dt.timedelta(days=before + chance.below(9))
            end = start + dt.timedelta(days=1 + chance.below(3))
            yield Mating(plan.dam, plan.sire, _date(start), _date(end), chance.below(3))
    yield from barren.matings()
    for dam, sire, together, apart, locks in season_2026.MATINGS:
        yield Mating(dam, sire, PartialDate.parse(together), PartialDate.parse(apart), locks)


def _date(day: dt.date) -> PartialDate:
    return PartialDate(day.year, day.month, day.day)
