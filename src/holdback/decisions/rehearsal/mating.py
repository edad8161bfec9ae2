"""Who is put to whom in a season: free females of a step to the best male that is ready, allowed and not used up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from holdback.decisions.rehearsal.setting import BoolArray, FloatArray, Group, IntArray, Move, Setting, Side
from holdback.decisions.rehearsal.state import CLOSE, State


@dataclass(frozen=True, eq=False)
class Matings:
    """Females put to males for one step, n of them.

    Parameters
    ----------
    run, sire, dam : int array, shape (n,)
        Run, and slots; a sire of -1 is a male that is not on record.
    attempt : int array, shape (n,)
        Number of the try for this thing in the run.
    thing : int array, shape (n,)
        What their luck belongs to.
    step : int array, shape (n,)
        Number of the step; -1 for a cross that is made.
    lays : float array, shape (n,)
        Chance of a clutch.
    law : int array, shape (n,)
        Row of the laws of eggs and young.
    """

    run: IntArray
    sire: IntArray
    dam: IntArray
    attempt: IntArray
    thing: IntArray
    step: IntArray
    lays: FloatArray
    law: IntArray


@dataclass(frozen=True, eq=False)
class Tried:
    """Matings of one step, and what stood in the way.

    Parameters
    ----------
    matings : Matings
        Who was put to whom.
    too_close : bool array, shape (R,)
        Runs in which some female found no male but kin.
    """

    matings: Matings
    too_close: BoolArray


def open_steps(setting: Setting, state: State) -> list[BoolArray]:
    """For each move, the runs in which something that it is to give is missing, shape (R,)."""
    found = []
    for move in setting.moves:
        wanted = state.active.copy()
        if not move.is_goal:
            missing = np.zeros_like(wanted)
            for group in setting.groups:
                if group.step == move.number and group.opens:
                    missing |= ~filled(setting, state, group).all(axis=1)
            wanted &= missing
        found.append(wanted)
    return found


def filled(setting: Setting, state: State, group: Group) -> BoolArray:
    """Slots of a group whose animal lives and is still worth keeping for it, shape (R, count)."""
    slots = np.arange(group.first, group.first + group.count)
    found: BoolArray = state.alive[:, slots] & state.does(setting, slots, group.level, part=0.5)
    return found


def matings_of(setting: Setting, state: State, move: Move, wanted: BoolArray, season: int) -> Tried:
    """Put the free females of a step to males.

    Parameters
    ----------
    setting : Setting
        What stays the same.
    state : State
        Clutches left and numbers of tries are counted on.
    move : Move
        Step.
    wanted : bool array, shape (R,)
        Runs in which the step is tried.
    season : int
        Season.
    """
    too_close = np.zeros(len(wanted), dtype=np.bool_)
    if season < move.first_season:
        return Tried(_joined(setting, state, move, []), too_close)
    sires = move.sire.slots
    may_sire = _may(setting, state, move.sire, season)
    worth = _worth(setting, state, sires)
    may_dam = _may(setting, state, move.dam, season)
    may_dam &= (wanted & may_sire.any(axis=1))[:, None]
    chosen = []
    for column in np.flatnonzero(may_dam.any(axis=0)):
        dam = int(move.dam.slots[column])
        runs = np.flatnonzero(may_dam[:, column])
        free = may_sire[runs] & (state.left[np.ix_(runs, sires)] > 0)
        free &= ~_both_carry(setting, state, runs, sires, dam)
        allowed = free & (state.kinship[runs, dam][:, sires] <= setting.limits.inbreeding + CLOSE)
        best = np.where(allowed, worth[runs], -1.0).argmax(axis=1)
        has = allowed.any(axis=1)
        too_close[runs[~has & free.any(axis=1)]] = True
        runs, sire = runs[has], sires[best[has]]
        state.left[runs, dam] -= 1
        state.left[runs, sire] -= 1
        attempt = state.tries[runs, move.thing]
        state.tries[runs, move.thing] += 1
        chosen.append((runs, sire, np.full(len(runs), dam), attempt))
    return Tried(_joined(setting, state, move, chosen), too_close)


def _may(setting: Setting, state: State, side: Side, season: int) -> BoolArray:
    """Whether the animals of a side are there, ready, free and good enough, shape (R, k)."""
    slots = side.slots
    found: BoolArray = state.alive[:, slots] & (state.ready[:, slots] <= season) & (state.left[:, slots] > 0)
    good = side.counted_on | state.does(setting, slots, side.level)
    if side.own.any():
        good[:, side.own] |= state.does(setting, slots[side.own], side.level, part=0.5)
    return found & good


def _both_carry(setting: Setting, state: State, runs: IntArray, sires: IntArray, dam: int) -> BoolArray:
    """Whether a male and the female likely carry a gene of which two copies kill, shape (runs, k)."""
    found = np.zeros((len(runs), len(sires)), dtype=np.bool_)
    for gene in np.flatnonzero(setting.genes.two_die):
        carries = state.belief[:, :, gene, 0] < 0.5
        found |= carries[np.ix_(runs, sires)] & carries[runs, dam][:, None]
    return found


def _worth(setting: Setting, state: State, slots: IntArray) -> FloatArray:
    """How likely a gamete of each animal is to be the one wanted, as far as is known, shape (R, k)."""
    found = np.ones((len(state.words), len(slots)))
    for number, copies in enumerate(setting.genes.copies.tolist()):
        belief = state.belief[:, slots, number]
        passes = 0.5 * belief[..., 1] + belief[..., 2]
        found *= np.maximum(1.0 - passes if copies == 0 else passes, 1e-3)
    return found


def _joined(
    setting: Setting, state: State, move: Move, chosen: list[tuple[IntArray, IntArray, IntArray, IntArray]]
) -> Matings:
    none = np.zeros(0, np.int64)
    run, sire, dam, attempt = (
        np.concatenate([none, *(one[place] for one in chosen)]).astype(np.int64) for place in range(4)
    )
    lays = np.where(state.paired[run, dam], setting.lays[dam], setting.lays_first[dam])
    state.paired[run, dam] = True
    thing, step = (np.full(len(run), number, np.int64) for number in (move.thing, move.number))
    return Matings(run, sire, dam, attempt, thing, step, lays, setting.law[dam])


def together(some: Sequence[Matings]) -> Matings:
    """All matings of a season in one, in the order given."""
    return Matings(*(np.concatenate([getattr(one, each.name) for one in some]) for each in fields(Matings)))
