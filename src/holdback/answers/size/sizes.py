"""Everything that pages and commands ask of the sizes of a collection, each worked out when it is first asked for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from holdback.answers.descent import Descent
from holdback.answers.size.line_odds import LineOdds, line_odds
from holdback.answers.size.responses import LineResponse, cohort_values, hatched_here, line_response
from holdback.collection.collection import Collection
from holdback.collection.model import Sex
from holdback.collection.status import is_here
from holdback.errors import Fault, SizeError
from holdback.size import evaluate
from holdback.size.evaluation import AnimalSize, Hatchling, LineEffect, SizeEvaluation
from holdback.size.growth.curves_of import YoungSize
from holdback.size.lines import LineShares
from holdback.size.response import Realised
from holdback.species.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class Ranked:
    """An animal in the order of size.

    Parameters
    ----------
    rank : int
        From 1, by expected deviation.
    size : AnimalSize
        What is said of it.
    """

    rank: int
    size: AnimalSize


class Sizes:
    """Sizes of one collection.

    Parameters
    ----------
    collection : Collection
        Checked records.
    descent : Descent
        Pedigree and line shares.
    catalogue : Catalogue
        Species: usual growth, and what is assumed.
    """

    def __init__(self, collection: Collection, descent: Descent, catalogue: Catalogue) -> None:
        self.collection = collection
        self.descent = descent
        self.catalogue = catalogue
        self._odds: dict[tuple[str, str, float], LineOdds] = {}
        self._responses: dict[str, LineResponse] = {}

    @cached_property
    def evaluation(self) -> SizeEvaluation:
        """Sizes of all animals and lines."""
        return evaluate(self.collection, self.descent.pedigree, self.line_shares, self.catalogue)

    @cached_property
    def line_shares(self) -> tuple[LineShares, ...]:
        """Expected share of each line in each node of the pedigree, and the doubt about founders' claims."""
        found = []
        for line in self.descent.lines:
            variances = np.zeros(len(self.descent.pedigree))
            for node, founder in self.descent.founders(line).items():
                if node >= 0:
                    mean = founder.mean
                    variances[node] = sum(chance * (share - mean) ** 2 for share, chance in founder.ends)
            found.append(LineShares(line, self.descent.share_means(line), variances))
        return tuple(found)

    def of(self, animal: str) -> AnimalSize:
        """What is said of the size of an animal.

        Raises
        ------
        SizeError
            SIZ-101 if there is no such animal.
        """
        if animal not in self.evaluation.animals:
            raise SizeError(Fault("SIZ-101", f"There is no animal {animal!r}.", "Give an id.", value=animal))
        return self.evaluation.animals[animal]

    def biggest(self, sex: Sex, *, is_all: bool = False) -> tuple[Ranked, ...]:
        """Animals of a sex with a weight that counts, the biggest for their age first.

        Parameters
        ----------
        sex : Sex
            Whom to rank; sexes are not mixed.
        is_all : bool
            True takes those that left or died too.
        """
        found = [
            one
            for one in self.evaluation.animals.values()
            if one.sex is sex
            and one.compared is not None
            and one.animal not in self.collection.died_in_egg
            and (is_all or is_here(self.collection.animals[one.animal].status))
        ]
        found.sort(key=lambda one: (-one.deviation.mean, one.animal))
        return tuple(Ranked(number, one) for number, one in enumerate(found, start=1))

    def line(self, line: str) -> LineEffect:
        """Effect of a line on adult mass."""
        return self.evaluation.lines[self.descent.line_named(line)]

    def of_line(self, animal: str, line: str, prior: float = 0.2) -> LineOdds:
        """Odds that an animal without recorded parents is of a line, from its size and its head; see `line_odds`."""
        asked = (animal, line, prior)
        if asked not in self._odds:
            self._odds[asked] = line_odds(self, animal, line, prior)
        return self._odds[asked]

    @cached_property
    def realised(self) -> Realised | None:
        """Change of breeding values among all animals hatched here; None where there are not two years of hatching."""
        return cohort_values(self, hatched_here(self)).realised()

    def response(self, line: str) -> LineResponse:
        """What choosing for size has changed and may change among the carriers of a line; see `line_response`."""
        name = self.descent.line_named(line)
        if name not in self._responses:
            self._responses[name] = line_response(self, name)
        return self._responses[name]

    def clutch(self, clutch: str) -> tuple[Hatchling, ...]:
        """Young of a clutch beside each other, after allowing for dam and egg; empty where none was weighed."""
        return self.evaluation.clutches.get(clutch, ())

    def young(self, sire: str, dam: str) -> YoungSize:
        """What young of two animals would be."""
        return self.evaluation.curves.young(sire, dam)
