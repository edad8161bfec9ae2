"""Runs of HiGHS: the relaxation, warm from run to run as rows are added, and the whole programme on chosen columns.

HiGHS: Huangfu and Hall (2018), Parallelizing the dual revised simplex method, Math. Prog. Comp. 10:119.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from holdback.decisions.season_plan.plan_input import FloatArray, IntArray
from holdback.decisions.season_plan.programme import Programme, Row

if TYPE_CHECKING:
    from highspy import Highs


@dataclass(frozen=True, eq=False)
class Relaxed:
    """Optimum of a relaxation: bound, values and reduced costs of the columns."""

    bound: float
    values: FloatArray
    reduced: FloatArray


@dataclass(frozen=True, eq=False)
class Solved:
    """What a run on whole numbers gave; `values` is None where nothing was found, `bound` the proven bound."""

    values: FloatArray | None
    bound: float
    infeasible: bool


class Model(Protocol):
    """Columns and rows of a programme that is maximised; columns are at least 0."""

    cost: FloatArray
    lower: FloatArray
    upper: FloatArray
    integer: np.ndarray
    rows: list[Row]
    n: int


class OutOfTimeError(Exception):
    """A relaxation was not solved in its time."""


class Relaxation:
    """The programme without whole numbers, kept warm."""

    def __init__(self, programme: Programme) -> None:
        self._programme = programme
        everything = np.arange(programme.n)
        self._highs = _model(programme, everything, programme.rows, whole=False)
        self._rows = len(programme.rows)

    def bound_males(self, lower: FloatArray, upper: FloatArray) -> None:
        """Put bounds on the use of each of the programme's males."""
        males = np.arange(self._programme.y, self._programme.s, dtype=np.int32)
        self._highs.changeColsBounds(len(males), males, lower, upper)

    def solve(self, seconds: float) -> Relaxed | None:
        """Optimum with all rows the programme has by now; None where nothing keeps them.

        Raises
        ------
        OutOfTimeError
            If the time was not enough.
        """
        from highspy import HighsModelStatus

        new = self._programme.rows[self._rows :]
        if new:
            start, index, value = _rows_flat(new)
            low, high = np.array([row.low for row in new]), np.array([row.high for row in new])
            self._highs.addRows(len(new), low, high, len(index), start, index, value)
            self._rows += len(new)
        self._highs.setOptionValue("time_limit", self._highs.getRunTime() + max(seconds, 0.01))
        self._highs.run()
        status = self._highs.getModelStatus()
        if status in (HighsModelStatus.kInfeasible, HighsModelStatus.kUnboundedOrInfeasible):
            return None
        if status != HighsModelStatus.kOptimal:
            raise OutOfTimeError
        solution = self._highs.getSolution()
        return Relaxed(
            self._highs.getInfo().objective_function_value,
            np.asarray(solution.col_value),
            np.asarray(solution.col_dual),
        )


def solve_whole(
    programme: Model,
    kept: IntArray,
    *,
    seconds: float,
    gap: float,
    start: FloatArray | None = None,
    above: float | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Solved:
    """Best whole solution on some of the columns, the others being 0.

    Parameters
    ----------
    programme : Model
        Columns and rows.
    kept : int array
        Columns that may be other than 0, in rising order.
    seconds : float
        Time it may take.
    gap : float
        Absolute gap at which it may stop.
    start : float array, shape (programme.n,), optional
        A whole solution to start from.
    above : float, optional
        Only solutions worth at least this are looked for.
    cancelled : callable, optional
        Asked now and then whether to stop.

    Returns
    -------
    Solved
        Values in all columns of the programme.
    """
    from highspy import HighsModelStatus

    rows = programme.rows
    if above is not None:
        counted = np.flatnonzero(programme.cost)
        rows = [*rows, Row(counted, programme.cost[counted], above, np.inf)]
    highs = _model(programme, kept, rows, whole=True)
    highs.setOptionValue("time_limit", max(seconds, 0.01))
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", gap)
    # A start is at hand, and few columns are left: branching alone was two to four times quicker.
    highs.setOptionValue("mip_allow_restart", start is None)
    highs.setOptionValue("mip_heuristic_effort", 0.05 if start is None else 0.0)
    if start is not None:
        _hand_start(highs, start[kept])
    if cancelled is not None:
        _stop_when(highs, cancelled)
    highs.run()
    if highs.getModelStatus() == HighsModelStatus.kSolveError:
        # Rounding after presolve may pass a row by just the tolerance; the solver then disowns its solution.
        highs.clearSolver()
        highs.setOptionValue("presolve", "off")
        highs.run()
    info, status = highs.getInfo(), highs.getModelStatus()
    # Worths are bounded by their tangents, so that nothing is unbounded.
    if status in (HighsModelStatus.kInfeasible, HighsModelStatus.kUnboundedOrInfeasible):
        return Solved(None, -np.inf, True)
    if info.primal_solution_status != 2:
        return Solved(None, info.mip_dual_bound, False)
    values = np.zeros(programme.n)
    values[kept] = highs.getSolution().col_value
    return Solved(values, info.mip_dual_bound, False)


def _hand_start(highs: Highs, values: FloatArray) -> None:
    from highspy import HighsSolution

    solution = HighsSolution()
    solution.col_value = values.tolist()
    highs.setSolution(solution)


def _stop_when(highs: Highs, cancelled: Callable[[], bool]) -> None:
    def ask(event: Any) -> None:
        if cancelled():
            event.interrupt()

    highs.cbMipInterrupt += ask


def _model(programme: Model, kept: IntArray, rows: Sequence[Row], *, whole: bool) -> Highs:
    """HiGHS with the columns kept; rows that lose all their columns stay as empty rows."""
    from highspy import HighsLp, HighsVarType, MatrixFormat, ObjSense

    place = np.full(programme.n, -1)
    place[kept] = np.arange(len(kept))
    start, index, value = _rows_flat(rows)
    here = place[index] >= 0
    row_of = np.repeat(np.arange(len(rows)), np.diff(np.append(start, len(index))))
    counts = np.bincount(row_of[here], minlength=len(rows))
    lp = HighsLp()
    lp.num_col_, lp.num_row_ = len(kept), len(rows)
    lp.sense_ = ObjSense.kMaximize
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = (
        one[kept] for one in (programme.cost, programme.lower, programme.upper)
    )
    lp.row_lower_ = np.array([row.low for row in rows])
    lp.row_upper_ = np.array([row.high for row in rows])
    lp.a_matrix_.format_ = MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.concatenate([[0], np.cumsum(counts)])
    lp.a_matrix_.index_ = place[index[here]]
    lp.a_matrix_.value_ = value[here]
    if whole:
        kinds = {True: HighsVarType.kInteger, False: HighsVarType.kContinuous}
        lp.integrality_ = [kinds[one] for one in programme.integer[kept].tolist()]
    highs = _silent()
    highs.setOptionValue("threads", 1)
    highs.passModel(lp)
    return highs


def _silent() -> Highs:
    """HiGHS without its headline, which it would print when callbacks are set up."""
    from highspy import Highs

    class Silent(Highs):
        def enableCallbacks(self) -> None:
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    return Silent()  # type: ignore[no-untyped-call]


def _rows_flat(rows: Sequence[Row]) -> tuple[IntArray, IntArray, FloatArray]:
    """Rows one behind the other: where each starts, columns, values."""
    lengths = [len(row.columns) for row in rows]
    start = np.concatenate([[0], np.cumsum(lengths)[:-1]]).astype(np.int64)
    return start, np.concatenate([row.columns for row in rows]), np.concatenate([row.values for row in rows])
