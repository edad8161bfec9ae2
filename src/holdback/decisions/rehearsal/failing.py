"""How a plan fails where it fails: the first step back from the goal that gave nothing, and what it lacked."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from holdback.decisions.rehearsal.setting import BoolArray, IntArray, Move, Setting


class Failure(StrEnum):
    """What a run lacked that had not come to the goal by the season wished."""

    NO_LAYER = "no female laid"
    NO_CARRIER = "a possible carrier was none"
    NO_KIND = "no young of the kind wanted"
    NO_SEX = "none of the sex wanted"
    NO_TUB = "no tub was free"
    TOO_CLOSE = "only kin over the inbreeding limit"
    DIED = "an animal died"
    NO_TIME = "still growing up"
    SPENT = "the eggs or the money were spent"


FAILURES = tuple(Failure)
"""In the order of their numbers."""


@dataclass(eq=False)
class Told:
    """What each step has met in each run, for R runs.

    Parameters
    ----------
    tried, laid : int array, shape (R, steps)
        Females put to a male, and clutches.
    possible, found : bool array, shape (R, steps)
        Whether some clutch could give the kind wanted by the true genes, and whether one of either sex was seen.
    kept : int array, shape (R, steps, 2)
        Females and males held back.
    too_close : bool array, shape (R, steps)
        Whether a female found no male but kin.
    no_tub, spent : bool array, shape (R,)
        Whether a tub was lacking; whether the budget is used up.
    died : bool array, shape (R, S)
        Slots in which an animal died.
    """

    tried: IntArray
    laid: IntArray
    possible: BoolArray
    found: BoolArray
    kept: IntArray
    too_close: BoolArray
    no_tub: BoolArray
    spent: BoolArray
    died: BoolArray

    @classmethod
    def nothing(cls, setting: Setting, runs: int) -> Told:
        """Before the first season."""
        shape = (runs, setting.n_steps)
        return cls(
            np.zeros(shape, np.int64),
            np.zeros(shape, np.int64),
            np.zeros(shape, dtype=np.bool_),
            np.zeros(shape, dtype=np.bool_),
            np.zeros((*shape, 2), np.int64),
            np.zeros(shape, dtype=np.bool_),
            np.zeros(runs, dtype=np.bool_),
            np.zeros(runs, dtype=np.bool_),
            np.zeros((runs, setting.n_slots), dtype=np.bool_),
        )


def failures(setting: Setting, told: Told, failed: BoolArray) -> npt.NDArray[np.int8]:
    """Number of the failure of each run, -1 where it has not failed, shape (R,)."""
    moves = {move.number: move for move in setting.moves}
    lacking = np.full(len(failed), setting.moves[0].number)
    for _ in setting.moves:
        lacking = _one_back(moves, told, lacking)
    found = np.full(len(failed), -1, np.int8)
    for number, move in moves.items():
        here = failed & (lacking == number)
        found[here] = _reasons(move, told)[here]
    found[failed & told.spent] = FAILURES.index(Failure.SPENT)
    return found


def _one_back(moves: dict[int, Move], told: Told, lacking: IntArray) -> IntArray:
    """The step that should have bred a side of one that was never tried."""
    found = lacking.copy()
    for number, move in moves.items():
        here = (lacking == number) & (told.tried[:, number] == 0)
        for side, sex in ((move.sire, 1), (move.dam, 0)):
            if side.step >= 0:
                found[here & (told.kept[:, side.step, sex] == 0)] = side.step
    return found


def _reasons(move: Move, told: Told) -> IntArray:
    """Reason of each run that a step gave nothing, or not enough, shape (R,)."""
    number = move.number
    needed = np.concatenate([side.slots[side.counted_on | side.own] for side in (move.sire, move.dam)])
    never = told.tried[:, number] == 0
    cases: tuple[tuple[BoolArray, Failure], ...] = (
        (never & told.too_close[:, number], Failure.TOO_CLOSE),
        (never & told.died[:, needed].any(axis=1), Failure.DIED),
        (never, Failure.NO_TIME),
        (told.laid[:, number] == 0, Failure.NO_LAYER),
        (~told.possible[:, number], Failure.NO_CARRIER),
        (~told.found[:, number], Failure.NO_KIND),
        (told.no_tub & (not move.is_goal), Failure.NO_TUB),
    )
    last = FAILURES.index(Failure.NO_SEX)
    return np.select([case for case, _ in cases], [FAILURES.index(reason) for _, reason in cases], last)
