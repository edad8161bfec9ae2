"""Which weights are passed over where nobody wrote down in what state the animal was, as days before and after.

The window of laying is what served as well as codes did in simulation: 150 days before and 200 after. The days after a
meal are common practice, no source. A species file or a keeper states others under ``[size]``.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from holdback.errors import Fault
from holdback.species.fields import Table, value_of
from holdback.species.model import Mark, Value

LONGEST_DAYS = 1000.0
"""No window is longer."""

SIZE: Mapping[str, Value] = MappingProxyType(
    {
        "gravid_window_days": Value(
            150, 90, 180, "d", Mark.MEMORY, note="Before laying, weights count for nothing: follicles and eggs weigh."
        ),
        "recovery_window_days": Value(
            200, 90, 240, "d", Mark.MEMORY, note="After laying, weights count for nothing: she is thin."
        ),
        "empty_after_meal_days": Value(5, 4, 7, "d", Mark.COMMON, note="After a meal the prey is still weighed."),
    }
)
"""Values that hold where a species file states none; also the only names that ``[size]`` may use."""


def size_of(top: Table, faults: list[Fault]) -> dict[str, Value]:
    """Windows as a species file states them, the rest filled in from `SIZE`.

    Parameters
    ----------
    top : Table
        The species file.
    faults : list of Fault
        Faults are added here: SPE-011 for an unknown name, SPE-013 for a number of days that cannot be.
    """
    return {**SIZE, **{key: _window(key, each, faults) for key, each in top.table("size").items()}}


def _window(key: str, data: object, faults: list[Fault]) -> Value:
    where = f"size.{key}"
    found = value_of(data, where, faults)
    if key not in SIZE:
        what = f"{key} is not a value of size."
        faults.append(Fault("SPE-011", what, f"Use one of {', '.join(SIZE)}.", field=where, value=key))
    if not 0.0 <= found.low <= found.high <= LONGEST_DAYS:
        what = f"{key} from {found.low:g} to {found.high:g} days cannot be."
        hint = f"Write value, low and high from 0 to {LONGEST_DAYS:g}."
        faults.append(Fault("SPE-013", what, hint, field=where, value=f"{found.value:g}"))
    return found
