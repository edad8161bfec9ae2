"""Which weights and lengths count for size, at what age, and what has to be asked about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from holdback.collection.model import Measurement, PartialDate, Trait


@dataclass(frozen=True, slots=True)
class HatchDay:
    """When an animal hatched, as far as it is known.

    Parameters
    ----------
    earliest, latest : float
        Ordinal days (`datetime.date.toordinal`) between which it hatched, each day alike.
    ground : str
        "hatch date", "hatch month", "hatch year", "clutch hatched", "clutch laid".
    """

    earliest: float
    latest: float
    ground: str

    @property
    def middle(self) -> float:
        """Expected day."""
        return (self.earliest + self.latest) / 2


@dataclass(frozen=True, slots=True)
class Reading:
    """One measurement in gram or centimetre, and whether it counts.

    Parameters
    ----------
    measurement : Measurement
        As typed.
    value : float
        Gram or centimetre.
    day : float
        Ordinal day, the middle of a partial date.
    left_out : str
        Why it does not count, in words that go after "left out:" ("gravid", "after laying", "in shed", "fed",
        "date known to the year only"); empty where it counts.
    """

    measurement: Measurement
    value: float
    day: float
    left_out: str = ""

    @property
    def counts(self) -> bool:
        """Whether it goes into the curves."""
        return not self.left_out


@dataclass(frozen=True, slots=True)
class Question:
    """A value that looks like a slip of the pen; it is asked about, never repaired.

    Parameters
    ----------
    code : str
        Stable code, ``SIZ-0nn``.
    animal : str
        Id.
    date : PartialDate
        Day of the reading.
    trait : Trait
        What was measured.
    typed : str
        Value and unit as typed.
    message : str
        What is odd, beside what.
    perhaps : str
        What it may have been meant to be ("1,660 g"); empty where no guess offers itself.
    """

    code: str
    animal: str
    date: PartialDate
    trait: Trait
    typed: str
    message: str
    perhaps: str = ""


@dataclass(frozen=True)
class Readings:
    """All readings of a collection.

    Parameters
    ----------
    by_animal : mapping of str to tuple of Reading
        Every animal with a reading, oldest first.
    hatched : mapping of str to HatchDay
        Animals whose day of hatching is known at least to the year.
    egg_mass : mapping of str to float
        Mass of the egg in gram, by the animal that hatched from it.
    rearing : mapping of str to str
        By animal: the room, keeper or way of feeding it grew up under, as far as the records tell; "" for not known.
    questions : tuple of Question
        Asked about; these readings count only where leaving them in does no harm (see `questions`): a reading that is
        asked about is left out.
    """

    by_animal: Mapping[str, tuple[Reading, ...]]
    hatched: Mapping[str, HatchDay]
    egg_mass: Mapping[str, float]
    rearing: Mapping[str, str]
    questions: tuple[Question, ...] = ()

    def left_out(self) -> dict[str, int]:
        """Number of weights left out, by reason, the commonest first."""
        reasons: dict[str, int] = {}
        for readings in self.by_animal.values():
            for one in readings:
                if one.left_out and one.measurement.trait is Trait.MASS:
                    reasons[one.left_out] = reasons.get(one.left_out, 0) + 1
        return dict(sorted(reasons.items(), key=lambda one: (-one[1], one[0])))
