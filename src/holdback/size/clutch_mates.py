"""Young of a clutch beside each other, after allowing for dam, egg and clutch."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import cached_property

import numpy as np

from holdback.collection.collection import Collection
from holdback.collection.model import Trait
from holdback.size.animal_sizes import AnimalSizes
from holdback.size.evaluation import Hatchling
from holdback.size.readings import Readings

FIRST_DAYS = 21.0
"""Days after hatching within which the first weight counts as that of the hatchling."""
LEAST = 1e-9
"""Least chance told; no animal is ruled out by its weights."""
_PLACES = np.linspace(-5.0, 5.0, 401)


class ClutchMates(Mapping[str, tuple[Hatchling, ...]]):
    """Hatchlings by clutch, the largest forecast first; clutches of which none was weighed are left out.

    Parameters
    ----------
    collection : Collection
        Records.
    readings : Readings
        Weights.
    animals : AnimalSizes
        Sizes.
    """

    def __init__(self, collection: Collection, readings: Readings, animals: AnimalSizes) -> None:
        self._collection = collection
        self._readings = readings
        self._animals = animals

    @cached_property
    def _members(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for one in self._collection.animals.values():
            if one.clutch is not None and one.id not in self._collection.died_in_egg:
                found.setdefault(one.clutch, []).append(one.id)
        return {
            clutch: members for clutch, members in found.items() if any(self._animals[one].n_weights for one in members)
        }

    @cached_property
    def _eggs(self) -> dict[str, str]:
        return {egg.animal: egg.egg for egg in self._collection.records.eggs if egg.animal is not None}

    def __len__(self) -> int:
        """Number of clutches with a young weighed."""
        return len(self._members)

    def __iter__(self) -> Iterator[str]:
        """Clutch ids."""
        return iter(self._members)

    def __getitem__(self, clutch: str) -> tuple[Hatchling, ...]:
        """Hatchlings of a clutch; KeyError where none was weighed."""
        members = self._members[clutch]
        chances = self._chances(members)
        found = [self._hatchling(one, chance) for one, chance in zip(members, chances, strict=True)]
        return tuple(sorted(found, key=lambda one: (-one.deviation.mean, one.animal)))

    def _hatchling(self, animal: str, chance: float) -> Hatchling:
        size = self._animals[animal]
        return Hatchling(
            animal=animal,
            egg=self._eggs.get(animal, ""),
            egg_mass_g=self._readings.egg_mass.get(animal),
            hatch_mass_g=self._first_mass(animal),
            hatching=size.hatching,
            adult_mass_g=size.adult_mass_g,
            deviation=size.deviation,
            chance_best=chance,
        )

    def _first_mass(self, animal: str) -> float | None:
        hatched = self._readings.hatched.get(animal)
        for one in self._readings.by_animal.get(animal, ()):
            if one.counts and one.measurement.trait is Trait.MASS and hatched is not None:
                return one.value if one.day - hatched.middle <= FIRST_DAYS else None
        return None

    def _chances(self, members: list[str]) -> list[float]:
        """Chance of each to have the largest adult deviation, by what differs between clutch mates alone.

        What they share (parents, line, clutch) moves all alike; beside it each has a normal law of its own.
        """
        curves = self._animals.curves
        solution, nodes = curves.fit.solution, curves.fit.curves.data.nodes
        p = curves.fit.curves.columns.n_common
        own = nodes.mendelian.quadratic(solution.variance[p:, p:])
        place = {node: number for number, node in enumerate(nodes.equations)}
        means, sds = [], []
        for one in members:
            number = curves.place[one]
            variance = float(solution.absorbed.own_variance[number, 0, 0])
            equation = place.get(int(nodes.own_node[number]))
            means.append(float(self._animals.deviation.mean[number]))
            sds.append((variance + (float(own[equation]) if equation is not None else 0.0)) ** 0.5)
        return _chance_largest(np.array(means), np.array(sds))


def _chance_largest(means: np.ndarray, sds: np.ndarray) -> list[float]:
    """Chance of each of some independent normal laws to give the largest value, by the trapezoidal rule."""
    found = []
    for number in range(len(means)):
        at = means[number] + sds[number] * _PLACES
        density = np.exp(-0.5 * _PLACES**2) / math.sqrt(2 * math.pi)
        for other in range(len(means)):
            if other != number:
                density = density * [0.5 * (1 + math.erf((x - means[other]) / sds[other] / 2**0.5)) for x in at]
        found.append(max(float(np.trapezoid(density, _PLACES)), LEAST))
    total = sum(found)
    return [one / total for one in found]
