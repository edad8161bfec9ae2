"""One way to carry genes into a line, cross by cross.

Carriers count by copies: a parent with one copy of each gene passes all on with chance 1/2 a gene. Genes that depend on
sex are not treated apart.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.backcross_result import Cross, Handling
from holdback.decisions.offspring import missed
from holdback.decisions.planned_young import PlannedYoung
from holdback.decisions.stock import NEVER, Stock
from holdback.heredity.crosses.clutch import eggs_needed
from holdback.season.outlook import CountLaw


@dataclass(frozen=True, slots=True)
class Donor:
    """Who brings the genes.

    Parameters
    ----------
    place : int
        Place in the stock.
    carries : float
        Chance that it carries all.
    states : tuple of (float, float, float)
        What it may be, given that it carries: chance of it, chance that a young then has all genes, and all of which
        one copy does not show. Chances sum to 1.
    n_genes, n_hidden : int
        Genes, and those of them of which one copy does not show.
    n_apart : int
        Those of which two copies kill: of two animals put to each other only one carries such a gene.
    """

    place: int
    carries: float
    states: tuple[tuple[float, float, float], ...]
    n_genes: int
    n_hidden: int
    n_apart: int = 0

    @property
    def passes(self) -> float:
        """Chance that a young has all genes, given that it carries."""
        return math.fsum(weight * passes for weight, passes, _ in self.states)

    @property
    def passes_hidden(self) -> float:
        """The same of the genes of which one copy does not show."""
        return math.fsum(weight * hidden for weight, _, hidden in self.states)

    @property
    def passes_hidden_twice(self) -> float:
        """Chance that two young both have these."""
        return math.fsum(weight * hidden**2 for weight, _, hidden in self.states)


@dataclass(frozen=True, slots=True)
class Made:
    """One cross of a way.

    Parameters
    ----------
    cross : Cross
        What it is.
    backcrosses : int
        Crosses back to the line so far.
    sire, dam : int
        Places of the parents among the planned young.
    young, other : int
        Places of what is kept of it, and of the mate that it can be put to: the young of another animal of the line
        where there is one, otherwise a full sib.
    season : int
        First season in which it can be made.
    per_young : float
        Chance that a young of either sex carries, given that its parents do.
    hidden : float
        Chance that one that shows what it should carries the rest unseen.
    parents_carry : float
        Chance that they do.
    chance : float
        Chance that the first season brings a young of the wanted sex that is known to carry.
    keep : int
        Young to hold back.
    """

    cross: Cross
    backcrosses: int
    sire: int
    dam: int
    young: int
    other: int
    season: int
    per_young: float
    hidden: float
    parents_carry: float
    chance: float
    keep: int


class Walk:
    """Crosses from a donor back to a line.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    line : str
        Line.
    of_line : sequence of int
        Places of the animals that are bred back to.
    donor : Donor
        Who brings the genes.
    through : Sex
        Sex of the young that go back to the line.
    handling : Handling
        How carriers are told.
    """

    def __init__(
        self, stock: Stock, line: str, of_line: tuple[int, ...], donor: Donor, *, through: Sex, handling: Handling
    ) -> None:
        self.stock = stock
        self.young = PlannedYoung(stock, line)
        self.of_line = of_line
        self.donor = donor
        self.through = through
        self.handling = handling

    def crosses(self, backcrosses: int, certainty: float) -> list[Made]:
        """The first cross and all after it."""
        made = [self._first(certainty)]
        for number in range(1, backcrosses + 1):
            if self.handling is Handling.INTERCROSS:
                made.append(self.together(made[-1], self.donor.n_hidden, self.through))
            made.append(self._back(made[-1], number, certainty))
        return made

    def together(self, before: Made, n_two: int, sex: Sex = Sex.UNKNOWN) -> Made:
        """Two carriers of a generation put to each other, for young with two copies of some of the genes."""
        breeding = self.stock.breeding
        season = before.season + max(breeding.male_matures, breeding.female_matures)
        sire, dam = (before.young, before.other) if self.through is Sex.MALE else (before.other, before.young)
        young, other = (self.young.add(sire, dam) for _ in range(2))
        others = self.donor.n_genes - n_two - self.donor.n_apart
        per_young = 0.25**n_two * 0.5**self.donor.n_apart * 0.75**others
        # Of two that do not show it one is proven, and the other is what the cross before makes of it.
        carry = before.hidden if self.handling is Handling.TESTED else self._known(before)
        chance = carry * self._success(per_young * _half(sex), None)
        return Made(
            Cross.TOGETHER, before.backcrosses, sire, dam, young, other, season, per_young, 1.0, carry, chance, 1
        )

    def _first(self, certainty: float) -> Made:
        """The donor put to an animal of the line."""
        donor = self.donor
        mate, season = self._mate(donor.place, int(self.stock.ready[donor.place]))
        keep = self.kept(donor.passes_hidden, certainty) if self.handling is Handling.TESTED else 1
        chances = donor.passes, donor.passes_hidden, donor.carries
        return self._made(Cross.FIRST, 0, donor.place, mate, season, chances, keep)

    def _back(self, before: Made, number: int, certainty: float) -> Made:
        """A carrier put to an animal of the line."""
        breeding = self.stock.breeding
        waits = breeding.male_matures if self.through is Sex.MALE else breeding.female_matures
        tests = self.handling is Handling.TESTED
        possible = tests and (number > 1 or self.donor.passes_hidden < 1)
        # A daughter's test clutch takes her a season; a son covers both females in one.
        waits += int(possible and self.through is Sex.FEMALE)
        mate, season = self._mate(before.young, before.season + waits)
        hidden = 0.5**self.donor.n_hidden if tests else 1.0
        passes = hidden * 0.5 ** (self.donor.n_genes - self.donor.n_hidden)
        keep = self.kept(hidden, certainty) if tests else 1
        return self._made(Cross.BACK, number, before.young, mate, season, (passes, hidden, self._known(before)), keep)

    def _made(
        self,
        cross: Cross,
        number: int,
        carrier: int,
        mate: int,
        season: int,
        chances: tuple[float, float, float],
        keep: int,
    ) -> Made:
        """A cross of a carrier with an animal of the line, and with a second one for a mate of its young."""
        per_young, hidden, carry = chances
        carrier_is_sire = self._is_male(carrier, number)
        sire, dam = (carrier, mate) if carrier_is_sire else (mate, carrier)
        young = self.young.add(sire, dam)
        second = self._second(carrier, mate, season) if carrier_is_sire else mate
        other = self.young.add(*((carrier, second) if carrier_is_sire else (second, carrier)))
        places = dam if dam < len(self.stock.animals) else None
        states = self.donor.states if cross is Cross.FIRST else ((1.0, per_young, hidden),)
        chance = carry * math.fsum(
            weight * (self._tested(unseen, keep) if keep > 1 else self._success(0.5 * passes, places))
            for weight, passes, unseen in states
        )
        return Made(cross, number, sire, dam, young, other, season, per_young, hidden, carry, chance, keep)

    def _is_male(self, carrier: int, number: int) -> bool:
        """Whether the carrier of a cross is the sire."""
        return self.stock.sexes[carrier] is Sex.MALE if number == 0 else self.through is Sex.MALE

    @staticmethod
    def kept(passes: float, certainty: float) -> int:
        """Possible carriers to hold back, so that one of them carries."""
        found = eggs_needed(passes, certainty)
        assert found is not None, "a chance above 0 is reached by some number"
        return found

    def _known(self, before: Made) -> float:
        """Chance that what was kept carries: those that do not show it are proven before they go on."""
        if before.cross is Cross.FIRST and self.handling is Handling.INTERCROSS:
            return before.parents_carry * self.donor.passes_hidden_twice
        return 1.0

    def _mate(self, carrier: int, season: int) -> tuple[int, int]:
        """Animal of the line for a carrier, the least akin and then the biggest, and the season it can be had."""
        sex = self.stock.sexes[carrier] if carrier < len(self.stock.sexes) else self.through
        fitting = [place for place in self.of_line if self.stock.sexes[place] is not sex]
        soon = max(season, min(int(self.stock.ready[place]) for place in fitting))
        there = [place for place in fitting if self.stock.ready[place] <= soon]
        return min(there, key=lambda place: self._order(carrier, place)), soon

    def _second(self, carrier: int, mate: int, season: int) -> int:
        """Another animal of the line for the same carrier, the least akin to both; the same one where there is none."""
        sex = self.stock.sexes[mate]
        others = [
            place
            for place in self.of_line
            if place != mate and self.stock.sexes[place] is sex and self.stock.ready[place] <= season
        ]
        if not others or self.stock.breeding.male_clutches < 2:
            return mate
        return min(others, key=lambda place: (round(self.young.kinship[mate, place], 6), *self._order(carrier, place)))

    def _order(self, carrier: int, place: int) -> tuple[float, float, float, int]:
        """What is looked at in a mate: kinship, share of the line, size."""
        size = self.young.value(place)
        return (
            round(float(self.young.kinship[carrier, place]), 6),
            -round(self.young.share(place), 6),
            math.inf if math.isnan(size) else -size,
            place,
        )

    def _success(self, per_young: float, dam: int | None) -> float:
        """Chance that one season of one dam brings a young that is wanted; None is a dam not hatched yet."""
        breeding = self.stock.breeding
        lays = breeding.lays_first if dam is None else float(self.stock.lays[dam])
        law: CountLaw = breeding.young if dam is None else self.stock.young[dam]
        return 1.0 - float(missed(np.array(per_young), law, lays))

    def _tested(self, hidden: float, keep: int) -> float:
        """Chance that one of the possible carriers carries, and shows it by a clutch with a mate that shows all."""
        shows = self._success(0.5**self.donor.n_hidden, None)
        return 1.0 - (1.0 - hidden * shows) ** keep


def breeders(stock: Stock) -> tuple[int, ...]:
    """Places of the animals that will breed."""
    return tuple(np.flatnonzero(stock.ready < NEVER).tolist())


def _half(sex: Sex) -> float:
    """Part of the young that is of a sex."""
    return 1.0 if sex is Sex.UNKNOWN else 0.5
