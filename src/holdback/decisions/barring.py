"""Why a pair cannot be made."""

from __future__ import annotations

from holdback.decisions.goal import Goal
from holdback.decisions.kind_words import percent
from holdback.decisions.stock import NEVER, Stock
from holdback.decisions.welfare import PairWelfare, unspoken
from holdback.heredity.crosses.result import Caution

_NOT_COUNTED = 1e-9


class Barring:
    """What stands against pairs of a season.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    goal : Goal
        Its limit on inbreeding, and the cautions that are spoken for.
    welfare : PairWelfare
        Of the stock.
    season : int
        Season of the pairing, counted from `Stock.year`.
    """

    def __init__(self, stock: Stock, goal: Goal, welfare: PairWelfare, season: int) -> None:
        self._stock, self._goal, self._welfare, self._season = stock, goal, welfare, season
        self._dams = {one.dam for one in stock.under_way} if season == 0 else set()
        used = [sire for one in stock.under_way for sire, _ in one.sires] if season == 0 else []
        self._used = {sire: used.count(sire) for sire in used}

    @property
    def inbreeding_at_most(self) -> float:
        """Largest inbreeding coefficient of any young."""
        return self._goal.inbreeding_at_most

    def cautions(self, sire: str, dam: str) -> tuple[Caution, ...]:
        """What has to be said of a pair, what bars it first."""
        return self._welfare.of_pair(sire, dam)

    def may_pair(self, one: str, other: str) -> bool:
        """Whether no caution that is not spoken for stands against two animals, of which one may stand for a young."""
        return not unspoken(self.cautions(one, other), self._goal)

    def why(self, sire: str, dam: str) -> str:
        """The one reason against a pair, in a sentence; empty where there is none."""
        return (
            self._in_use(sire, dam)
            or self._not_ready(sire)
            or self._not_ready(dam)
            or self._too_close(sire, dam)
            or self._not_spoken_for(sire, dam)
        )

    def _in_use(self, sire: str, dam: str) -> str:
        if dam in self._dams:
            return f"{self._name(dam)} is at work already this season."
        used = self._used.get(sire, 0)
        if used and used >= int(self._stock.clutches[self._stock.index(sire)]):
            females = "one female" if used == 1 else f"{used} females"
            return f"{self._name(sire)} is on {females} already, as many as he may have."
        return ""

    def _not_ready(self, animal: str) -> str:
        ready = int(self._stock.ready[self._stock.index(animal)])
        if ready <= self._season:
            return ""
        said = self._stock.why_not.get(animal, "") if self._season == 0 or ready >= NEVER else ""
        if said:
            return f"{self._name(animal)}: {said}"
        if ready >= NEVER:
            return f"{self._name(animal)} will not breed."
        return f"{self._name(animal)} can have young from {self._stock.year + ready} on."

    def _too_close(self, sire: str, dam: str) -> str:
        kinship = float(self._stock.kinship[self._stock.index(sire), self._stock.index(dam)])
        if kinship <= self._goal.inbreeding_at_most + _NOT_COUNTED:
            return ""
        return f"Young inbred {percent(kinship)}; your limit is {percent(self._goal.inbreeding_at_most)}."

    def _not_spoken_for(self, sire: str, dam: str) -> str:
        found = unspoken(self.cautions(sire, dam), self._goal)
        return found[0].message if found else ""

    def _name(self, animal: str) -> str:
        return self._stock.names.get(animal, animal)
