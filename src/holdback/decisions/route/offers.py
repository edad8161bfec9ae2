"""Young that the crosses of one round could give, before the search chooses among them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
WordArray = npt.NDArray[np.uint64]

_SCATTER = np.uint64(0x9E3779B97F4A7C15)
_SPARE = 4
"""Young looked at for every one of a type that can be kept: some are stood in for by others."""


@dataclass(frozen=True, eq=False)
class Offers:
    """Young of one sex, one row each.

    Parameters
    ----------
    sex : int
        `labels.MALE` or `labels.FEMALE`.
    levels : int array, shape (rows, loci)
        At least this good.
    share : float array
        Expected share of the line.
    kind : int array
        Number of the type.
    count : float array
        Number held back, as expected.
    mean : float array
        Mean season from which they can breed.
    male, female : int array
        Rows of the parents.
    product, tries : int array
        Their chance, and its row of S(k).
    founders : uint64 array, shape (rows, words)
        Bits of the labels at hand that they go back to.
    """

    sex: int
    levels: IntArray
    share: FloatArray
    kind: IntArray
    count: FloatArray
    mean: FloatArray
    male: IntArray
    female: IntArray
    product: IntArray
    tries: IntArray
    founders: WordArray

    @classmethod
    def together(cls, parts: Sequence[Offers]) -> Offers | None:
        """Several tables as one; None for none."""
        if not parts:
            return None
        arrays = {
            one.name: np.concatenate([getattr(part, one.name) for part in parts])
            for one in fields(cls)
            if one.name != "sex"
        }
        return cls(sex=parts[0].sex, **arrays)

    def rows(self, chosen: IntArray) -> Offers:
        """Some of the rows."""
        arrays = {one.name: getattr(self, one.name)[chosen] for one in fields(self) if one.name != "sex"}
        return Offers(sex=self.sex, **arrays)


def best_offers(offers: Offers, each: int) -> Offers:
    """The soonest rows of each type, each with other founders; a few more than `each`."""
    if not len(offers.mean):
        return offers
    kind, family = offers.kind, _family(offers.founders)
    order = np.lexsort((offers.mean, family, kind))
    is_first = np.ones(len(order), bool)
    is_first[1:] = (np.diff(kind[order]) != 0) | (np.diff(family[order]) != 0)
    order = order[is_first]
    order = order[np.lexsort((offers.mean[order], kind[order]))]
    starts = np.flatnonzero(np.concatenate([[True], np.diff(kind[order]) != 0]))
    rank = np.arange(len(order)) - np.repeat(starts, np.diff(np.append(starts, len(order))))
    return offers.rows(order[rank < (_SPARE * each if each > 1 else 1)])


def _family(founders: WordArray) -> IntArray:
    """A number for each set of founders; that two sets share one by chance only costs a row."""
    found = np.zeros(len(founders), np.uint64)
    for column in range(founders.shape[1]):
        found = (found ^ founders[:, column]) * _SCATTER
    return found.view(np.int64)
