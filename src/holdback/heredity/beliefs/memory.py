"""What inference worked out before, by what it was worked out from."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import TypeVar, cast

from holdback.heredity.beliefs.evidence import Evidence, LocusEvidence
from holdback.heredity.beliefs.layout import Layout

Made = TypeVar("Made")

_FEW_BYTES = 2_000
"""What a value takes of which nothing is said."""


class Memory:
    """Plans and calibrated loci, the longest unused forgotten first; safe between threads.

    Parameters
    ----------
    most_bytes : int
        What all values together may take; the latest is kept in any case.
    """

    def __init__(self, most_bytes: int = 1_500_000_000) -> None:
        self._most_bytes = most_bytes
        self._lock = threading.Lock()
        self._values: OrderedDict[Hashable, tuple[object, int]] = OrderedDict()
        self._n_bytes = 0
        self.made = 0

    def get(
        self, key: Hashable, make: Callable[[], Made], *, n_bytes: Callable[[Made], int] = lambda _: _FEW_BYTES
    ) -> Made:
        """Value under a key, made if it is not there.

        Parameters
        ----------
        key : hashable
            What the value follows from.
        make : callable
            Makes it.
        n_bytes : callable, optional
            What a value takes, roughly.
        """
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return cast(Made, self._values[key][0])
        value = make()
        with self._lock:
            self.made += 1
            self._forget(key)
            self._values[key] = value, n_bytes(value)
            self._n_bytes += self._values[key][1]
            while self._n_bytes > self._most_bytes and len(self._values) > 1:
                self._forget(next(iter(self._values)))
        return value

    def _forget(self, key: Hashable) -> None:
        _, n_bytes = self._values.pop(key, (None, 0))
        self._n_bytes -= n_bytes


def layout_digest(layout: Layout, evidence: Evidence) -> str:
    """SHA-256 over the pedigree of a layout, its sexes and what holds for all loci."""
    parts = (
        layout.animals,
        layout.broods,
        layout.flags,
        sorted(layout.unfolded),
        [str(layout.family.sexes[animal]) for animal in layout.animals],
        [animal for animal in layout.animals if animal in evidence.unborn],
        (evidence.sex_error, str(evidence.heterogametic), evidence.second_division),
    )
    return hashlib.sha256(repr(parts).encode()).hexdigest()


def locus_digest(layout: Layout, locus: LocusEvidence) -> str:
    """SHA-256 over everything recorded at a locus on the animals of a layout; made once for the same evidence."""
    found = locus.digests.get(layout.animals)
    if found is None:
        found = locus.digests[layout.animals] = _digest(layout.animals, locus)
    return found


def _digest(animals: tuple[str, ...], locus: LocusEvidence) -> str:
    words = [repr((animal, locus.maker[animal])) for animal in animals if animal in locus.maker] if locus.maker else []
    tables = [locus.settings]
    numbers: dict[tuple[int, int], str] = {}  # many records share their tables
    for animal in [one for one in animals if one in locus.records]:
        for record in locus.records[animal]:
            both = id(record.likelihood), id(record.wrong)
            number = numbers.get(both)
            if number is None:
                number = numbers[both] = f"{len(numbers)}"
                tables += [record.likelihood.tobytes(), record.wrong.tobytes()]
            words += (animal, record.key, record.hidden_by, "counted" if record.counted else "", number)
    return hashlib.sha256(b"\0".join(["\0".join(words).encode(), *tables])).hexdigest()
