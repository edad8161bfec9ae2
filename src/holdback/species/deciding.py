"""What plans and ideas count on beside genes: chances to live, thresholds, and which looks build on each other.

None of these numbers was measured; all are assumed. A species file or a keeper states others under ``[decisions]`` and
``[[idea]]``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from holdback.errors import Fault
from holdback.species.fields import Table, value_of
from holdback.species.model import Mark, Value

HEAVIEST = 100.0
"""No weight, and no number of seasons or points, is greater."""


def _assumed(value: float, low: float, high: float, note: str) -> Value:
    return Value(value, low, high, "", Mark.MEMORY, note=note)


def _unknown(value: float, low: float, high: float, note: str) -> Value:
    return _assumed(value, low, high, f"Not known for this species. {note}")


DECISIONS: Mapping[str, Value] = MappingProxyType(
    {
        "young_lives": _unknown(0.95, 0.85, 0.99, "Chance that a young held back lives its first year. Assumed."),
        "adult_lives": _unknown(0.98, 0.95, 0.995, "Chance that a grown animal lives a year. Assumed."),
        "plan_threshold_seasons": _assumed(1, 0, 3, "Seasons a new plan must gain over last year's. Assumed."),
        "plan_threshold_points": _assumed(5, 0, 20, "Points in 100 a new plan must gain over last year's. Assumed."),
        "horizon_seasons": _assumed(12, 6, 24, "Seasons beyond which a goal is called out of reach. Assumed."),
        "bad_year_z": _assumed(1.28, 0.84, 1.64, "Standard deviations over the mean to keep places for. Assumed."),
        "idea_combo": _assumed(3, 1, 5, "Score of a named combo, over 1 and the genes still missing. Assumed."),
        "idea_hard_to_see": _assumed(0.5, 0.2, 1, "Share of a tag's weight left where it is hard to see. Assumed."),
        "idea_recessive": _assumed(2, 0, 4, "Taken off for a recessive: it shows a generation later. Assumed."),
        "idea_hides": _assumed(2, 0, 4, "Taken off where a young hides its other genes. Assumed."),
        "idea_cautioned": _assumed(3, 0, 6, "Taken off for a pairing that needs a word first. Assumed."),
        "idea_least_chance": _assumed(0.3, 0.1, 0.7, "Least chance from which a gene counts as had. Assumed."),
    }
)
"""Values that hold where a species file states none; also the only names that ``[decisions]`` may use."""

_CHANCES = frozenset({"young_lives", "adult_lives", "idea_hard_to_see", "idea_least_chance"})


@dataclass(frozen=True, slots=True)
class BuildsOn:
    """What improves a look: the tags that go well with one tag.

    Parameters
    ----------
    has : str
        Tag of a gene that an animal has.
    wants : tuple of (str, float)
        Tags of genes to bring, each with its weight from 0 to 100.
    mark : Mark
        Trust.
    source, note : str
        Source key, and remarks.
    """

    has: str
    wants: tuple[tuple[str, float], ...]
    mark: Mark = Mark.COMMON
    source: str = ""
    note: str = ""


def decisions_of(top: Table, faults: list[Fault]) -> dict[str, Value]:
    """Values of ``[decisions]`` as a species file states them, the rest filled in from `DECISIONS`.

    Parameters
    ----------
    top : Table
        The species file.
    faults : list of Fault
        Faults are added here: SPE-011 for an unknown name, SPE-013 for a number that cannot be.
    """
    return {**DECISIONS, **{key: _decision(key, each, faults) for key, each in top.table("decisions").items()}}


def builds_of(top: Table, faults: list[Fault]) -> tuple[BuildsOn, ...]:
    """Rows of ``[[idea]]``, in the order of the file; empty where it has none.

    Parameters
    ----------
    top : Table
        The species file.
    faults : list of Fault
        Faults are added here: SPE-010 for a row that is no list of tags and weights, SPE-013 for a weight that cannot
        be.
    """
    return tuple(_builds(each, faults) for each in top.tables("idea"))


def _decision(key: str, data: object, faults: list[Fault]) -> Value:
    where = f"decisions.{key}"
    found = value_of(data, where, faults)
    if key not in DECISIONS:
        what = f"{key} is not a value of decisions."
        faults.append(Fault("SPE-011", what, f"Use one of {', '.join(DECISIONS)}.", field=where, value=key))
    most = 1.0 if key in _CHANCES else HEAVIEST
    if not 0.0 <= found.low <= found.high <= most:
        what = f"{key} from {found.low:g} to {found.high:g} cannot be."
        hint = f"Write value, low and high from 0 to {most:g}."
        faults.append(Fault("SPE-013", what, hint, field=where, value=f"{found.value:g}"))
    return found


def _builds(data: object, faults: list[Fault]) -> BuildsOn:
    table = Table(data, "idea", faults)
    has = table.text("has", required=True)
    table.where = f"idea.{has}"
    row = BuildsOn(
        has=has,
        wants=tuple(want for each in table.tables("wants") for want in _want(each, table)),
        mark=table.mark(),
        source=table.text("source"),
        note=table.text("note"),
    )
    table.close()
    return row


def _want(data: object, table: Table) -> list[tuple[str, float]]:
    if not isinstance(data, list | tuple) or len(data) != 2:
        table.fault("SPE-010", f"{data!r} is no tag with its weight.", 'Write it as ["brightens", 3].', "wants")
        return []
    tag, weight = data
    if not isinstance(tag, str) or isinstance(weight, bool) or not isinstance(weight, int | float):
        table.fault("SPE-010", f"{data!r} is no tag with its weight.", 'Write it as ["brightens", 3].', "wants")
        return []
    if not 0 <= weight <= HEAVIEST:
        hint = f"Write a weight from 0 to {HEAVIEST:g}."
        table.fault("SPE-013", f"The weight {weight:g} of {tag} cannot be.", hint, "wants", weight)
        return []
    return [(tag, float(weight))]
