"""What is said of sizes: of each animal, of each line, of the variances behind them, and what it rests on.

Everything is counted on the natural logarithm of mass and told in percent: a deviation of 0.12 is +13 %.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from holdback.collection.estimate import Estimate
from holdback.collection.model import PartialDate, Sex

if TYPE_CHECKING:
    from holdback.size.confounding import Design
    from holdback.size.growth.curves_of import CurvesOf
    from holdback.size.readings import Readings


@dataclass(frozen=True, slots=True)
class Compared:
    """Where an animal stands among ordinary animals of its sex and age.

    Parameters
    ----------
    percentile : Estimate
        Of 100 ordinary animals of its sex and age, how many are lighter; in ``%`` of them, 0 to 100.
    age_months : float
        Age at which it was compared: at its last weight that counts; NaN where its age is not known: it is compared
        with grown animals then.
    date : PartialDate
        Day of that weight.
    mass_g : float
        That weight, in gram.
    ordinary_low_g, ordinary_median_g, ordinary_high_g : float
        Range of nine in ten ordinary animals of that sex and age, and the middle one, in gram.
    whom : str
        Whom it is compared with, in words: "females of 43 months: 31 of yours and the usual figures".
    """

    percentile: Estimate
    age_months: float
    date: PartialDate
    mass_g: float
    ordinary_low_g: float
    ordinary_median_g: float
    ordinary_high_g: float
    whom: str


@dataclass(frozen=True, slots=True)
class Sharpening:
    """One thing to measure, and what it would do to what is known.

    Parameters
    ----------
    what : str
        The deed in words: "weigh her empty at two years", "measure the width of her head".
    adult_range_now, adult_range_then : float
        Half the 90 % range of adult mass, in percent, before and after.
    reliability_now, reliability_then : float
        Of the breeding value, in [0, 1].
    """

    what: str
    adult_range_now: float
    adult_range_then: float
    reliability_now: float
    reliability_then: float


@dataclass(frozen=True, slots=True)
class AnimalSize:
    """How big one animal is, will be, and what it would pass on.

    Parameters
    ----------
    animal : str
        Id.
    sex : Sex
        As recorded.
    n_weights, n_left_out : int
        Weights that count, and those left out.
    compared : Compared or None
        None where no weight counts or its age is not known.
    adult_mass_g : Estimate
        Mass in gram, grown and empty, in its sex; by descent where it was never weighed.
    is_grown : bool
        Whether the adult mass is what it weighs now rather than a forecast.
    deviation : Estimate
        Adult mass against an ordinary animal of its sex and kept like it (nothing of any line), in percent.
    hatching : Estimate
        Mass at hatching against the same, in percent, beyond what its egg and clutch explain.
    breeding_value : Estimate
        Its genetic part of the deviation, lines included, in percent: a pair of two such animals is expected to give
        young that deviate by it, a mate that is ordinary halves it.
    within_line : Estimate
        That part without what the lines' shares explain, in percent.
    reliability : float
        Of `within_line`: 1 - PEV / ((1 + F) Var u), in [0, 1].
    fits : bool
        Whether its weights follow the curve; False where they run above or below it for long.
    fit_note : str
        One sentence where they do not; else empty.
    sharpen : tuple of Sharpening
        What would tell more, the most telling first; empty where nothing much would.
    head : Estimate or None
        Width of its head against an animal of its sex and mass that is none of any line, in percent; None where it was
        not measured.
    """

    animal: str
    sex: Sex
    n_weights: int
    n_left_out: int
    compared: Compared | None
    adult_mass_g: Estimate
    is_grown: bool
    deviation: Estimate
    hatching: Estimate
    breeding_value: Estimate
    within_line: Estimate
    reliability: float
    fits: bool = True
    fit_note: str = ""
    sharpen: tuple[Sharpening, ...] = ()
    head: Estimate | None = None


@dataclass(frozen=True, slots=True)
class LineEffect:
    """How much heavier an adult that is all of a line is than one that is none of it, fed alike.

    Parameters
    ----------
    line : str
        Name.
    effect : Estimate
        In percent of adult mass.
    owned : Estimate
        The same for these founders of the line against the other founders of the collection: what the keeper has, in
        percent.
    chance_larger : float
        Probability that the effect is above nought, in [0, 1].
    head : Estimate or None
        Width of the head at the same length or mass, in percent; None where no head was measured.
    n_founders : int
        Founders that carry half the line or more by what is said of them, and whose descendants were weighed.
    n_weighed : int
        Animals of the line (share of 1/8 and more) with a weight that counts.
    can_tell : bool
        False where the records cannot tell the line from its few founders or from its keeping.
    why_not : tuple of str
        Sentences; empty where `can_tell`.
    design : Design or None
        Whether share and keeping can be told apart.
    """

    line: str
    effect: Estimate
    owned: Estimate
    chance_larger: float
    head: Estimate | None
    n_founders: int
    n_weighed: int
    can_tell: bool
    why_not: tuple[str, ...] = ()
    design: Design | None = None


@dataclass(frozen=True, slots=True)
class Variances:
    """Where differences in size come from.

    Parameters
    ----------
    heritability : Estimate
        Share of the variance of adult log mass within lines that is additive genetic, 0 to 1.
    adult_sd, hatching_sd, clutch_sd, rate_sd, scale_sd, rearing_sd : float
        Standard deviations on the log scale: of adult deviations within lines, of hatching mass within clutches, of
        clutches, of growth rates, of one weight about its curve, of rooms or ways of feeding.
    knows_little : bool
        Whether the records say almost nothing of the heritability beyond what is assumed of it.
    """

    heritability: Estimate
    adult_sd: float
    hatching_sd: float
    clutch_sd: float
    rate_sd: float
    scale_sd: float
    rearing_sd: float
    knows_little: bool


@dataclass(frozen=True, slots=True)
class Hatchling:
    """One young of a clutch beside its clutch mates.

    Parameters
    ----------
    animal, egg : str
        Id, and mark of the egg it came from; empty where not known.
    egg_mass_g, hatch_mass_g : float or None
        Masses in gram; the first weight within three weeks.
    hatching : Estimate
        Hatching mass beyond what egg and clutch explain, in percent.
    adult_mass_g : Estimate
        Forecast.
    deviation : Estimate
        Forecast of the adult deviation, in percent.
    chance_best : float
        Probability, in [0, 1], that it has the largest adult deviation of its clutch mates here.
    """

    animal: str
    egg: str
    egg_mass_g: float | None
    hatch_mass_g: float | None
    hatching: Estimate
    adult_mass_g: Estimate
    deviation: Estimate
    chance_best: float


@dataclass(frozen=True)
class SizeEvaluation:
    """Sizes of a collection.

    Parameters
    ----------
    animals : mapping of str to AnimalSize
        Every animal on record, by id.
    lines : mapping of str to LineEffect
        By name.
    variances : Variances
        Where differences come from.
    readings : Readings
        Weights and lengths with what was left out, and what has to be asked.
    curves : CurvesOf
        Growth curves of each animal and of ordinary ones, at any age.
    assumptions : tuple of str
        Sentences.
    settled : bool
        Whether the fit converged.
    """

    animals: Mapping[str, AnimalSize]
    lines: Mapping[str, LineEffect]
    variances: Variances
    readings: Readings
    curves: CurvesOf
    assumptions: tuple[str, ...] = ()
    settled: bool = True
    clutches: Mapping[str, tuple[Hatchling, ...]] = field(default_factory=dict)
