"""What a keeper may know of the young of a clutch by their looks, and learns of the parents.

Notation: s and d are the copies of a gene that sire and dam have, c those of a young, and the look of a young says only
which numbers of copies look like its own. The posterior of (s, d) given the looks of a whole clutch is Bayes' rule on
nine cases; genes and clutches count as independent, and grandparents learn nothing.
"""

from __future__ import annotations

import numpy as np

from holdback.decisions.rehearsal.clutches import Young
from holdback.decisions.rehearsal.setting import BoolArray, FloatArray, IntArray, Setting
from holdback.decisions.rehearsal.state import Float32Array, State

_PASSES = np.array([0.0, 0.5, 1.0])
_CERTAIN = 1.0 - 1e-6


def _transmission() -> FloatArray:
    """P(c | s, d), shape (3, 3, 3)."""
    table = np.empty((3, 3, 3))
    for s, a in enumerate(_PASSES):
        for d, b in enumerate(_PASSES):
            table[s, d] = [(1 - a) * (1 - b), a * (1 - b) + b * (1 - a), a * b]
    return table


TRANSMISSION = _transmission()


def known_of_young(setting: Setting, state: State, young: Young, copies: IntArray) -> tuple[Float32Array, Float32Array]:
    """What is known of each young, and learn of the parents.

    Parameters
    ----------
    setting : Setting
        Which numbers of copies look the same.
    state : State
        Beliefs of the parents, brought up to date here.
    young : Young
        Young of some clutches.
    copies : int array, shape (n, G)
        True copies of each gene.

    Returns
    -------
    float32 array, shape (n, G, 3)
        Chances of no, one and two copies given the looks of the whole clutch.
    float32 array, shape (n, G, 3)
        The same by its own look and what was known of its parents before: what such a young is called.
    """
    n_genes = len(setting.genes.code)
    by_clutch = np.empty((len(young.clutch), n_genes, 3), np.float32)
    by_name = np.empty_like(by_clutch)
    sires = np.where((young.sire >= 0)[:, None, None], state.belief[young.run, np.maximum(young.sire, 0)], _WILD)
    dams = state.belief[young.run, young.dam]
    for gene in range(n_genes):
        own = copies[:, gene]
        looks = setting.genes.looks[gene]
        before = (sires[:, gene].astype(np.float64), dams[:, gene].astype(np.float64))
        is_sure = all(bool((one > _CERTAIN).any(axis=1).all()) for one in before)
        if is_sure:
            s, d = (one.argmax(axis=1)[young.clutch] for one in before)
            by_clutch[:, gene] = by_name[:, gene] = _given_look(looks)[s, d, own]
            continue
        counts = np.bincount(young.clutch * 3 + own, minlength=3 * len(young.run)).reshape(-1, 3)
        prior = before[0][:, :, None] * before[1][:, None, :]
        after = _posterior(prior, looks, counts)
        by_clutch[:, gene] = np.einsum("nsd,sdcx->ncx", after, _given_look(looks))[young.clutch, own]
        by_name[:, gene] = _named(prior, looks)[young.clutch, own]
        _learn(state, young, gene, before, after)
    return by_clutch, by_name


_WILD = np.array([1.0, 0.0, 0.0], np.float32)


def _given_look(looks: BoolArray) -> FloatArray:
    """P(copies x | s, d, looks like c), shape (3, 3, 3, 3) in the order s, d, c, x; 0 where no young looks so."""
    alike = TRANSMISSION[:, :, None, :] * looks
    total = alike.sum(axis=3, keepdims=True)
    found: FloatArray = np.divide(alike, total, out=np.zeros_like(alike), where=total > 0.0)
    return found


def _posterior(prior: FloatArray, looks: BoolArray, counts: IntArray) -> FloatArray:
    """P(s, d | looks of the clutch), shape (k, 3, 3); what is seen goes before a belief that excludes it."""
    of_look = TRANSMISSION @ looks.astype(np.float64)
    likelihood = np.ones_like(prior)
    for copies in range(3):
        likelihood *= of_look[:, :, copies] ** counts[:, copies, None, None]
    joint = prior * likelihood
    total = joint.sum(axis=(1, 2), keepdims=True)
    excluded = total[:, 0, 0] <= 0.0
    if excluded.any():
        joint[excluded] = likelihood[excluded]
        total = joint.sum(axis=(1, 2), keepdims=True)
    found: FloatArray = joint / total
    return found


def _named(prior: FloatArray, looks: BoolArray) -> FloatArray:
    """P(copies x | looks like c) by the prior of the parents, shape (k, 3, 3)."""
    alike = np.einsum("nsd,sdx->nx", prior, TRANSMISSION)[:, None, :] * looks
    total = alike.sum(axis=2, keepdims=True)
    found: FloatArray = np.divide(alike, total, out=np.zeros_like(alike), where=total > 0.0)
    return found


def _learn(state: State, young: Young, gene: int, before: tuple[FloatArray, FloatArray], after: FloatArray) -> None:
    """Bring the parents up to date; a sire with several clutches learns from all."""
    recorded = young.sire >= 0
    sides = ((young.sire, 2, recorded), (young.dam, 1, np.ones_like(recorded)))
    for (slot, axis, known), prior in zip(sides, before, strict=True):
        told = np.divide(after.sum(axis=axis), prior, out=np.zeros_like(prior), where=prior > 0.0)
        run, place = young.run[known], slot[known]
        updated = state.belief[:, :, gene].astype(np.float64)
        np.multiply.at(updated, (run, place), told[known])
        total = updated[run, place].sum(axis=1, keepdims=True)
        shares = updated[run, place] / np.where(total > 0.0, total, 1.0)
        state.belief[run, place, gene] = np.where(total > 0.0, shares, prior[known])
