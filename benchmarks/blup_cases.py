"""B1 to B4: breeding values and variances of large pedigrees."""

from __future__ import annotations

import time
from collections.abc import Iterator

import blup_peer
import descent_pedigrees
import generator
import measuring
import numpy as np

from holdback.descent.inbreeding_fast import inbreeding_fast
from holdback.size.sparse.conjugate_gradient import Solved, solve_by_conjugate_gradient
from holdback.size.sparse.factorise import factorise
from holdback.size.sparse.model import AnimalModel
from holdback.size.sparse.monte_carlo import DrawnVariances, drawn_reml
from holdback.size.sparse.reml import sparse_reml

HERITABILITY, GROUPS, RECORDED = 0.35, 50, 0.7
LOOSE, TIGHT = 1e-8, 1e-12
"""Residuals: of the race, and of what results are held against."""

SAME = 1e-6
"""Largest difference of tight solutions, in standard deviations of breeding values."""

SAME_EXACT = 1e-8

SAME_VARIANCES = 1e-5
"""Relative."""

HALF = 0.5
"""Sampling standard errors that drawn traces may be off."""


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """All cases."""
    yield _iterated("B1a", 20_000 if short else 1_000_000, few=True)
    yield _iterated("B1b", 20_000 if short else 1_000_000, few=False)
    yield _against_factor("B2", 10_000 if short else 100_000)
    yield _variances("B3", 1000 if short else 3000)
    yield _drawn("B4", 1000 if short else 10_000)


def herd(animals: int, *, few: bool, groups: int = GROUPS) -> blup_peer.Data:
    """A bred herd, seven animals in ten measured, all variances together 1."""
    parents = descent_pedigrees.overlapping(animals, few=few)
    inbreeding = inbreeding_fast(parents)
    random = generator.rng(f"blup {'few' if few else 'random'} {animals}")
    recorded = np.flatnonzero(random.random(animals) < RECORDED)
    group = random.integers(0, groups, len(recorded))
    noise = np.sqrt(1.0 - HERITABILITY) * random.standard_normal(len(recorded))
    data = blup_peer.Data(parents, inbreeding, recorded, group, noise, (1.0 - HERITABILITY) / HERITABILITY)
    # the last place stands for an unknown parent
    value = np.append(np.sqrt(HERITABILITY * data.mendelian) * random.standard_normal(animals), 0.0)
    for cohort in np.array_split(np.arange(animals), descent_pedigrees.COHORTS):
        value[cohort] += 0.5 * value[parents[cohort]].sum(axis=1)
    data.values[:] += 2.0 * random.standard_normal(groups)[group] + value[recorded]
    return data


def modelled(data: blup_peer.Data) -> AnimalModel:
    """The model of a herd's records."""
    return AnimalModel.of_parents(
        data.parents, data.inbreeding, animals=data.animals, groups=data.groups, values=data.values
    )


def _own(data: blup_peer.Data, tolerance: float) -> Solved:
    return solve_by_conjugate_gradient(modelled(data), data.ratio, tolerance=tolerance)


def _peer(data: blup_peer.Data, tolerance: float) -> np.ndarray:
    return blup_peer.by_conjugate_gradient(*blup_peer.assembled(data), tolerance)


def _whole(found: Solved) -> np.ndarray:
    return np.concatenate([found.animals, found.groups])


def _iterated(case: str, animals: int, *, few: bool) -> measuring.Measured:
    """From arrays to the solution, in turns with scipy's conjugate gradients, building of the matrix counted."""
    data = herd(animals, few=few)
    exact, theirs_exact = _whole(_own(data, TIGHT)), _peer(data, TIGHT)
    unit = float(exact[:animals].std())
    difference = float(np.abs(exact - theirs_exact).max()) / unit
    if difference > SAME:
        raise measuring.WrongError(f"{case}: solutions differ by {difference:.3g} standard deviations")
    mine, theirs = measuring.alternate(lambda: _own(data, LOOSE), lambda: _peer(data, LOOSE), rounds=(1, 1))
    found = _own(data, LOOSE)
    what = f"breeding values of {animals:,}, {'few sires' if few else 'random mating'}, scipy"
    measured = measuring.compared(case, what, mine, theirs)
    table, right = blup_peer.assembled(data)
    measured.notes.update(
        peer_solving_seconds=measuring.one(lambda: blup_peer.by_conjugate_gradient(table, right, LOOSE), rounds=1),
        steps=found.iterations,
        off=float(np.abs(_whole(found) - exact).max()) / unit,
        peer_off=float(np.abs(_peer(data, LOOSE) - exact).max()) / unit,
        difference=difference,
    )
    return measured


def _against_factor(case: str, animals: int) -> measuring.Measured:
    """Conjugate gradients to a tight residual against a factorisation by qdldl; the own exact way in the notes."""
    data = herd(animals, few=True)
    right = modelled(data).right_side(data.values)
    theirs = blup_peer.by_factor(*blup_peer.assembled(data))
    for way, found in (
        ("iterated", _own(data, TIGHT)),
        ("factorised", factorise(modelled(data), data.ratio).solution(*right)),
    ):
        difference = float(np.abs(_whole(found) - theirs).max())
        if difference > SAME_EXACT:
            raise measuring.WrongError(f"{case}: {way} solution differs by {difference:.3g}")
    measured = measuring.compared(
        case,
        f"breeding values of {animals:,}, few sires, exact: qdldl",
        *measuring.alternate(
            lambda: _own(data, TIGHT), lambda: blup_peer.by_factor(*blup_peer.assembled(data)), rounds=(1, 1)
        ),
    )
    start = time.perf_counter()
    factorise(modelled(data), data.ratio).solution(*right)
    measured.notes["own_factor_seconds"] = time.perf_counter() - start
    return measured


def _variances(case: str, animals: int) -> measuring.Measured:
    """Restricted maximum likelihood against the dense way; both from arrays to both variances."""
    data = herd(animals, few=True)
    own, peer = sparse_reml(modelled(data)), blup_peer.dense_variances(data)
    difference = float(np.abs(np.array([own.additive, own.residual]) / peer - 1.0).max())
    if difference > SAME_VARIANCES:
        raise measuring.WrongError(f"{case}: variances differ by {difference:.3g} of their size")
    mine, theirs = measuring.alternate(
        lambda: sparse_reml(modelled(data)), lambda: blup_peer.dense_variances(data), rounds=(3, 1)
    )
    measured = measuring.compared(case, f"variances of {animals:,}, few sires: eigenvalues of all", mine, theirs)
    measured.notes.update(steps=len(own.path) - 1, heritability=own.heritability, difference=difference)
    return measured


def _drawn(case: str, animals: int) -> measuring.Measured:
    """Drawn traces against the exact way, random mating; they must agree within half a standard error."""
    data = herd(animals, few=False)

    def own() -> DrawnVariances:
        return drawn_reml(modelled(data), generator.rng(f"signs {animals}"), n_drawn=32)

    found, exact = own(), sparse_reml(modelled(data))
    error = float(np.sqrt(exact.covariance[0, 0]))
    away = abs(found.additive - exact.additive) / error
    if not found.is_converged or away > HALF:
        raise measuring.WrongError(f"{case}: the additive variance is {away:.3g} standard errors off")
    mine, theirs = measuring.alternate(own, lambda: sparse_reml(modelled(data)), rounds=(3, 1))
    measured = measuring.compared(case, f"variances of {animals:,}, random mating, 32 draws: exact way", mine, theirs)
    measured.notes.update(steps=found.steps, off_in_errors=away)
    return measured
