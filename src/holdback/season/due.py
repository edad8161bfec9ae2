"""What is to be done, late and soon.

Nothing is due twice: a deed that is on record takes its item away. Every item has a key that stays the same from day
to day, so that a calendar or a list can follow it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from holdback.collection.collection import Collection
from holdback.season.due_animals import feeding_items, weighing_items, young_items
from holdback.season.due_clutches import clutch_items
from holdback.season.due_females import female_items
from holdback.season.due_lasting import lasting_items
from holdback.season.keeping import Keeping
from holdback.season.outlook import ClutchOutlook, DueItem, Fitness, MealPlan, Outlook
from holdback.species.catalogue import Catalogue

DEEDS: Mapping[str, str] = MappingProxyType(
    {
        "meal taken": "The animal took a meal today.",
        "with veins": "Every egg of the clutch that is not lost was seen with veins today; a number stands before it.",
        "box is in": "The nest box went in today.",
        "male is out": "The male that the item names was taken out of her tub today.",
        "first shed": "The young shed for the first time today.",
        "ready to sell": "The young is held to be ready for sale from today on.",
        "came back": "The animal came back today from whom it was lent to.",
        "went back": "The animal went back today to whom it was borrowed from.",
        "seen by a vet": "A vet saw the animal today.",
    }
)
"""Every deed that one tap writes down, and what it says; an item without one needs a number or a choice."""


@dataclass(frozen=True, slots=True)
class Rules:
    """The keeper's own rules of what falls due when.

    Parameters
    ----------
    meals_before_sale : int
        Meals taken in a row without help before a young is held to be ready (3 to 5: common practice, no source).
    ready_min_days : int or None
        Least age of a young for sale, in days; None takes that of the species file.
    candle_days : tuple of int
        Days after laying on which the eggs are candled (common practice, no source).
    weigh_every_days : int
        Days between weights of young, and of females on their way to be ready.
    weigh_males_every_days : int
        Days between weights of males in use.
    days_ahead : int
        What falls due within so many days is told.
    """

    meals_before_sale: int = 3
    ready_min_days: int | None = None
    candle_days: tuple[int, ...] = (7, 14, 30)
    weigh_every_days: int = 30
    weigh_males_every_days: int = 14
    days_ahead: int = 14


def due(
    collection: Collection,
    outlooks: Iterable[Outlook],
    clutch_outlooks: Mapping[str, ClutchOutlook],
    fitness: Iterable[Fitness],
    meals: Iterable[MealPlan],
    *,
    today: dt.date,
    rules: Rules,
    catalogue: Catalogue,
) -> tuple[DueItem, ...]:
    """What is to be done today, what is late, and what comes within the days ahead.

    Parameters
    ----------
    collection : Collection
        Records.
    outlooks : iterable of Outlook
        Where each female stands.
    clutch_outlooks : mapping of str to ClutchOutlook
        Clutches in the boxes, by id.
    fitness : iterable of Fitness
        Who may breed, for the weights that are wanted.
    meals : iterable of MealPlan
        Next meals.
    today : date
        Nothing recorded after it is used.
    rules : Rules
        The keeper's own.
    catalogue : Catalogue
        Species: days of the first shed and of sale.

    Returns
    -------
    tuple of DueItem
        What a vet has to see first, then by the last day, then by key. Keys are unique.
    """
    keeping = Keeping(collection, catalogue, today)
    plans, females = tuple(meals), tuple(outlooks)
    here = {one.id for one in keeping.here}
    found: dict[str, DueItem] = {}
    for item in (
        *female_items([one for one in females if one.cycle.dam in here], today),
        *feeding_items(plans, keeping),
        *weighing_items(
            tuple(fitness), females, keeping, males=rules.weigh_males_every_days, others=rules.weigh_every_days
        ),
        *young_items(plans, clutch_outlooks, keeping, meals=rules.meals_before_sale, least_days=rules.ready_min_days),
        *lasting_items(keeping),
        *clutch_items(clutch_outlooks, keeping, candle_days=rules.candle_days),
    ):
        if (item.first - today).days <= rules.days_ahead:
            found.setdefault(item.key, item)
    return tuple(sorted(found.values(), key=_order))


def deed_of(item: DueItem) -> str:
    """Key of `DEEDS` for the deed of an item, empty where it has none.

    Examples
    --------
    >>> day = dt.date(2026, 5, 14)
    >>> deed_of(DueItem("candle:26-02:14", "candle", "26-02", True, day, day, "Day 14.", "five with veins"))
    'with veins'
    """
    return next((key for key in DEEDS if item.deed == key or item.deed.endswith(f" {key}")), "")


def _order(item: DueItem) -> tuple[bool, dt.date, str]:
    return item.level != "stop", item.last, item.key
