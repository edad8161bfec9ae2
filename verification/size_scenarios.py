"""Worlds in which sizes are drawn: the one that the model assumes, and ways in which the world may differ from it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum


class Curve(StrEnum):
    """How a snake grows."""

    GOMPERTZ = "Gompertz"
    BERTALANFFY = "von Bertalanffy"
    LOGISTIC = "logistic"
    TWO_PHASES = "two phases"


class Keeping(StrEnum):
    """Which animals stay, and which stay on record."""

    ANY = "any"
    BIGGEST = "only the biggest yearlings are kept"
    NO_SMALL = "small adults are struck from the records"


class Laying(StrEnum):
    """What is written down of weights before and after laying."""

    CODES = "condition of each weight"
    DATES = "day of laying only"
    NOTHING = "nothing"


class Hatched(StrEnum):
    """What is known of the day on which founders, or all animals, hatched."""

    DAY = "day"
    YEAR = "year"
    WILD = "nothing of wild founders"


@dataclass(frozen=True, slots=True)
class Scenario:
    """How collections are drawn; all sizes on the scale of log mass.

    Parameters
    ----------
    name : str
        In the tables.
    effects : tuple of float
        Effect of the line, one for each collection in turn.
    line_founders, other_founders : (int, int)
        Least and most.
    second_line : bool
        Whether there is a second line, with five founders and an effect of its own.
    tries : int
        Wild animals of which each founder of the line was the biggest; 1 is no choice.
    keeping : Keeping
        Which animals stay.
    room : float
        What the room of the line's animals adds to adult mass.
    swapped : float
        Part of the animals that are in the room of the others.
    room_on_record : bool
        Whether the rooms are written down.
    laying : Laying
        What is written down of it.
    feeding_adult, feeding_rate : float
        Standard deviations of what feeding adds, by animal, to adult mass and to the logarithm of the growth rate.
    curve : Curve
        How they grow.
    hatched : Hatched
        What is known of hatching days.
    noise : float
        Standard deviation of a weight about its curve.
    wild_noise : float
        Part of the weights that are far off, with five times that deviation.
    dam_hatching : float
        Standard deviation of the dams' effects on hatching mass.
    heads : bool
        Whether heads of half the grown animals were measured; heads of the line are 5 % wider at the same mass.
    honest_sires : bool
        Whether doubtful sires are as likely as the weights written down.
    """

    name: str
    effects: tuple[float, ...] = (0.0, 0.2, 0.4)
    line_founders: tuple[int, int] = (6, 11)
    other_founders: tuple[int, int] = (11, 17)
    second_line: bool = False
    tries: int = 1
    keeping: Keeping = Keeping.ANY
    room: float = 0.0
    swapped: float = 0.0
    room_on_record: bool = True
    laying: Laying = Laying.CODES
    feeding_adult: float = 0.0
    feeding_rate: float = 0.0
    curve: Curve = Curve.GOMPERTZ
    hatched: Hatched = Hatched.DAY
    noise: float = 0.05
    wild_noise: float = 0.0
    dam_hatching: float = 0.03
    heads: bool = False
    honest_sires: bool = True


BASE = Scenario("as assumed")

SCENARIOS: tuple[Scenario, ...] = (
    BASE,
    replace(BASE, name="only the biggest yearlings are kept", keeping=Keeping.BIGGEST),
    replace(BASE, name="small adults struck from the records", keeping=Keeping.NO_SMALL),
    replace(BASE, name="founders of the line were the biggest of five", tries=5),
    replace(BASE, name="line in a room of its own, +.15, not on record", room=0.15, room_on_record=False),
    replace(BASE, name="line in a room of its own, +.15, on record", room=0.15),
    replace(BASE, name="the same, 30 % of animals swapped", room=0.15, swapped=0.3),
    replace(BASE, name="laying: only the days on record", laying=Laying.DATES),
    replace(BASE, name="laying: nothing on record", laying=Laying.NOTHING),
    replace(BASE, name="feeding changes mass and rate", feeding_adult=0.08, feeding_rate=0.15),
    replace(BASE, name="growth after von Bertalanffy", curve=Curve.BERTALANFFY),
    replace(BASE, name="logistic growth", curve=Curve.LOGISTIC),
    replace(BASE, name="growth in two phases", curve=Curve.TWO_PHASES),
    replace(BASE, name="two or three founders of the line", line_founders=(2, 3)),
    replace(BASE, name="four to eight founders of the line", line_founders=(4, 8)),
    replace(BASE, name="nine to fifteen founders of the line", line_founders=(9, 15)),
    replace(BASE, name="wild founders of unknown age", hatched=Hatched.WILD),
    replace(BASE, name="hatching days known to the year", hatched=Hatched.YEAR),
    replace(BASE, name="a careless scale", noise=0.12, wild_noise=0.02),
    replace(BASE, name="dams matter much at hatching", dam_hatching=0.12),
    replace(BASE, name="two lines", second_line=True),
    replace(BASE, name="heads measured", heads=True),
    replace(BASE, name="wrong weights of doubtful sires", honest_sires=False),
)


def named(name: str) -> Scenario:
    """Scenario of a name."""
    return next(one for one in SCENARIOS if one.name == name)
