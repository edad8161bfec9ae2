"""Stocks with some of the hatchlings in them, each in a sex that it may have."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.holdbacks.candidate import Candidate
from holdback.decisions.stock import Stock
from holdback.season.outlook import CountLaw

_NONE = CountLaw(np.array([1.0]))
"""Eggs of a male."""


def without_candidates(stock: Stock, candidates: Sequence[Candidate]) -> Stock:
    """The stock as if no hatchling were held back; their clutches are no longer under way."""
    hatched = {one.clutch for one in candidates if one.clutch}
    open_ones = tuple(cross for cross in stock.under_way if cross.clutch not in hatched)
    return replace(stock.without([one.animal for one in candidates]), under_way=open_ones)


def with_kept(stock: Stock, candidates: Mapping[str, Candidate], sexes: Mapping[str, Sex]) -> Stock:
    """The stock with some hatchlings held back.

    Parameters
    ----------
    stock : Stock
        With all hatchlings in it.
    candidates : mapping of str to Candidate
        All hatchlings by id.
    sexes : mapping of str to Sex
        Those held back, male or female.

    Returns
    -------
    Stock
        Hatchlings have the clutches, and the chance to lay, that are counted on of bred animals; a sex that stands in
        the stock already keeps what stands there.
    """
    thin = without_candidates(stock, [one for name, one in candidates.items() if name not in sexes])
    hatched = {one.clutch for one in candidates.values() if one.clutch}
    places = {name: thin.index(name) for name in sexes}
    changed = {places[name]: sex for name, sex in sexes.items() if thin.sexes[places[name]] is not sex}
    counted = thin.breeding
    ready, clutches, lays = thin.ready.copy(), thin.clutches.copy(), thin.lays.copy()
    for name, sex in sexes.items():
        ready[places[name]] = candidates[name].ready(sex)
    for place, sex in changed.items():
        clutches[place] = counted.male_clutches if sex is Sex.MALE else 1
        lays[place] = np.nan if sex is Sex.MALE else counted.lays
    laws = {Sex.MALE: (_NONE, _NONE), Sex.FEMALE: (counted.eggs, counted.young)}
    return replace(
        thin,
        sexes=tuple(changed.get(place, sex) for place, sex in enumerate(thin.sexes)),
        ready=ready,
        clutches=clutches,
        lays=lays,
        eggs=tuple(laws[changed[k]][0] if k in changed else law for k, law in enumerate(thin.eggs)),
        young=tuple(laws[changed[k]][1] if k in changed else law for k, law in enumerate(thin.young)),
        under_way=tuple(cross for cross in thin.under_way if cross.clutch not in hatched),
    )
