"""Which animals may stand in for those that a plan counts on, without young over the limit of inbreeding later on.

Two females that would both do for two steps are not the same to a plan that puts the young of these steps together:
young of one dam on both sides are nearer kin than the plan has them.
"""

from __future__ import annotations

from functools import cache

from holdback.collection.model import Sex
from holdback.decisions.steps import Plan, Side
from holdback.decisions.stock import Stock

Source = tuple[str, ...] | int
"""Animals at hand, or the step that breeds them."""

_ROUNDING = 1e-9


class StandIns:
    """Stand-ins of one plan.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    plan : Plan
        Steps.
    limit : float
        Largest inbreeding coefficient of any young; where the plan itself passes it, what the plan has. From 1 on there
        is none, and all will do.
    """

    def __init__(self, stock: Stock, plan: Plan, limit: float) -> None:
        self._stock = stock
        self._places = {animal: place for place, animal in enumerate(stock.animals)}
        self._sides: dict[tuple[int, Sex], Source] = {}
        for step in plan.steps:
            self._sides[step.number, Sex.MALE] = _source(step.sire)
            self._sides[step.number, Sex.FEMALE] = _source(step.dam)
        self._is_free = limit >= 1.0
        self._limit = limit if self._is_free else max(limit, self._largest(self._sides)) + _ROUNDING

    def will_do(self, step: int, sex: Sex, source: Source) -> bool:
        """Whether a side of a step may be taken by others: animals at hand, or young of another step.

        Young of a step that comes later are never taken.
        """
        if self._is_free:
            return True
        if isinstance(source, int) and source >= step:
            return False
        return self._largest({**self._sides, (step, sex): source}) <= self._limit

    def may_be_kept(self, step: int, other: int) -> bool:
        """Whether young of another step may be kept as those of a step."""
        if self._is_free or other == step:
            return True
        sides = {key: other if source == step else source for key, source in self._sides.items()}
        comes_first = all(not isinstance(source, int) or source < number for (number, _), source in sides.items())
        return comes_first and self._largest(sides) <= self._limit

    def _largest(self, sides: dict[tuple[int, Sex], Source]) -> float:
        """Largest inbreeding of the young of any step, on the pedigree of the plan."""

        def at(step: int, sex: Sex) -> tuple[Source, Sex]:
            return sides[step, sex], sex

        @cache
        def kinship(one: tuple[Source, Sex], other: tuple[Source, Sex]) -> float:
            if isinstance(other[0], int) and (not isinstance(one[0], int) or other[0] > one[0]):
                one, other = other, one
            step = one[0]
            if not isinstance(step, int):
                assert not isinstance(other[0], int), "young come first"
                return self._at_hand(step, other[0])
            sire, dam = at(step, Sex.MALE), at(step, Sex.FEMALE)
            if one == other:
                return (1 + kinship(sire, dam)) / 2
            return (kinship(sire, other) + kinship(dam, other)) / 2

        numbers = {step for step, _ in sides}
        return max((kinship(at(step, Sex.MALE), at(step, Sex.FEMALE)) for step in numbers), default=0.0)

    def _at_hand(self, some: tuple[str, ...], others: tuple[str, ...]) -> float:
        """The largest kinship of any two animals."""
        known = [[self._places[one] for one in names if one in self._places] for names in (some, others)]
        return max((float(self._stock.kinship[one, other]) for one in known[0] for other in known[1]), default=0.0)


def _source(side: Side) -> Source:
    return side.animals if side.step is None or side.animals else side.step
