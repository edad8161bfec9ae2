"""K1 to K3: the working year of the demo from records to what is due, places by week, and the exact test of a ratio."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Iterator

import measuring
import numpy as np
from scipy.stats import multinomial

from holdback.answers.season import Season
from holdback.collection.collection import Collection
from holdback.demo_data import LAST_DAY, folder
from holdback.season.load import load as places_wanted
from holdback.season.outlook import Step
from holdback.season.ratio import ratio_test
from holdback.species import load

COPIES = 10
FORETOLD = {"Clown": 0.25, "Enchi": 0.25, "Enchi Clown": 0.125, "Pastel": 0.125, "Pastel Clown": 0.125, "Normal": 0.125}
CAME = {"Clown": 5, "Enchi": 1, "Enchi Clown": 0, "Pastel": 2, "Pastel Clown": 1, "Normal": 0}


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """All three cases."""
    collection = Collection.from_folder(folder() / "collection")
    yield _whole_season(collection, runs=3 if short else 7)
    yield _load(collection, runs=3 if short else 7)
    yield _ratio()


def _whole_season(collection: Collection, *, runs: int) -> measuring.Measured:
    """From records to everything that the Desk shows, nothing kept."""
    catalogue, seconds = load(), []
    for _ in range(runs):
        start = time.perf_counter()
        season = Season(collection, catalogue, on=LAST_DAY)
        found = len(season.due), len(season.load.eggs)
        seconds.append(time.perf_counter() - start)
        if not all(found):
            raise measuring.WrongError("K1: nothing is due, or no week was told")
    return measuring.alone("K1", "season of the demo: forecasts, places, meals, due", seconds, limit=1.0)


def _load(collection: Collection, *, runs: int) -> measuring.Measured:
    """Places by week for many females; held against as many times the places of the few."""
    season = Season(collection, load(), on=LAST_DAY)
    busy = [one for one in season.outlooks if one.step not in (Step.RESTS, Step.OVER)]
    females, clutches = busy * COPIES, list(season.clutches.values()) * COPIES
    seconds = []
    for _ in range(runs):
        start = time.perf_counter()
        found = places_wanted(
            females, clutches, today=season.on, intervals=season.intervals, counts=season.counts, room=season.room
        )
        seconds.append(time.perf_counter() - start)
    few, many = (np.array([week.expected for week in one.eggs]) for one in (season.load, found))
    if not np.allclose(many, COPIES * few, atol=6 * COPIES * max(season.load.standard_error, found.standard_error)):
        raise measuring.WrongError("K2: ten of each female do not want ten times the places")
    what = f"egg places and tubs of {len(females)} females, {found.draws} seasons drawn"
    return measuring.alone("K2", what, seconds, limit=0.5, standard_error=found.standard_error)


def _ratio() -> measuring.Measured:
    """Exact multinomial test of nine young in six looks, held against scipy's law over every result."""
    own, peer = measuring.alternate(
        lambda: ratio_test(FORETOLD, CAME).p_value, lambda: one_by_one(FORETOLD, CAME), rounds=(5, 1)
    )
    if not math.isclose(ratio_test(FORETOLD, CAME).p_value, one_by_one(FORETOLD, CAME), rel_tol=1e-9):
        raise measuring.WrongError("K3: the two ways differ")
    return measuring.compared("K3", "exact test of 9 young in 6 looks", own, peer)


def one_by_one(foretold: dict[str, float], came: dict[str, int]) -> float:
    """Chance of a result as unlikely as this or more so: scipy's multinomial law over every result."""
    n, looks = sum(came.values()), len(foretold)
    bars = np.array(list(itertools.combinations(range(n + looks - 1), looks - 1)))
    counts = np.diff(np.pad(bars, ((0, 0), (1, 1)), constant_values=((0, 0), (-1, n + looks - 1))), axis=1) - 1
    law = multinomial(n, list(foretold.values()))
    seen = law.pmf([came[look] for look in foretold]) * (1 + 1e-7)
    each = law.pmf(counts)
    return float(each[each <= seen].sum())
