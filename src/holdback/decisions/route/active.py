"""The labels of one round, in arrays."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.decisions.route.frontier import words
from holdback.decisions.route.labels import MALE, Label, Space

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

_ROUNDING = 1e-9


@dataclass(frozen=True, eq=False)
class Active:
    """Labels of a round, one row each; see `labels.Label` for the columns.

    Parameters
    ----------
    brood : int array, shape (n,)
        Column of `uses` of a female, row of a male.
    uses : int array
        Number of `Tries.use` for each kind of male and of female.
    """

    numbers: IntArray
    sex: IntArray
    profiles: IntArray
    share: FloatArray
    ready: FloatArray
    brood: IntArray
    uses: IntArray
    only: IntArray
    animal: IntArray
    founders: npt.NDArray[np.uint64]
    fresh: npt.NDArray[np.bool_]

    @classmethod
    def of(
        cls, space: Space, labels: Sequence[Label], numbers: Sequence[int], fresh: Collection[int], n_words: int
    ) -> Active:
        """Arrays of some labels; `fresh` are the numbers of those that were not crossed yet."""
        chosen = [labels[number] for number in numbers]
        n = len(chosen)
        his = list(dict.fromkeys(label.clutches for label in chosen if label.sex == MALE))
        hers = list(dict.fromkeys((label.count, label.laying) for label in chosen if label.sex != MALE))
        places = {kind: place for kinds in (his, hers) for place, kind in enumerate(kinds)}
        return cls(
            numbers=np.array(numbers, np.int64),
            sex=np.array([label.sex for label in chosen], np.int64),
            profiles=np.array([label.profiles for label in chosen], np.int64).reshape(n, len(space.loci)),
            share=np.array([label.share for label in chosen]),
            ready=np.array([label.ready for label in chosen]),
            brood=np.array([places[_brood(label)] for label in chosen], np.int64),
            uses=np.array([[space.tries.use(min(n, most), law) for n, law in hers] for most in his], np.int64),
            only=np.array([label.only for label in chosen], np.int64),
            animal=np.array([label.animals[0] if label.animals else -1 for label in chosen], np.int64),
            founders=np.array([words(label.founders, n_words) for label in chosen], np.uint64).reshape(n, n_words),
            fresh=np.array([number in fresh for number in numbers], bool),
        )

    def pairs(
        self, kinship: FloatArray, inbreeding_at_most: float, banned: Collection[tuple[int, int]]
    ) -> tuple[IntArray, IntArray]:
        """Rows of males and females that may be crossed and were not yet."""
        males, females = np.flatnonzero(self.sex == MALE), np.flatnonzero(self.sex != MALE)
        may = self.fresh[males][:, None] | self.fresh[females][None, :]
        may &= self.only[males][:, None] == self.only[females][None, :]
        if inbreeding_at_most < 1.0:
            may &= kinship[np.ix_(males, females)] <= inbreeding_at_most + _ROUNDING
        for sire, dam in banned:
            may &= ~((self.animal[males] == sire)[:, None] & (self.animal[females] == dam)[None, :])
        rows, columns = np.nonzero(may)
        return males[rows], females[columns]

    def earliest(self, usable: int) -> FloatArray:
        """Mean season from which each can breed, those from `usable` on counted as that; shape (n,)."""
        found: FloatArray = usable - self.ready[:, :usable].sum(axis=1)
        return found

    def both_ready(self, males: IntArray, females: IntArray) -> FloatArray:
        """Chance of each season to be the first in which both can breed, shape (pairs, H + 1)."""
        return np.diff(self.ready[males] * self.ready[females], axis=1, prepend=0.0)

    def use(self, males: IntArray, females: IntArray) -> IntArray:
        """Number of the dams at work: as many as there are, and as one male may have."""
        found: IntArray = self.uses[self.brood[males], self.brood[females]]
        return found


def _brood(label: Label) -> object:
    return label.clutches if label.sex == MALE else (label.count, label.laying)
