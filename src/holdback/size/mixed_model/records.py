"""Measurements of one trait, as a mixed model takes them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.pedigree import Pedigree
from holdback.errors import Fault, SizeError

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Records:
    """Measurements of one trait with the fixed effects that they are compared within.

    Parameters
    ----------
    values : float array, shape (n_records,)
        In any one unit.
    animals : int array, shape (n_records,)
        Node of the pedigree that each was taken on; one node may have several.
    fixed : float array, shape (n_records, n_fixed)
        Design of the fixed effects.
    """

    values: FloatArray
    animals: IntArray
    fixed: FloatArray


def checked(records: Records, pedigree: Pedigree) -> Records:
    """The records, if they hold together and belong to the pedigree.

    Raises
    ------
    SizeError
        SIZ-201 where arrays differ in length, SIZ-202 for a value that is no number, SIZ-203 for a record of a node
        that the pedigree does not have; all faults together.
    """
    n = len(records.values)
    if n == 0 or len(records.animals) != n or len(records.fixed) != n:
        raise SizeError(
            Fault(
                "SIZ-201",
                f"There are {n} values, {len(records.animals)} animals and {len(records.fixed)} rows of fixed effects.",
                "Give one of each for every record, and one record at least.",
                field="records",
            )
        )
    faults = [
        Fault(
            "SIZ-202",
            f"Record {row} is {records.values[row]}, or one of its fixed effects is no number.",
            "Leave the record out, or give the number.",
            field="values",
            value=str(records.values[row]),
        )
        for row in np.flatnonzero(~(np.isfinite(records.values) & np.isfinite(records.fixed).all(axis=1)))
    ]
    faults += [
        Fault(
            "SIZ-203",
            f"Record {row} is of node {records.animals[row]}; the pedigree has nodes 0 to {len(pedigree) - 1}.",
            "Give the index of the animal in the pedigree.",
            field="animals",
            value=str(records.animals[row]),
        )
        for row in np.flatnonzero((records.animals < 0) | (records.animals >= len(pedigree)))
    ]
    if faults:
        raise SizeError(faults)
    return records


def incidence(levels: IntArray, n_levels: int) -> FloatArray:
    """Design with a 1 in each row, at the level of its record.

    Parameters
    ----------
    levels : int array, shape (n_records,)
        From 0.
    n_levels : int
        Number of levels.

    Returns
    -------
    float array, shape (n_records, n_levels)
        0 and 1.

    Examples
    --------
    >>> import numpy as np
    >>> incidence(np.array([1, 0]), 2).tolist()
    [[0.0, 1.0], [1.0, 0.0]]
    """
    found = np.zeros((len(levels), n_levels))
    found[np.arange(len(levels)), levels] = 1.0
    return found
