"""How far records are trusted: chances of a wrong record and of odd paternity, each with its range.

None of these numbers was measured in a published sample of keepers' records. They are assumptions, from memory; a
species file or a keeper states others under ``[records]``.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from holdback.errors import Fault
from holdback.species.fields import Table, value_of
from holdback.species.model import Mark, Value


def _assumed(value: float, low: float, high: float, note: str) -> Value:
    return Value(value, low, high, "", Mark.MEMORY, note=note)


RECORDS: Mapping[str, Value] = MappingProxyType(
    {
        "claim_trust": _assumed(0.95, 0.8, 0.99, "Share of sellers' statements on hidden genes that hold."),
        "look_error": _assumed(
            0.002, 0.0005, 0.01, "Chance that a look is written down as another look of the same gene."
        ),
        "sex_error": _assumed(0.02, 0.01, 0.05, "Chance that a recorded sex is wrong."),
        "wrong_parent": _assumed(0.01, 0.003, 0.03, "Chance that a recorded parent is not the parent."),
        "stored_sperm": _assumed(0.03, 0.005, 0.1, "Weight of last season's male as sire of this season's clutch."),
        "no_sire": _assumed(
            0.001, 0.0001, 0.01, "Chance that a clutch has no sire; shown to occur in snakes, how often is not known."
        ),
        "second_division": _assumed(
            0.3,
            0,
            0.667,
            "Without a sire: chance that a young of a dam with one copy has one copy too. Two thirds is the bound "
            "without interference (Mather).",
        ),
        "mixed_clutch": _assumed(0.05, 0, 0.5, "Chance that a clutch has more than one sire."),
        "line_unclaimed": _assumed(
            0.0, 0, 0.2, "Chance that an animal of which nobody says that it is of a line is of it."
        ),
    }
)
"""Values that hold where a species file states none; also the only names that ``[records]`` may use."""


def records_of(top: Table, faults: list[Fault]) -> dict[str, Value]:
    """Trust in records as a species file states it, the rest filled in from `RECORDS`.

    Parameters
    ----------
    top : Table
        The species file.
    faults : list of Fault
        Faults are added here: SPE-011 for an unknown name, SPE-013 for a number that is no probability.
    """
    return {**RECORDS, **{key: _record(key, each, faults) for key, each in top.table("records").items()}}


def _record(key: str, data: object, faults: list[Fault]) -> Value:
    where = f"records.{key}"
    found = value_of(data, where, faults)
    if key not in RECORDS:
        what = f"{key} is not a value of records."
        faults.append(Fault("SPE-011", what, f"Use one of {', '.join(RECORDS)}.", field=where, value=key))
    if not 0.0 <= found.low <= found.high <= 1.0:
        what = f"{key} from {found.low:g} to {found.high:g} is no probability."
        hint = "Write value, low and high from 0 to 1."
        faults.append(Fault("SPE-013", what, hint, field=where, value=f"{found.value:g}"))
    return found
