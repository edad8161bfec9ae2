"""All readings that count, as arrays by animal, and who the animals are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.collection.collection import Collection
from holdback.collection.model import Sex, Trait
from holdback.descent.pedigree import Pedigree
from holdback.size.growth.nodes import Nodes, SparseRows, nodes_of
from holdback.size.lines import LineShares
from holdback.size.readings import Readings
from holdback.species.catalogue import Catalogue

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.int64]
BoolArray = npt.NDArray[np.bool_]

YEAR_DAYS = 365.25
MONTHS = 12.0
TRAITS = (Trait.MASS, Trait.SNOUT_VENT_LENGTH, Trait.TOTAL_LENGTH, Trait.HEAD_WIDTH, Trait.HEAD_LENGTH)
"""Traits that tell of size, mass first; girth tells of the last meal."""
HEADS = (Trait.HEAD_WIDTH, Trait.HEAD_LENGTH)

_STEPS = (0, 1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128)
"""Animals with as many readings, rounded up to one of these, are worked on together."""


@dataclass(frozen=True, eq=False)
class Bucket:
    """Animals with about as many readings as each other; missing places have weight 0.

    Parameters
    ----------
    animals : int array, shape (n,)
        Places in the order of the data.
    years : float array, shape (n, r)
        Age in years by the middle of what is known of the day of hatching, so it may be below nought; time since the
        first weight where the age is not known.
    values : float array, shape (n, r)
        Natural logarithm of gram or centimetre.
    traits : int array, shape (n, r)
        Index into the traits of the data.
    there : float array, shape (n, r)
        1 where there is a reading, 0 where not.
    sd : float array, shape (n, r)
        Standard deviation of readings that state one of their own (the species' usual figures); 0 for the common one.
    """

    animals: IndexArray
    years: FloatArray
    values: FloatArray
    traits: IndexArray
    there: FloatArray
    sd: FloatArray


@dataclass(frozen=True, eq=False)
class GrowthData:
    """What the fit takes. The last two rows stand for the usual figures of females and males of the species.

    Parameters
    ----------
    ids : tuple of str
        Animals on record, n_animals of them, in record order.
    nodes : Nodes
        How all rows are made of the equations.
    female : float array, shape (n_rows,)
        1 for a female, 0 for a male, 1/2 where the sex is not known.
    has_age : bool array, shape (n_rows,)
        Whether the day of hatching is known at least to the year.
    born_sd : float array, shape (n_rows,)
        Standard deviation of the day of hatching, in years.
    day_zero : float array, shape (n_rows,)
        Ordinal day from which years count; NaN for an animal never measured of unknown age.
    start : float array, shape (n_rows,)
        Logarithm of the first weight where the age is not known, else 0.
    egg : float array, shape (n_rows,)
        Logarithm of the mass of its egg less the mean of all, 0 where not known.
    clutch : int array, shape (n_rows,)
        Index of the clutch it hatched from, -1 for none.
    n_clutches : int
        Clutches that an index is of.
    shares : float array, shape (n_rows, n_lines)
        Expected share of each line.
    share_variances : float array, shape (n_rows, n_lines)
        Variance of the share given the parents' shares.
    room : int array, shape (n_rows,)
        Index of how it grew up, -1 where that is not known or all grew up alike.
    rooms : tuple of str
        Ways of growing up; empty where there is one only.
    lines : tuple of str
        Names.
    traits : tuple of Trait
        Traits with a reading, mass first.
    buckets : tuple of Bucket
        Readings.
    is_usual : bool array, shape (n_rows,)
        The rows of the usual figures.
    """

    ids: tuple[str, ...]
    nodes: Nodes
    female: FloatArray
    has_age: BoolArray
    born_sd: FloatArray
    day_zero: FloatArray
    start: FloatArray
    egg: FloatArray
    clutch: IndexArray
    n_clutches: int
    shares: FloatArray
    share_variances: FloatArray
    equation_share_variances: FloatArray
    room: IndexArray
    rooms: tuple[str, ...]
    lines: tuple[str, ...]
    traits: tuple[Trait, ...]
    buckets: tuple[Bucket, ...]
    is_usual: BoolArray

    @cached_property
    def members(self) -> IndexArray:
        """Rows that hatched from a clutch."""
        return np.flatnonzero(self.clutch >= 0)

    @cached_property
    def _clutch_places(self) -> tuple[SparseRows, IndexArray, IndexArray]:
        made = self.nodes.made_of
        entries = np.flatnonzero(self.clutch[made.rows] >= 0)
        keys = self.clutch[made.rows[entries]] * max(made.n_cols, 1) + made.cols[entries]
        places, place = np.unique(keys, return_inverse=True)
        rows: list[list[tuple[int, float]]] = [[] for _ in range(self.n_clutches)]
        for key in places.tolist():
            rows[key // max(made.n_cols, 1)].append((key % max(made.n_cols, 1), 0.0))
        return SparseRows.of(rows, made.n_cols), entries, place

    @property
    def clutch_pattern(self) -> SparseRows:
        """Equations that the animals of each clutch are made of, without values; shape (n_clutches, n_equations)."""
        return self._clutch_places[0]

    @property
    def clutch_entries(self) -> tuple[IndexArray, IndexArray]:
        """Entries of `made_of` of the animals of clutches, and the entry of `clutch_pattern` that each adds to."""
        return self._clutch_places[1], self._clutch_places[2]

    @property
    def n_rows(self) -> int:
        """Animals, and the two rows of the usual figures."""
        return len(self.female)


USUAL_SD = 0.4
"""How far, on the log scale, one of the usual figures may be from the mean of a keeper's ordinary animals (assumed)."""


def growth_data(
    collection: Collection,
    pedigree: Pedigree,
    lines: Sequence[LineShares],
    readings: Readings,
    catalogue: Catalogue,
) -> GrowthData:
    """Readings and animals of a collection as arrays."""
    animals = list(collection.animals.values())
    place = {one.id: number for number, one in enumerate(animals)}
    n = len(animals)
    nodes = nodes_of(pedigree, [*(pedigree.index[one.id] for one in animals), -1, -1])
    series = [_series(readings, one.id) for one in animals]
    present = {trait for one in series for trait, _, _ in one}
    traits = tuple(trait for trait in TRAITS if trait is Trait.MASS or trait in present)
    day_zero, has_age, born_sd, start = _time(readings, [one.id for one in animals], series)
    eggs = {place[one]: np.log(mass) for one, mass in readings.egg_mass.items() if one in place}
    mean_egg = float(np.mean(list(eggs.values()))) if eggs else 0.0
    egg = np.zeros(n + 2)
    for number, value in eggs.items():
        egg[number] = value - mean_egg
    clutch, n_clutches = _clutches([one.clutch for one in animals], has_age)
    room, rooms = _rooms([readings.rearing.get(one.id, "") for one in animals], series)
    where = nodes.own_node[:n]
    female = np.array([{Sex.FEMALE: 1.0, Sex.MALE: 0.0}.get(one.sex, 0.5) for one in animals] + [1.0, 0.0])
    return GrowthData(
        tuple(one.id for one in animals),
        nodes,
        female,
        np.append(has_age, [True, True]),
        np.append(born_sd, [0.0, 0.0]),
        np.append(day_zero, [0.0, 0.0]),
        np.append(start, [0.0, 0.0]),
        egg,
        np.append(clutch, [-1, -1]),
        n_clutches,
        _stacked([one.means[where] for one in lines], n),
        _stacked([one.variances[where] for one in lines], n),
        np.stack([one.variances[list(nodes.equations)] for one in lines], axis=1)
        if lines
        else np.zeros((len(nodes.equations), 0)),
        np.append(room, [-1, -1]),
        rooms,
        tuple(one.line for one in lines),
        traits,
        _buckets(series, day_zero, traits, catalogue),
        np.append(np.zeros(n, dtype=np.bool_), [True, True]),
    )


def _stacked(columns: Sequence[FloatArray], n: int) -> FloatArray:
    """Columns side by side with two rows of nought below, shape (n + 2, len(columns))."""
    found = np.zeros((n + 2, len(columns)))
    for number, column in enumerate(columns):
        found[:n, number] = column
    return found


Series = list[tuple[Trait, float, float]]


def _series(readings: Readings, animal: str) -> Series:
    """Trait, day and logarithm of the readings of an animal that count."""
    return [
        (one.measurement.trait, one.day, float(np.log(one.value)))
        for one in readings.by_animal.get(animal, ())
        if one.counts and one.measurement.trait in TRAITS
    ]


def _time(
    readings: Readings, animals: Sequence[str], series: Sequence[Series]
) -> tuple[FloatArray, BoolArray, FloatArray, FloatArray]:
    """Day from which years count, whether that is the day of hatching, its spread, and the first weight where not."""
    n = len(animals)
    day_zero, born_sd, start = np.full(n, np.nan), np.zeros(n), np.zeros(n)
    has_age = np.zeros(n, dtype=np.bool_)
    for number, animal in enumerate(animals):
        hatched = readings.hatched.get(animal)
        weights = [(day, value) for trait, day, value in series[number] if trait is Trait.MASS]
        if hatched is not None:
            day_zero[number], has_age[number] = hatched.middle, True
            born_sd[number] = (hatched.latest - hatched.earliest) / 12**0.5 / YEAR_DAYS
        elif weights:
            day_zero[number], start[number] = min(weights)
        elif series[number]:
            day_zero[number] = min(day for _, day, _ in series[number])
    return day_zero, has_age, born_sd, start


def _clutches(names: Sequence[str | None], has_age: BoolArray) -> tuple[IndexArray, int]:
    """Index of the clutch of each animal whose age is known, -1 for none."""
    index: dict[str, int] = {}
    found = np.full(len(names), -1, dtype=np.int64)
    for number, name in enumerate(names):
        if name is not None and has_age[number]:
            found[number] = index.setdefault(name, len(index))
    return found, len(index)


def _rooms(labels: Sequence[str], series: Sequence[Series]) -> tuple[IndexArray, tuple[str, ...]]:
    """Index of each animal's way of growing up; none where the weighed animals all grew up alike."""
    weighed = dict.fromkeys(label for label, one in zip(labels, series, strict=True) if label and one)
    if len(weighed) < 2:
        return np.full(len(labels), -1, dtype=np.int64), ()
    index = {label: number for number, label in enumerate(weighed)}
    return np.array([index.get(label, -1) for label in labels], dtype=np.int64), tuple(index)


def _buckets(
    series: Sequence[Series], day_zero: FloatArray, traits: tuple[Trait, ...], catalogue: Catalogue
) -> tuple[Bucket, ...]:
    number_of = {trait: number for number, trait in enumerate(traits)}
    rows: list[list[tuple[float, float, int, float]]] = [
        [((day - zero) / YEAR_DAYS, value, number_of[trait], 0.0) for trait, day, value in one if np.isfinite(zero)]
        for one, zero in zip(series, day_zero, strict=True)
    ]
    for sex in (Sex.FEMALE, Sex.MALE):
        usual = [row for row in catalogue.growth if row.sex in {str(sex), "any", ""}]
        rows.append(
            [
                (row.age_months / MONTHS, float(np.log(row.low_g * row.high_g)) / 2, 0, USUAL_SD)
                for row in sorted(usual, key=lambda row: row.age_months)
            ]
        )
    return tuple(_bucketed(rows))


def _bucketed(rows: Sequence[list[tuple[float, float, int, float]]]) -> list[Bucket]:
    by_size: dict[int, list[int]] = {}
    for number, one in enumerate(rows):
        size = next((step for step in _STEPS if step >= len(one)), len(one))
        by_size.setdefault(size, []).append(number)
    found = []
    for size, members in sorted(by_size.items()):
        shape = (len(members), size)
        years, values, there, sd = (np.zeros(shape) for _ in range(4))
        traits = np.zeros(shape, dtype=np.int64)
        for line, number in enumerate(members):
            for place, (year, value, trait, own_sd) in enumerate(rows[number]):
                years[line, place], values[line, place], traits[line, place] = year, value, trait
                there[line, place], sd[line, place] = 1.0, own_sd
        found.append(Bucket(np.array(members, dtype=np.int64), years, values, traits, there, sd))
    return found
