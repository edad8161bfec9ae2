"""True genotypes of the animals at hand, drawn together in blocks of runs.

A block is always of 250 runs and drawn from a generator of its own, so that any division of the runs gives the same.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from holdback.decisions.rehearsal.luck import WordArray, further, number_of, run_words, units
from holdback.decisions.rehearsal.setting import Setting
from holdback.decisions.stock import GenesAtHand

CodeArray = npt.NDArray[np.uint8]

BLOCK = 250
"""Runs of a block."""


def true_genes(
    genes: GenesAtHand, setting: Setting, names: tuple[str, ...], *, seed: int, first: int, count: int
) -> CodeArray:
    """Allele numbers of the animals at hand.

    Parameters
    ----------
    genes : GenesAtHand
        What they may carry.
    setting : Setting
        Whom, and at which loci.
    names : tuple of str
        Animals that are drawn together: those of the setting and others.
    seed, first, count : int
        Runs; `first` and `count` are multiples of `BLOCK`.

    Returns
    -------
    uint8 array, shape (count, A, L, 2)
        At a sex-linked locus of the heterogametic sex the allele of the sex-limited chromosome comes second, else the
        larger number comes first.
    """
    assert first % BLOCK == 0, "runs are drawn in whole blocks"
    assert count % BLOCK == 0, "runs are drawn in whole blocks"
    columns = [names.index(name) for name in setting.names]
    found = np.zeros((count, setting.n_hand, len(setting.genes.loci), 2), np.uint8)
    for block in range(count // BLOCK):
        rows = slice(block * BLOCK, (block + 1) * BLOCK)
        for number, locus in enumerate(setting.genes.loci):
            rng = np.random.default_rng([seed, first // BLOCK + block, number_of(locus)])
            pairs, drawn = genes.draw(names, locus, BLOCK, rng)
            codes = setting.genes.codes[number]
            table = np.array([[codes.get(one, 0) for one in alleles] for alleles in pairs], np.uint8)
            found[rows, :, number] = table[drawn[:, columns]]
    _put_in_order(found, setting, run_words(seed, first, count))
    return found


def _put_in_order(found: CodeArray, setting: Setting, words: WordArray) -> None:
    """Bring the two alleles of each animal into the order that gametes are taken from."""
    for number in range(found.shape[2]):
        at = found[:, :, number]
        limited = setting.is_male[: setting.n_hand] == setting.genes.male_is_hetero
        if np.isnan(setting.genes.linked[number]):
            limited = np.zeros_like(limited)
        plain = np.flatnonzero(~limited)
        at[:, plain] = np.sort(at[:, plain], axis=2)[:, :, ::-1]
        for animal in np.flatnonzero(limited):
            luck = units(further(further(words, int(setting.slot_words[animal])), number_of(f"phase {number}")))
            swapped = luck >= setting.phase[animal, number]
            at[swapped, animal] = at[swapped, animal][:, ::-1]
