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
"""Values that hold where a species file states none; with `ORDINARY` the only names that ``[size]`` may use."""

ORDINARY = ("ordinary_length_cm", "ordinary_mass_g")
"""Length from snout to vent and mass of one ordinary grown animal; where a file has none, nothing is said of build."""


def size_of(top: Table, faults: list[Fault]) -> dict[str, Value]:
    """Windows as a species file states them, the rest filled in from `SIZE`, and the ordinary animal if it has one.

    Parameters
    ----------
    top : Table
        The species file.
    faults : list of Fault
        Faults are added here: SPE-011 for an unknown name, SPE-013 for a number that cannot be.
    """
    return {**SIZE, **{key: _number(key, each, faults) for key, each in top.table("size").items()}}


def _number(key: str, data: object, faults: list[Fault]) -> Value:
    where = f"size.{key}"
    found = value_of(data, where, faults)
    names = (*SIZE, *ORDINARY)
    if key not in names:
        what = f"{key} is not a value of size."
        faults.append(Fault("SPE-011", what, f"Use one of {', '.join(names)}.", field=where, value=key))
    least, most = (1.0, 1e6) if key in ORDINARY else (0.0, LONGEST_DAYS)
    if not least <= found.low <= found.high <= most:
        what = f"{key} from {found.low:g} to {found.high:g} cannot be."
        hint = f"Write value, low and high from {least:g} to {most:g}."
        faults.append(Fault("SPE-013", what, hint, field=where, value=f"{found.value:g}"))
    return found
