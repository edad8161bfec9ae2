"""How a route is looked for: a keeper's wishes, who watches, and one search from animals to a plan."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection
from dataclasses import dataclass

from holdback.decisions.goal import Target
from holdback.decisions.route.labels import Space, at_hand, kinship_at_hand
from holdback.decisions.route.plan_steps import plan_of
from holdback.decisions.route.search import Limits, Search
from holdback.decisions.route.tries import mean_season
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock

LABELS_APART = 8
"""Labels of one type where inbreeding has a limit: it takes two sources of every gene."""
LABELS_MANY_TYPES = 4
MANY_TYPES = 1000
"""From so many types on the search goes on with fewer labels of each, for the sake of time and memory."""
HORIZON = 24
"""Seasons looked at."""


@dataclass(eq=False)
class Watch:
    """Who is told how far a search is, and what ends it.

    Parameters
    ----------
    progress : callable or None
        Told a share from 0 to 1.
    cancelled : callable or None
        Whether to end.
    seconds : float or None
        Time after which a search ends with the best found so far.
    """

    progress: Callable[[float], None] | None = None
    cancelled: Callable[[], bool] | None = None
    seconds: float | None = None

    def __post_init__(self) -> None:
        self._start = time.monotonic()

    def tell(self, share: float) -> None:
        """Pass a share on."""
        if self.progress is not None:
            self.progress(share)

    def stop(self) -> bool:
        """Whether to end now."""
        if self.seconds is not None and time.monotonic() - self._start > self.seconds:
            return True
        return self.cancelled is not None and self.cancelled()

    def part(self, number: int, of: int) -> Watch:
        """The same for one of several searches that share the time."""
        return Watch(lambda share: self.tell((number + share) / of), self.stop)


@dataclass(frozen=True, slots=True)
class Wishes:
    """How a route is looked for; what a keeper may change of it.

    Parameters
    ----------
    horizon : int
        Last season looked at; later ones count as this one.
    inbreeding_at_most : float
        Largest inbreeding of any young; from 1 on no limit.
    hold_back : int
        Most daughters of one kind that are held back of a clutch.
    labels : int or None
        Labels of one type that the search goes on with; None for 1 without a limit of inbreeding, else 8, or 4
        where there are many types.
    banned : collection of (str, str)
        Sires and dams at hand that must not be paired.
    by : int or None
        Season by which the goal should be there: the route with the best chance by then. None for the least mean.
    """

    horizon: int = HORIZON
    inbreeding_at_most: float = 1.0
    hold_back: int = 3
    labels: int | None = None
    banned: Collection[tuple[str, str]] = ()
    by: int | None = None


def found_route(stock: Stock, target: Target, wishes: Wishes, *, watch: Watch) -> tuple[Plan | None, bool]:
    """Best way found, None where there is none, and whether the search went through to its end."""
    last = searched(stock, target, wishes, aim=wishes.horizon, watch=watch)
    ways = [(last, goal) for goal in last.goals[:1]]
    if wishes.by is not None and wishes.by < wishes.horizon:
        sooner = searched(stock, target, wishes, aim=wishes.by + 1, watch=watch)
        ways = [(one, goal) for one in (last, sooner) for goal in one.goals]
    if not ways:
        return None, last.is_complete
    by = wishes.horizon if wishes.by is None else min(wishes.by, wishes.horizon)
    search, goal = min(ways, key=lambda way: (-round(float(way[1].by_season[by]), 9), mean_season(way[1].by_season)))
    return plan_of(stock, search, goal), search.is_complete


def searched(stock: Stock, target: Target, wishes: Wishes, *, aim: int, watch: Watch) -> Search:
    """A search gone through."""
    apart = wishes.inbreeding_at_most < 1.0
    space = Space(target, stock.breeding, wishes.horizon, aim)
    labels = wishes.labels if wishes.labels is not None else _labels(space, apart=apart)
    start = at_hand(stock, space, apart=apart, banned=wishes.banned)
    places = {animal: place for place, animal in enumerate(stock.animals)}
    banned = frozenset((places[sire], places[dam]) for sire, dam in wishes.banned if sire in places and dam in places)
    limits = Limits(wishes.inbreeding_at_most, wishes.hold_back, labels, banned)
    search = Search(space, start, kinship_at_hand(stock, start), limits, watch.stop, watch.tell)
    search.run()
    return search


def _labels(space: Space, *, apart: bool) -> int:
    if not apart:
        return 1
    return LABELS_APART if space.n_types < MANY_TYPES else LABELS_MANY_TYPES
