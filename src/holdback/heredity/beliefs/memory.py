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


class Memory:
    """Plans and calibrated loci, the longest unused forgotten first; safe between threads.

    Parameters
    ----------
    size : int
        Values kept.
    """

    def __init__(self, size: int = 512) -> None:
        self._size = size
        self._lock = threading.Lock()
        self._values: OrderedDict[Hashable, object] = OrderedDict()
        self.made = 0

    def get(self, key: Hashable, make: Callable[[], Made]) -> Made:
        """Value under a key, made if it is not there."""
        with self._lock:
            if key in self._values:
                self._values.move_to_end(key)
                return cast(Made, self._values[key])
        value = make()
        with self._lock:
            self.made += 1
            self._values[key] = value
            while len(self._values) > self._size:
                self._values.popitem(last=False)
        return value


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
    """SHA-256 over everything recorded at a locus on the animals of a layout."""
    parts = [repr((locus.key, locus.alleles, locus.linkage)).encode()]
    parts += [table.tobytes() for table in (locus.frequencies, locus.survival, locus.hides)]
    tables: dict[int, bytes] = {}  # many records share their tables
    for animal in layout.animals:
        if animal in locus.maker:
            parts.append(repr(("maker", animal, locus.maker[animal])).encode())
        for record in locus.records.get(animal, ()):
            said = tables.get(id(record.likelihood))
            if said is None:
                said = tables[id(record.likelihood)] = record.likelihood.tobytes() + record.wrong.tobytes()
            parts.append(f"{animal}\0{record.key}\0{record.hidden_by}\0{record.counted}\0".encode())
            parts.append(said)
    return hashlib.sha256(b"\0".join(parts)).hexdigest()
