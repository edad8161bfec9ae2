"""Drawn pedigrees with records, and the equations of a model written out as one dense table."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from holdback.descent.kinship import relationship
from holdback.descent.pedigree import Pedigree
from holdback.size.sparse.model import AnimalModel

FloatArray = npt.NDArray[np.float64]


def pedigree(n: int, seed: int, *, sires: float = 0.3, near: int = 12) -> Pedigree:
    """Animals with parents among the few born before them, so that many are inbred; one parent in eight unknown."""
    random = np.random.default_rng(np.random.SeedSequence([20, seed]))
    is_sire = random.random(n) < sires
    parents: dict[str, tuple[str | None, str | None]] = {}
    for x in range(n):
        pool = np.arange(max(0, x - near), x)
        drawn: list[str | None] = []
        for mates in (pool[is_sire[pool]], pool[~is_sire[pool]]):
            known = mates.size > 0 and random.random() < 0.875
            drawn.append(f"A{random.choice(mates)}" if known else None)
        parents[f"A{x}"] = (drawn[0], drawn[1])
    return Pedigree.from_parents(parents)


def model(n: int, seed: int, *, groups: int = 4, repeats: bool = True, heritability: float = 0.4) -> AnimalModel:
    """Records of seven animals in ten, some several times and in several groups, with unequal weights."""
    drawn = pedigree(n, seed)
    random = np.random.default_rng(np.random.SeedSequence([21, seed]))
    animals = np.flatnonzero(random.random(n) < 0.7)
    if repeats:
        animals = np.sort(np.append(animals, random.choice(animals, n // 5)))
    group = random.permutation(np.arange(len(animals)) % groups)
    root = np.linalg.cholesky(relationship(drawn))
    breeding = np.sqrt(heritability) * (root @ random.standard_normal(n))
    noise = np.sqrt(1.0 - heritability) * random.standard_normal(len(animals))
    weights = random.choice([0.5, 1.0, 2.0], len(animals))
    return AnimalModel.of(
        drawn,
        animals=animals,
        groups=group,
        values=0.7 * group + breeding[animals] + noise / np.sqrt(weights),
        weights=weights,
    )


def relationships(given: AnimalModel) -> FloatArray:
    """A by the tabular method."""
    table = np.zeros((given.n, given.n))
    for x, (sire, dam) in enumerate(given.parents.tolist()):
        for parent in (sire, dam):
            if parent >= 0:
                table[x, :x] += 0.5 * table[parent, :x]
        table[:x, x] = table[x, :x]
        table[x, x] = 1.0 + (0.5 * table[sire, dam] if min(sire, dam) >= 0 else 0.0)
    return table


def equations(given: AnimalModel, ratio: float) -> tuple[FloatArray, FloatArray]:
    """Coefficients and right side, groups first, with the inverse of the whole relationship matrix."""
    design = np.zeros((len(given.values), given.n_groups + given.n))
    design[np.arange(len(design)), given.groups] = 1.0
    design[np.arange(len(design)), given.n_groups + given.animals] = 1.0
    table = design.T @ (given.weights[:, None] * design)
    table[given.n_groups :, given.n_groups :] += ratio * np.linalg.inv(relationships(given))
    return table, design.T @ (given.weights * given.values)
