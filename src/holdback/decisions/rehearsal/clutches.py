"""Clutches and their young: laying, eggs, hatching, meiosis."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from holdback.decisions.rehearsal.luck import WordArray, further, number_of, units
from holdback.decisions.rehearsal.mating import Matings
from holdback.decisions.rehearsal.setting import BoolArray, FloatArray, IntArray, Made, Setting
from holdback.decisions.rehearsal.state import State
from holdback.decisions.rehearsal.true_genes import CodeArray

_LAID, _EGGS, _SIRE, _YOUNG = (number_of(name) for name in ("laid", "eggs", "which sire", "young"))
_MOST_LOCI = 30


@dataclass(frozen=True, eq=False)
class Young:
    """Living young of some clutches, n of them out of k clutches.

    Parameters
    ----------
    clutch : int array, shape (n,)
        Clutch of each.
    run, sire, dam, step : int array, shape (k,)
        Of the clutches that were laid; the step is -1 of a cross that was made before.
    words : uint64 array, shape (n,)
        Luck of each young.
    is_male : bool array, shape (n,)
    alleles : uint8 array, shape (n, L, 2)
    """

    clutch: IntArray
    run: IntArray
    sire: IntArray
    dam: IntArray
    step: IntArray
    words: WordArray
    is_male: BoolArray
    alleles: CodeArray

    def copies(self, setting: Setting) -> IntArray:
        """Copies of each gene, shape (n, G)."""
        genes = setting.genes
        first, second = (self.alleles[:, genes.locus, side] == genes.code for side in (0, 1))
        found: IntArray = first.astype(np.int64) + second
        return found


@dataclass(frozen=True, eq=False)
class Laid:
    """What came of some matings: eggs of each (0 where she did not lay), shape (n,), and the young."""

    is_laid: BoolArray
    eggs: IntArray
    young: Young


def made_matings(setting: Setting, state: State, made: Made) -> Matings:
    """A cross of season 0 that is made, in all runs that go on: its sire is drawn."""
    run = np.flatnonzero(state.active)
    base = further(further(state.words[run], int(setting.things[made.thing])), _SIRE)
    sire = made.sires[np.searchsorted(made.up_to, units(base), side="right")]
    dam = np.full(len(run), made.dam, np.int64)
    state.left[:, made.dam] = 0
    state.paired[:, made.dam] = True
    n = len(run)
    thing, law, step = (np.full(n, number, np.int64) for number in (made.thing, made.law, -1))
    return Matings(run, sire, dam, np.zeros(n, np.int64), thing, step, np.ones(n), law)


def laid_of(setting: Setting, state: State, matings: Matings) -> Laid:
    """Lay, hatch, and pass on genes.

    Notes
    -----
    Eggs and young of a clutch are read off their laws by one number: a clutch with many eggs has many young.
    """
    base = further(state.words[matings.run], setting.things[matings.thing])
    base = further(base, matings.attempt.astype(np.uint64))
    is_laid = units(further(base, _LAID)) < matings.lays
    size = units(further(base, _EGGS))[:, None]
    eggs = np.where(is_laid, (size >= setting.eggs_up_to[matings.law]).sum(axis=1), 0)
    count = np.where(is_laid, (size >= setting.young_up_to[matings.law]).sum(axis=1), 0)
    laid = Matings(*(getattr(matings, each.name)[is_laid] for each in fields(Matings)))
    count, base = count[is_laid], base[is_laid]
    clutch = np.repeat(np.arange(len(laid.run)), count)
    number = np.arange(len(clutch)) - np.repeat(np.cumsum(count) - count, count)
    words = further(further(base, _YOUNG)[clutch], number.astype(np.uint64))
    return Laid(is_laid, eggs, _hatched(setting, state, clutch, laid, words))


def _hatched(setting: Setting, state: State, clutch: IntArray, laid: Matings, words: WordArray) -> Young:
    """Young with their genotypes; those that die of them are left out."""
    run, sire, dam = laid.run, laid.sire, laid.dam
    of_sire = np.where((sire >= 0)[:, None, None], state.alleles[run, np.maximum(sire, 0)], 0)
    of_dam = state.alleles[run, dam]
    is_male = words >> np.uint64(63) == 1
    n_loci = len(setting.genes.loci)
    assert n_loci <= _MOST_LOCI, "one word holds the coins of 30 loci"
    alleles = np.empty((len(clutch), n_loci, 2), np.uint8)
    for locus in range(n_loci):
        coins = [(words >> np.uint64(2 * locus + side)) & np.uint64(1) for side in (0, 1)]
        if np.isnan(setting.genes.linked[locus]):
            from_sire, from_dam = (
                parent[clutch, locus, coin.astype(np.intp)]
                for parent, coin in zip((of_sire, of_dam), coins, strict=True)
            )
            alleles[:, locus, 0] = np.maximum(from_sire, from_dam)
            alleles[:, locus, 1] = np.minimum(from_sire, from_dam)
        else:
            alleles[:, locus] = _linked(setting, locus, (of_sire[clutch, locus], of_dam[clutch, locus]), words, is_male)
    found = Young(clutch, run, sire, dam, laid.step, words, is_male, alleles)
    return _surviving(setting, found)


def _linked(
    setting: Setting, locus: int, parents: tuple[CodeArray, CodeArray], words: WordArray, is_male: BoolArray
) -> CodeArray:
    """Alleles at a sex-linked locus: that of the sex-limited chromosome second in the heterogametic sex."""
    male_is_hetero = setting.genes.male_is_hetero
    hetero, homo = parents if male_is_hetero else parents[::-1]
    is_hetero = is_male if male_is_hetero else ~is_male
    crossed = units(further(words, locus)) < setting.genes.linked[locus]
    rows = np.arange(len(words))
    from_hetero = hetero[rows, (is_hetero ^ crossed).astype(np.intp)]
    from_homo = homo[rows, ((words >> np.uint64(2 * locus)) & np.uint64(1)).astype(np.intp)]
    high, low = np.maximum(from_hetero, from_homo), np.minimum(from_hetero, from_homo)
    return np.stack([np.where(is_hetero, from_homo, high), np.where(is_hetero, from_hetero, low)], axis=1)


def _surviving(setting: Setting, young: Young) -> Young:
    """Young that do not die of their genes."""
    if not setting.genes.deaths.any():
        return young
    loci = np.arange(len(setting.genes.loci))
    lives: FloatArray = (1.0 - setting.genes.deaths[loci, young.alleles[..., 0], young.alleles[..., 1]]).prod(axis=1)
    kept = units(further(young.words, number_of("dies of its genes"))) < lives
    of_young = {name: getattr(young, name)[kept] for name in ("clutch", "words", "is_male", "alleles")}
    return replace(young, **of_young)
