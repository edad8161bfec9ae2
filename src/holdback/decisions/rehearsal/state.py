"""What changes from season to season, of many runs side by side.

Axes: R runs of the chunk, S slots, G genes, L loci, as in `setting`.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from holdback.decisions.kinds import SURE
from holdback.decisions.rehearsal.line_bits import BitArray, bits_at_hand
from holdback.decisions.rehearsal.luck import WordArray, further, normals, number_of
from holdback.decisions.rehearsal.setting import BoolArray, FloatArray, IntArray, Level, Setting
from holdback.decisions.rehearsal.true_genes import CodeArray

Float32Array = npt.NDArray[np.float32]

CLOSE = 1e-4
"""Chances and shares that differ by less are the same."""


@dataclass(eq=False)
class State:
    """State of the runs of a chunk.

    Parameters
    ----------
    words : uint64 array, shape (R,)
        What the luck of each run is hashed from.
    alleles : uint8 array, shape (R, S, L, 2)
        True genotypes.
    belief : float32 array, shape (R, S, G, 3)
        Chances of no, one and two copies, as a keeper may know them.
    alive, paired : bool array, shape (R, S)
        Whether there is an animal in the slot, and whether she was put to a male before.
    ready : int array, shape (R, S)
        First season with own young.
    share : float32 array, shape (R, S)
        Expected share of the line.
    kinship : float32 array, shape (R, S, S)
    breeding_value : float array, shape (R, S)
        Of ln adult mass; of no meaning where size is not followed.
    bits : uint64 array, shape (R, S, c, 2), or None
        Where the line stands on each chromosome; see `line_bits`.
    left : int array, shape (R, S)
        Clutches left this season.
    tries : int array, shape (R, things)
        How often each thing was tried for.
    reached : int array, shape (R,)
        Season of the goal; the number of seasons where it was not reached.
    goals : int array, shape (R,)
        Goal animals so far.
    eggs, clutches, pairings, tub_years : float array, shape (R,)
        Used so far.
    """

    words: WordArray
    alleles: CodeArray
    belief: Float32Array
    alive: BoolArray
    paired: BoolArray
    ready: IntArray
    share: Float32Array
    kinship: Float32Array
    breeding_value: FloatArray
    bits: BitArray | None
    left: IntArray
    tries: IntArray
    reached: IntArray
    goals: IntArray
    eggs: FloatArray
    clutches: FloatArray
    pairings: FloatArray
    tub_years: FloatArray
    active: BoolArray = field(init=False)

    def __post_init__(self) -> None:
        """All runs go on at first."""
        self.active = np.ones(len(self.words), dtype=np.bool_)

    @classmethod
    def at_start(cls, setting: Setting, words: WordArray, alleles: CodeArray) -> State:
        """Runs before season 0.

        Parameters
        ----------
        setting : Setting
            What stays the same.
        words : uint64 array, shape (R,)
            Of the runs.
        alleles : uint8 array, shape (R, A, L, 2)
            True genotypes of the animals at hand.
        """
        n, hand, slots = len(words), setting.n_hand, setting.n_slots
        true = np.zeros((n, slots, *alleles.shape[2:]), np.uint8)
        true[:, :hand] = alleles
        # Chances of one number of copies of one gene lie side by side: they are asked for over all slots at once.
        belief = np.zeros((*setting.belief.shape[1:], n, slots), np.float32).transpose(2, 3, 0, 1)
        belief[..., 0] = 1.0
        belief[:, :hand] = setting.belief
        kinship = np.zeros((n, slots, slots), np.float32)
        kinship[:, :hand, :hand] = setting.kinship
        share = np.zeros((n, slots), np.float32)
        share[:, :hand] = setting.share
        zeros = np.zeros(n)
        return cls(
            words=words,
            alleles=true,
            belief=belief,
            alive=np.broadcast_to(np.arange(slots) < hand, (n, slots)).copy(),
            paired=np.zeros((n, slots), dtype=np.bool_),
            ready=np.broadcast_to(setting.ready, (n, slots)).copy(),
            share=share,
            kinship=kinship,
            breeding_value=_breeding_values(setting, words),
            bits=bits_at_hand(setting, words) if len(setting.map_lengths) else None,
            left=np.zeros((n, slots), np.int64),
            tries=np.zeros((n, len(setting.things)), np.int64),
            reached=np.full(n, setting.seasons, np.int64),
            goals=np.zeros(n, np.int64),
            eggs=zeros,
            clutches=zeros.copy(),
            pairings=zeros.copy(),
            tub_years=zeros.copy(),
        )

    def growing(self, setting: Setting, season: int) -> IntArray:
        """Young held back that are not grown, shape (R,)."""
        bred = slice(setting.n_hand, None)
        found: IntArray = (self.alive[:, bred] & (self.ready[:, bred] > season)).sum(axis=1)
        return found

    def clear_season(self, setting: Setting) -> None:
        """Give every animal its clutches of a season."""
        self.left[:] = setting.cap

    def let_die(self, setting: Setting, season: int) -> None:
        """Deaths of the year after the young of a season hatched."""
        if min(setting.lives) >= 1.0:
            return
        luck = further(further(self.words, number_of("death"))[:, None], setting.slot_words)
        from_unit = further(luck, season) >> np.uint64(11)
        hatched = self.ready - np.where(setting.is_male, setting.matures[1], setting.matures[0]) == season
        hatched[:, : setting.n_hand] = False
        lives = np.where(hatched, setting.lives[0], setting.lives[1])
        self.alive &= from_unit.astype(np.float64) * 2.0**-53 < lives

    def does(self, setting: Setting, slots: IntArray, level: Level, *, part: float = 1.0) -> BoolArray:
        """Whether the animals in some slots are at least of a kind, as far as is known, shape (R, k).

        Parameters
        ----------
        setting : Setting
            Genes.
        slots : int array, shape (k,)
            Slots.
        level : Level
            What is needed.
        part : float
            Part of the chances needed that will do.
        """
        return will_do(self.belief, self.share, level, setting.genes.refused, part=part)[:, slots]


def will_do(
    belief: Float32Array, share: Float32Array, level: Level, refused: BoolArray, *, part: float = 1.0
) -> BoolArray:
    """Whether chances of shape (..., G, 3) and shares of shape (...) are at least a level, shape (...)."""
    found: BoolArray = share >= level.share - CLOSE
    for number, (one, two) in enumerate(level.least.tolist()):
        has_one = belief[..., number, 0] if refused[number] else 1.0 - belief[..., number, 0]
        if one > 0.0:
            found &= has_one >= one * part - SURE
        if two > 0.0:
            found &= belief[..., number, 2] >= two * part - SURE
    return found


def _breeding_values(setting: Setting, words: WordArray) -> FloatArray:
    found = np.zeros((len(words), setting.n_slots))
    if setting.additive_sd > 0.0:
        luck = further(further(words, number_of("size"))[:, None], setting.slot_words[: setting.n_hand])
        found[:, : setting.n_hand] = setting.size_mean + setting.size_sd * normals(luck)
    return found
