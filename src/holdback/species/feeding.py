"""What keepers feed, by mass, age and sex: the rows of ``[[feeding]]``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holdback.collection.model import Sex
from holdback.errors import Fault
from holdback.species.fields import Table
from holdback.species.model import Mark

HEAVIEST_G = 1e6
"""No mass or interval of the table is greater."""

_SEXES = ("", str(Sex.MALE), str(Sex.FEMALE))


@dataclass(frozen=True, slots=True)
class FeedingRow:
    """Meals of animals of one stage.

    Parameters
    ----------
    stage : str
        What such animals are called ("hatchling", "adult male").
    mass_g : tuple of float
        Least mass, and the mass it stays under, in gram.
    prey_share : tuple of float
        Least and most mass of prey, as a share of the animal's own.
    interval_days : tuple of float
        Fewest and most days between meals.
    sex : str
        "male" or "female" where it holds for one sex alone, else empty.
    from_months : float
        Age from which it holds, in months; an animal of unknown age counts as grown.
    mark : Mark
        Trust.
    source, note : str
        Source key, and remarks.
    """

    stage: str
    mass_g: tuple[float, float]
    prey_share: tuple[float, float]
    interval_days: tuple[float, float]
    sex: str = ""
    from_months: float = 0.0
    mark: Mark = Mark.COMMON
    source: str = ""
    note: str = ""

    def fits(self, mass_g: float, sex: Sex, age_months: float | None) -> bool:
        """Whether it holds for an animal; an age that is not known (None) counts as grown."""
        return (
            self.mass_g[0] <= mass_g < self.mass_g[1]
            and self.sex in ("", str(sex))
            and (age_months is None or age_months >= self.from_months)
        )


def feeding_of(top: Table, faults: list[Fault]) -> tuple[FeedingRow, ...]:
    """Rows of a species file, in its order; empty where it has none.

    Parameters
    ----------
    top : Table
        The species file.
    faults : list of Fault
        Faults are added here: SPE-010 for a field that is missing or no range, SPE-012 for another sex, SPE-013 for a
        number that cannot be.
    """
    return tuple(_row(each, faults) for each in top.tables("feeding"))


def row_for(
    rows: Sequence[FeedingRow], mass_g: float, sex: Sex = Sex.UNKNOWN, age_months: float | None = None
) -> FeedingRow | None:
    """The last row that fits an animal, None where none does: grown animals stand below growing ones of their mass.

    Examples
    --------
    >>> any_age = FeedingRow("grower", (0, 1e6), (0.05, 0.08), (10, 14))
    >>> grown = FeedingRow("adult male", (600, 1e6), (0.04, 0.05), (10, 21), "male", 36)
    >>> [row_for((any_age, grown), 900, sex, 40).stage for sex in (Sex.MALE, Sex.FEMALE)]
    ['adult male', 'grower']
    """
    return next((row for row in reversed(rows) if row.fits(mass_g, sex, age_months)), None)


def _row(data: object, faults: list[Fault]) -> FeedingRow:
    table = Table(data, "feeding", faults)
    stage = table.text("stage", required=True)
    table.where = f"feeding.{stage}"
    row = FeedingRow(
        stage=stage,
        mass_g=_range(table, "mass_g", HEAVIEST_G),
        prey_share=_range(table, "prey_share", 1.0),
        interval_days=_range(table, "interval_days", HEAVIEST_G),
        sex=table.one_of("sex", _SEXES),
        from_months=table.number("from_months", high=1200),
        mark=table.mark(),
        source=table.text("source"),
        note=table.text("note"),
    )
    table.close()
    return row


def _range(table: Table, name: str, most: float) -> tuple[float, float]:
    bounds = table.tables(name)
    if len(bounds) != 2 or any(isinstance(each, bool) or not isinstance(each, int | float) for each in bounds):
        table.fault("SPE-010", f"{name} is no range.", "Write [low, high].", name)
        return (0.0, most)
    low, high = (float(each) for each in bounds)
    if not 0 <= low <= high <= most:
        hint = f"Write [low, high] from 0 to {most:g}."
        table.fault("SPE-013", f"{name} from {low:g} to {high:g} cannot be.", hint, name)
    return low, high
