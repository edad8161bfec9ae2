"""Labels that the search goes on with: of young that could be bred only those that no other label stands in for."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from holdback.decisions.route.labels import Label, Space, eighths

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]
WordArray = npt.NDArray[np.uint64]

_ROUNDING = 1e-10
_WORD = 64


def words(founders: int, n_words: int) -> list[int]:
    """Bits of a whole number, 64 at a time."""
    return [(founders >> (_WORD * k)) & (2**_WORD - 1) for k in range(n_words)]


@dataclass(eq=False)
class Frontier:
    """Labels of one sex, in arrays that grow.

    Parameters
    ----------
    space : Space
        What the search is made of.
    n_words : int
        Words of 64 bits that hold the founders.
    each : int
        Labels kept of one type.

    Notes
    -----
    A bred label is left out where another is no worse at every locus, in share, in number, in the chance of being ready
    by each season, and goes back to no founder that it does not. Of what is left the soonest `each` of a type with
    different founders stay. Labels at hand stay always.
    """

    space: Space
    n_words: int
    each: int
    _numbers: list[int] = field(default_factory=list)
    _labels: list[Label] = field(default_factory=list)
    _slots: dict[int, list[int]] = field(default_factory=dict)
    _alive: npt.NDArray[np.bool_] = field(default_factory=lambda: np.zeros(64, bool))
    _levels: IntArray = field(init=False)
    _share: IntArray = field(default_factory=lambda: np.zeros(64, np.int64))
    _count: FloatArray = field(default_factory=lambda: np.zeros(64))
    _ready: FloatArray = field(init=False)
    _founders: WordArray = field(init=False)

    def __post_init__(self) -> None:
        self._levels = np.zeros((64, len(self.space.loci)), np.int64)
        self._ready = np.zeros((64, self.space.horizon + 1))
        self._founders = np.zeros((64, self.n_words), np.uint64)
        self._at_least = [np.array(locus.at_least) for locus in self.space.loci]

    @property
    def numbers(self) -> list[int]:
        """Numbers of the labels that stay."""
        return [number for place, number in enumerate(self._numbers) if self._alive[place]]

    def to_beat(self, kinds: IntArray) -> FloatArray:
        """Mean season that a label of each type has to beat; infinite where there is room."""
        full = sorted(kind for kind, places in self._slots.items() if len(places) >= self.each)
        if not full:
            return np.full(len(kinds), np.inf)
        worst = np.array([max(self._labels[place].mean for place in self._slots[kind]) for kind in full])
        at = np.minimum(np.searchsorted(full, kinds), len(full) - 1)
        return np.where(np.array(full)[at] == kinds, worst[at], np.inf)

    def offer(self, number: int, label: Label, kind: int | None) -> bool:
        """Take a label in, unless another stands in for it; `kind` is its type, None where it is at hand."""
        founders = np.array(words(label.founders, self.n_words), np.uint64)
        if kind is not None:
            if self._is_stood_in_for(label, founders):
                return False
            places = self._slots.setdefault(kind, [])
            same = [place for place in places if self._labels[place].founders == label.founders]
            if same and self._labels[same[0]].mean <= label.mean:
                return False
            if same or len(places) >= self.each:
                gone = same[0] if same else max(places, key=lambda place: self._labels[place].mean)
                if self._labels[gone].mean <= label.mean:
                    return False
                self._alive[gone] = False
                places.remove(gone)
            places.append(len(self._numbers))
        self._append(number, label, founders)
        return True

    def _is_stood_in_for(self, label: Label, founders: WordArray) -> bool:
        n = len(self._numbers)
        found = self._alive[:n] & (self._count[:n] >= label.count - _ROUNDING)
        if self.space.wants_share:
            found &= self._share[:n] >= eighths(np.array(label.share))
        for locus, at_least in enumerate(self._at_least):
            found &= at_least[self._levels[:n, locus], label.levels[locus]]
        places = np.flatnonzero(found)
        if self.n_words and len(places):
            places = places[~(self._founders[places] & ~founders).any(axis=1)]
        return bool((self._ready[places] >= label.ready - _ROUNDING).all(axis=1).any())

    def _append(self, number: int, label: Label, founders: WordArray) -> None:
        place = len(self._numbers)
        if place == len(self._alive):
            for name in ("_alive", "_levels", "_share", "_count", "_ready", "_founders"):
                old = getattr(self, name)
                setattr(self, name, np.concatenate([old, np.zeros_like(old)]))
        self._numbers.append(number)
        self._labels.append(label)
        self._alive[place] = True
        self._levels[place] = label.levels
        self._share[place] = eighths(np.array(label.share))
        self._count[place] = label.count
        self._ready[place] = label.ready
        self._founders[place] = founders
