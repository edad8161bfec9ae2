"""Laws of numbers: eggs of a clutch, slugs among them, young that come out.

Eggs to young: a share of the eggs are slugs, clumped by dam; of the good eggs a share hatches, clumped by clutch. The
hatch rate of the species file counts all eggs; what a good egg does is that rate over the share of good eggs.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from holdback.collection.collection import Collection
from holdback.season.assumed import assumed
from holdback.season.clumped import ClumpedRate
from holdback.season.clutch_sizes import Z_90, ClutchSizes
from holdback.season.egg_records import counted_clutches, first_chance, first_layings, mass_before
from holdback.season.loss_days import LossDays
from holdback.season.outlook import CountLaw
from holdback.species.catalogue import Catalogue
from holdback.species.model import Value

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_HATCH = 0.985
"""Largest share of good eggs that is taken to hatch where the species file gives more slugs than losses."""


@dataclass(frozen=True, eq=False)
class ClutchCounts:
    """Numbers as they are known on a day. Build it with `learned`.

    Parameters
    ----------
    sizes : ClutchSizes
        Eggs of a clutch.
    slugs : ClumpedRate
        Share of slugs of a dam of whom nothing is known.
    slugs_of_dam : mapping of str to (int, int)
        Own slugs and eggs of each dam.
    hatching : ClumpedRate
        Share of the good eggs of a new clutch that hatches.
    losses : LossDays
        When eggs are lost.
    """

    collection: Collection
    catalogue: Catalogue
    before: dt.date
    sizes: ClutchSizes
    slugs: ClumpedRate
    slugs_of_dam: Mapping[str, tuple[int, int]]
    hatching: ClumpedRate
    losses: LossDays
    layings: Mapping[str, dt.date]

    @classmethod
    def learned(cls, collection: Collection, catalogue: Catalogue, *, before: dt.date) -> ClutchCounts:
        """Numbers by common practice and by the clutches counted before a day.

        Parameters
        ----------
        collection : Collection
            Records.
        catalogue : Catalogue
            Species.
        before : date
            What happened on this day or later is not known yet.
        """
        own = tuple(counted_clutches(collection, catalogue, before=before))
        by_dam: dict[str, tuple[int, int]] = defaultdict(lambda: (0, 0))
        for one in own:
            if one.slugs is not None:
                k, n = by_dam[one.size.dam]
                by_dam[one.size.dam] = (k + one.slugs, n + max(one.size.eggs, one.slugs))
        ended = [(one.hatched, one.ended) for one in own if one.ended]
        slug, hatch = assumed(catalogue, "slug_rate"), good_egg_rate(catalogue)
        return cls(
            collection,
            catalogue,
            before,
            ClutchSizes.learned(tuple(one.size for one in own), catalogue),
            _learned(slug, assumed(catalogue, "slug_clumping"), list(by_dam.values())),
            dict(by_dam),
            _learned(hatch, assumed(catalogue, "loss_clumping"), ended),
            LossDays.learned([day for one in own for day in one.loss_days], catalogue),
            first_layings(collection, catalogue),
        )

    @property
    def n_own(self) -> int:
        """Own clutches counted."""
        return len(self.sizes.own)

    def mass_of(self, dam: str) -> float | None:
        """Mass in gram of a dam in the last months."""
        return mass_before(self.collection, dam, self.before)

    def first_of(self, dam: str, on: dt.date | None = None) -> float:
        """Chance that her next clutch, or that laid on a day, is her first."""
        return first_chance(self.collection, dam, self.layings, before=on or self.before)

    def slugs_by(self, dam: str) -> ClumpedRate:
        """Share of slugs of a dam, by all and by her own."""
        of_hers = self.slugs_of_dam.get(dam, (0, 0))
        if of_hers not in self._slugs_by:
            self._slugs_by[of_hers] = self.slugs.of_group(*of_hers)
        return self._slugs_by[of_hers]

    @cached_property
    def _slugs_by(self) -> dict[tuple[int, int], ClumpedRate]:
        return {}

    def eggs(self, dam: str = "", on: dt.date | None = None) -> CountLaw:
        """Law of the eggs of her next clutch, slugs among them.

        Parameters
        ----------
        dam : str
            Her id; empty for a dam of whom nothing is known but that she has laid before.
        on : date, optional
            Day that a clutch was laid whose eggs nobody counted, in place of the next one.
        """
        return self.sizes.law(dam, mass_g=self.mass_of(dam), first=self.first_of(dam, on))

    def young(self, dam: str = "", on: dt.date | None = None) -> CountLaw:
        """Law of the young of her next clutch, or of one laid on a day."""
        return self.young_of(self.eggs(dam, on), dam)

    def young_of(self, eggs: CountLaw, dam: str = "") -> CountLaw:
        """Law of the young of a number of eggs that may hold slugs."""
        most = len(eggs.chances) - 1
        good = np.zeros(most + 1)
        rate = self.slugs_by(dam)
        for n, chance in enumerate(eggs.chances):
            if chance > 0:
                good[: n + 1] += chance * rate.chances(n)[::-1]
        young = np.zeros(most + 1)
        for n, chance in enumerate(good):
            if chance > 0:
                young[: n + 1] += chance * self.hatching.chances(n)
        return CountLaw(young)

    def ground(self, dam: str = "") -> str:
        """What the numbers rest on, in words."""
        usual = self.catalogue.reproduction["clutch_size_mean"]
        said = f"{usual.value:g} eggs a clutch ({usual.mark})"
        if not self.n_own:
            return said
        hers = sum(one.dam == dam for one in self.sizes.own)
        of_hers = f", {hers} of them hers" if hers else ""
        return f"{self.n_own} {'clutch' if self.n_own == 1 else 'clutches'} of yours{of_hers}, drawn towards {said}"


def good_egg_rate(catalogue: Catalogue) -> Value:
    """Share of good eggs that hatches: the hatch rate over the share that are no slugs."""
    every, good = catalogue.reproduction["hatch_rate"], 1 - assumed(catalogue, "slug_rate").value
    value = min(every.value / good, MOST_HATCH)
    half = min((every.high - every.low) / good / 2, value, 1 - value + 0.1)
    return Value(value, value - half, value + half, "", every.mark, every.source)


def _learned(value: Value, clumping: Value, groups: Sequence[tuple[int, int]]) -> ClumpedRate:
    sd = max((value.high - value.low) / (2 * Z_90), 1e-3)
    sd = min(sd, 0.7 * (value.value * (1 - value.value)) ** 0.5)
    k, n = (np.array([group[i] for group in groups], dtype=np.int64) for i in (0, 1))
    return ClumpedRate.learned(value.value, sd, (clumping.low, clumping.value, clumping.high), k=k, n=n)
