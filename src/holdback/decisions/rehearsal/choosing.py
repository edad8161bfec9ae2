"""Which young are held back: the best of those at least as good as something that is missing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.rehearsal.clutches import Young
from holdback.decisions.rehearsal.line_bits import BitArray, gametes
from holdback.decisions.rehearsal.luck import further, normals, number_of
from holdback.decisions.rehearsal.mating import filled
from holdback.decisions.rehearsal.setting import BoolArray, FloatArray, Group, IntArray, Level, Setting
from holdback.decisions.rehearsal.state import Float32Array, State, will_do

_GAMETE, _VALUE, _SEEN = (number_of(name) for name in ("gamete", "breeding value", "seen"))


@dataclass(eq=False)
class Known:
    """Young of some clutches with what is known of them, n of them.

    Parameters
    ----------
    young : Young
        True genotypes, sexes, parents.
    belief, named : float32 array, shape (n, G, 3)
        See `looks.known_of_young`.
    share : float32 array, shape (n,)
        Expected share of the line.
    inbreeding : float array, shape (n,)
        Inbreeding coefficient.
    value : float array, shape (n,)
        Breeding value of ln adult mass; 0 where size is not followed.
    score : float array, shape (n,)
        By which young are preferred, higher first; 0 for all where size does not count.
    """

    young: Young
    belief: Float32Array
    named: Float32Array
    share: Float32Array
    inbreeding: FloatArray
    value: FloatArray
    score: FloatArray

    @property
    def run(self) -> IntArray:
        """Run of each young."""
        found: IntArray = self.young.run[self.young.clutch]
        return found

    def will_do(self, setting: Setting, level: Level, sex: Sex) -> BoolArray:
        """Which are of a kind and sex, shape (n,)."""
        refused = setting.genes.refused
        found = will_do(self.belief, self.share, level, refused)
        if self.named is not self.belief:
            found |= will_do(self.named, self.share, level, refused)
        return found if sex is Sex.UNKNOWN else found & (self.young.is_male == (sex is Sex.MALE))


def known_of(setting: Setting, state: State, young: Young, belief: Float32Array, named: Float32Array) -> Known:
    """Young with everything that choosing goes by."""
    recorded = young.sire >= 0
    sire = np.maximum(young.sire, 0)
    share = 0.5 * (np.where(recorded, state.share[young.run, sire], 0.0) + state.share[young.run, young.dam])
    inbreeding = np.where(recorded, state.kinship[young.run, sire, young.dam], 0.0)
    found = Known(
        young=young,
        belief=belief,
        named=named,
        share=share.astype(np.float32)[young.clutch],
        inbreeding=inbreeding.astype(np.float64)[young.clutch],
        value=np.zeros(len(young.clutch)),
        score=np.zeros(len(young.clutch)),
    )
    if setting.additive_sd > 0.0:
        found.value = _values(setting, state, young)
        found.score = _scores(setting, found)
    return found


def _values(setting: Setting, state: State, young: Young) -> FloatArray:
    """Breeding values: mean of the parents and Mendelian sampling, less of it from inbred parents."""
    recorded, sire = young.sire >= 0, np.maximum(young.sire, 0)
    mean = 0.5 * (
        np.where(recorded, state.breeding_value[young.run, sire], 0.0) + state.breeding_value[young.run, young.dam]
    )
    own = [2.0 * state.kinship[young.run, slot, slot] - 1.0 for slot in (sire, young.dam)]
    spread = setting.additive_sd * np.sqrt(np.maximum(0.5 * (1.0 - 0.5 * (own[0] + own[1])), 0.0))
    found: FloatArray = mean[young.clutch] + spread[young.clutch] * normals(further(young.words, _VALUE))
    return found


def _scores(setting: Setting, known: Known) -> FloatArray:
    """What the keeper sees of the size wished."""
    if not setting.selects_size:
        return known.score
    seen = known.value + setting.environment_sd * normals(further(known.young.words, _SEEN))
    if setting.bigger:
        return seen
    return -np.maximum(np.maximum(setting.size_low - seen, seen - setting.size_high), 0.0)


@dataclass(frozen=True, eq=False)
class Kept:
    """What became of the young of some clutches.

    Parameters
    ----------
    number : int array, shape (R, number of steps, 2)
        Females and males held back for each step.
    no_tub : bool array, shape (R,)
        Whether one that was wanted found no tub.
    """

    number: IntArray
    no_tub: BoolArray


def hold_back(setting: Setting, state: State, known: Known, taken: BoolArray, season: int) -> Kept:
    """Hold back what is missing.

    Parameters
    ----------
    setting, state
        The state is changed.
    known : Known
        Young.
    taken : bool array, shape (n,)
        Young that are spoken for; those held back are added.
    season : int
        Season.
    """
    number = np.zeros((len(state.words), setting.n_steps, 2), np.int64)
    no_tub = np.zeros(len(state.words), dtype=np.bool_)
    for groups in _together(setting):
        sex = groups[0].sex if len(groups) == 1 else Sex.UNKNOWN
        may = known.will_do(setting, groups[0].level, sex) & ~taken
        may &= groups[0].bred_by[known.young.step][known.young.clutch]
        if not may.any():
            continue
        free = {group.sex: _free(setting, state, group) for group in groups}
        missing = sum((one.sum(axis=1) for one in free.values()), np.zeros(len(state.words), np.int64))
        place, rank = _ranked(known, np.flatnonzero(may))
        run = known.run[place]
        wanted = rank < missing[run]
        room = np.maximum(setting.limits.tubs - state.growing(setting, season), 0.0)
        fits = wanted & (rank < room[run])
        no_tub[run[wanted & ~fits]] = True
        place = place[fits]
        taken[place] = True
        for group in groups:
            is_male = group.sex is Sex.MALE
            here = place[known.young.is_male[place] == is_male]
            here = here[_order(known.run[here]) < free[group.sex].sum(axis=1)[known.run[here]]]
            np.add.at(number, (known.run[here], group.step, int(is_male)), 1)
            _place(setting, state, known, group, here, free[group.sex], season)
    return Kept(number, no_tub)


def _together(setting: Setting) -> list[list[Group]]:
    """Groups that are chosen from at once: each by itself, or both sexes of a kind where sex is not known yet."""
    if setting.sexes_told:
        return [[group] for group in setting.groups]
    found: dict[tuple[int, bytes], list[Group]] = {}
    for group in setting.groups:
        found.setdefault((group.step, group.level.least.tobytes()), []).append(group)
    return list(found.values())


def _free(setting: Setting, state: State, group: Group) -> BoolArray:
    """Slots of a group that may be filled, shape (R, count); a parent of this season keeps its place."""
    slots = group.slots
    busy = state.alive[:, slots] & (state.left[:, slots] < setting.cap[slots])
    found: BoolArray = ~filled(setting, state, group) & ~busy
    return found & state.active[:, None]


def _ranked(known: Known, place: IntArray) -> tuple[IntArray, IntArray]:
    """Young sorted by run and preference, and the rank of each in its run."""
    order = place[np.lexsort((-known.score[place], known.run[place]))]
    return order, _order(known.run[order])


def _order(run: IntArray) -> IntArray:
    """How many of the same run come before each; runs are sorted."""
    first = np.searchsorted(run, run, side="left")
    found: IntArray = np.arange(len(run)) - first
    return found


def _place(
    setting: Setting, state: State, known: Known, group: Group, place: IntArray, free: BoolArray, season: int
) -> None:
    """Put young into the free slots of a group, one a run at a time."""
    rank = _order(known.run[place])
    up_to = free.cumsum(axis=1)
    for turn in range(int(rank.max(initial=-1)) + 1):
        here = place[rank == turn]
        run = known.run[here]
        slot = group.first + (free[run] & (up_to[run] == turn + 1)).argmax(axis=1)
        _settle(setting, state, known, here, slot, season)


def _settle(setting: Setting, state: State, known: Known, here: IntArray, slot: IntArray, season: int) -> None:
    """Young of different runs move into slots."""
    young = known.young
    clutch = young.clutch[here]
    run, sire, dam = young.run[clutch], young.sire[clutch], young.dam[clutch]
    recorded, sire = sire >= 0, np.maximum(sire, 0)
    row = 0.5 * (np.where(recorded[:, None], state.kinship[run, sire], 0.0) + state.kinship[run, dam])
    state.kinship[run, slot] = row
    state.kinship[run, :, slot] = row
    state.kinship[run, slot, slot] = 0.5 * (1.0 + known.inbreeding[here])
    state.alleles[run, slot] = young.alleles[here]
    state.belief[run, slot] = known.belief[here]
    state.share[run, slot] = known.share[here]
    state.breeding_value[run, slot] = known.value[here]
    state.alive[run, slot] = True
    state.paired[run, slot] = False
    state.left[run, slot] = 0
    state.ready[run, slot] = season + np.where(young.is_male[here], setting.matures[1], setting.matures[0])
    if state.bits is not None:
        state.bits[run, slot] = bits_of(setting, state, known, here)


def bits_of(setting: Setting, state: State, known: Known, here: IntArray) -> BitArray:
    """Haplotypes of some young, shape (k, c, 2), from those of their parents."""
    assert state.bits is not None, "segments are followed"
    young = known.young
    clutch = young.clutch[here]
    run, words = young.run[clutch], further(young.words[here], _GAMETE)
    recorded = (young.sire[clutch] >= 0)[:, None, None]
    of_sire = np.where(recorded, state.bits[run, np.maximum(young.sire[clutch], 0)], np.uint64(0))
    of_dam = state.bits[run, young.dam[clutch]]
    sides = [gametes(one, further(words, side), setting.map_lengths) for side, one in enumerate((of_sire, of_dam))]
    return np.stack(sides, axis=2)
