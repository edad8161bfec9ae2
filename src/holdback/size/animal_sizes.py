"""What is said of the size of each animal, worked out when it is looked up."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Animal, Sex, Trait
from holdback.size.evaluation import AnimalSize, Compared, Sharpening
from holdback.size.growth.columns import OWN
from holdback.size.growth.data import MONTHS, YEAR_DAYS
from holdback.size.growth.fitted_curves import FEMALE, FittedCurves, in_gram, in_percent
from holdback.size.growth.weighed import Point, Told, mixed
from holdback.size.percentiles import place_among
from holdback.size.readings import Reading, Readings
from holdback.size.sharpening import sharpenings

FloatArray = npt.NDArray[np.float64]

GROWN_MONTHS = 120.0
"""Age at which ordinary animals are taken where an animal's own age is not known."""
GROWN_GAP, GROWN_SD = 0.07, 0.06
"""An animal is grown where its curve is within this of its adult log mass, and that is known this well."""
RUN, RUN_SIZE, RUN_AMONG = 6, 1.0, 20
"""Weights in a row on one side of the curve, and their mean distance in standard deviations, that do not fit; one more
each time that more than so many weights are doubled, since chance alone makes longer runs among more."""
THEIR = {Sex.FEMALE: "her", Sex.MALE: "him", Sex.UNKNOWN: "it"}
PLURAL = {Sex.FEMALE: "females", Sex.MALE: "males", Sex.UNKNOWN: "animals"}


class AnimalSizes(Mapping[str, AnimalSize]):
    """Sizes by animal.

    Parameters
    ----------
    collection : Collection
        Records.
    readings : Readings
        Weights, counted and left out.
    curves : FittedCurves
        Fitted collection.
    points : sequence of Point
        Posterior over the standard deviations.
    """

    def __init__(
        self, collection: Collection, readings: Readings, curves: FittedCurves, points: Sequence[Point]
    ) -> None:
        self.curves = curves
        self._collection = collection
        self._readings = readings
        self.points = tuple(points)
        self._made: dict[str, AnimalSize] = {}

    def __len__(self) -> int:
        """Number of animals on record."""
        return len(self.curves.place)

    def __iter__(self) -> Iterator[str]:
        """Ids in record order."""
        return iter(self.curves.place)

    def __getitem__(self, animal: str) -> AnimalSize:
        """What is said of an animal; KeyError if there is none."""
        if animal not in self._made:
            self._made[animal] = self._sized(animal)
        return self._made[animal]

    @cached_property
    def deviation(self) -> Told:
        """Adult deviations on the log scale, by place in the data."""
        return mixed(self.points, "deviation")

    @cached_property
    def breeding_value(self) -> Told:
        """Breeding values on the log scale, lines included, by place in the data."""
        return mixed(self.points, "breeding_value")

    @cached_property
    def within_line(self) -> Told:
        """Breeding values without what the lines explain."""
        return mixed(self.points, "within_line")

    @cached_property
    def adult(self) -> Told:
        """Adult log mass, by place in the data."""
        return mixed(self.points, "adult")

    @cached_property
    def hatching(self) -> Told:
        """Hatching deviations beyond egg and clutch."""
        return mixed(self.points, "hatching")

    @cached_property
    def additive_variance(self) -> float:
        """Mean additive variance over the mixture."""
        total = sum(point.weight for point in self.points)
        return sum(point.weight * point.quantities.additive_variance for point in self.points) / total

    def _sized(self, animal: str) -> AnimalSize:
        number, record = self.curves.place[animal], self._collection.animals[animal]
        weights = [one for one in self._readings.by_animal.get(animal, ()) if one.measurement.trait is Trait.MASS]
        counted = [one for one in weights if one.counts]
        compared = self._compared(number, record, counted[-1]) if counted else None
        basis, ground = self._ground(weights, counted, animal)
        within = self.within_line
        genes = (1 + float(self.curves.fit.curves.data.nodes.inbreeding[number])) * self.additive_variance
        prior = genes + float(self.curves.share_doubt[number])
        reliability = float(np.clip(1 - within.variance[number] / prior, 0.0, 1.0))
        note = self._misfit(number)
        last_month = self.curves.age_at(animal, counted[-1].day) if counted else 0.0
        return AnimalSize(
            animal=animal,
            sex=record.sex,
            n_weights=len(counted),
            n_left_out=len(weights) - len(counted),
            compared=compared,
            adult_mass_g=in_gram(*_law(self.adult, number), basis, ground),
            is_grown=self._is_grown(number, counted),
            deviation=in_percent(*_law(self.deviation, number), basis, ground),
            hatching=self._hatched(number, basis, ground),
            breeding_value=in_percent(
                *_law(self.breeding_value, number), Basis.BY_DESCENT, self._passed_ground(animal)
            ),
            within_line=in_percent(*_law(within, number), Basis.BY_DESCENT, "Beyond what its lines explain."),
            reliability=reliability,
            fits=not note,
            fit_note=note,
            sharpen=self._sharpened(number, record, last_month, reliability),
            head=self._head(number, animal),
        )

    def _hatched(self, number: int, basis: Basis, ground: str) -> Estimate:
        """Its mass at hatching beyond egg and clutch; what is assumed where its hatching is not known."""
        if not self.curves.fit.curves.data.has_age[number]:
            said = "When it hatched is not on record: this is what is assumed of any."
            return in_percent(0.0, self.curves.fit.spread.hatching, Basis.ASSUMED, said)
        return in_percent(*_law(self.hatching, number), basis, ground)

    def _sharpened(self, number: int, record: Animal, last_month: float, reliability: float) -> tuple[Sharpening, ...]:
        """What would tell more, from what is known of it over the whole mixture."""
        return sharpenings(
            self.curves,
            number,
            her=THEIR[record.sex],
            last_month=last_month,
            known=reliability,
            adult_sd=_law(self.adult, number)[1],
        )

    def _head(self, number: int, animal: str) -> Estimate | None:
        """Width of its head for its mass; None where it was not measured."""
        readings = self._readings.by_animal.get(animal, ())
        measured = [one for one in readings if one.counts and one.measurement.trait is Trait.HEAD_WIDTH]
        if not measured or not self._curve_known(number):
            return None
        fit = self.curves.fit
        columns = fit.curves.columns
        row = np.zeros(columns.n_shared + columns.n_own)
        row[columns.n_shared + len(OWN) + fit.curves.data.traits.index(Trait.HEAD_WIDTH) - 1] = 1.0
        value = float(fit.state.own[number] @ row[columns.n_shared :])
        for line, name in enumerate(fit.curves.data.lines):
            place = columns.place[f"{Trait.HEAD_WIDTH} line {name}"]
            row[place] = fit.curves.data.shares[number, line]
            value += float(row[place] * fit.state.common[place])
        sd = float(self.curves.variance(number, row[None, :])[0]) ** 0.5
        ground = f"{len(measured)} reading{'s' if len(measured) != 1 else ''} of its head, against others of its mass."
        return in_percent(value, sd, Basis.MEASURED, ground)

    def _curve_known(self, number: int) -> bool:
        return bool(np.isfinite(self.curves.fit.curves.data.day_zero[number]))

    def _ground(self, weights: Sequence[Reading], counted: Sequence[Reading], animal: str) -> tuple[Basis, str]:
        """How its size is known."""
        has_kin = self._has_kin(animal)
        if not counted:
            traits = {one.measurement.trait for one in self._readings.by_animal.get(animal, ()) if one.counts}
            seen = ["its lengths"] if traits and self._curve_known(self.curves.place[animal]) else []
            seen += ["its kin"] if has_kin else []
            by = f"{seen[0]}, {'kin, ' if len(seen) > 1 else ''}lines and sex" if seen else "its lines and sex alone"
            return Basis.BY_DESCENT, f"{'No weight counts' if weights else 'Never weighed'}: by {by}."
        own = f"Its own {len(counted)} weight{'s' if len(counted) != 1 else ''}"
        known = f"{own} and its kin" if has_kin else f"{own}; no kin is on record"
        return Basis.MEASURED, f"{known}." if animal in self._readings.hatched else f"{known}; age not known."

    def _has_kin(self, animal: str) -> bool:
        return bool(self.curves.fit.curves.data.nodes.made_of.of_row(self.curves.place[animal]).any())

    def _passed_ground(self, animal: str) -> str:
        if self._has_kin(animal):
            return "Its own weights, its kin and its lines."
        return "Its own weights alone: no kin is on record."

    def _is_grown(self, number: int, counted: Sequence[Reading]) -> bool:
        if not counted:
            return False
        years = (counted[-1].day - self.curves.fit.curves.data.day_zero[number]) / YEAR_DAYS
        gap = self.curves.parameters[0][number] - self.curves.log_of(number, np.array([years])).mean[0]
        return bool(abs(gap) < GROWN_GAP and self.adult.variance[number] ** 0.5 < GROWN_SD)

    def _compared(self, number: int, record: Animal, last: Reading) -> Compared:
        """Its place among ordinary animals of its sex and age."""
        curves, data = self.curves, self.curves.fit.curves.data
        years = np.array([(last.day - data.day_zero[number]) / YEAR_DAYS])
        has_age = bool(data.has_age[number])
        own = curves.log_of(number, years)
        at = years if has_age else np.array([GROWN_MONTHS / MONTHS])
        usual = curves.log_ordinary(FEMALE[record.sex], at)
        among = float(curves.among_ordinary(usual.by, is_weighed=False)[0]) ** 0.5
        gap = float(own.mean[0] - usual.mean[0])
        sd = float(curves.variance(number, own.rows - usual.rows)[0]) ** 0.5
        place = place_among(gap, sd=sd, spread=among)
        low, middle, high = (100 * float(one) for one in (place.low, place.mean, place.high))
        low, high = min(low, middle), max(high, middle)  # far out in the tails the mean leaves its own range
        months = float(at[0] * MONTHS)
        band = curves.ordinary(record.sex, [months])
        whom = f"{PLURAL[record.sex]} of {_months(months)}" if has_age else f"grown {PLURAL[record.sex]}"
        ground = f"Among 100 ordinary {whom}, by {self._n_alike(record.sex)} of yours and the usual figures."
        return Compared(
            percentile=Estimate(middle, low, high, "%", Basis.MEASURED, ground),
            age_months=months if has_age else math.nan,
            date=last.measurement.date,
            mass_g=last.value,
            ordinary_low_g=float(band.low[0]),
            ordinary_median_g=float(band.median[0]),
            ordinary_high_g=float(band.high[0]),
            whom=f"{whom}: {self._n_alike(record.sex)} of yours and the usual figures",
        )

    @cached_property
    def _weighed_by_sex(self) -> dict[Sex, int]:
        found = dict.fromkeys(Sex, 0)
        for animal, readings in self._readings.by_animal.items():
            if any(one.counts and one.measurement.trait is Trait.MASS for one in readings):
                found[self._collection.animals[animal].sex] += 1
        return found

    def _n_alike(self, sex: Sex) -> int:
        """Animals of a sex that were weighed; all of them where the sex is not known."""
        return sum(self._weighed_by_sex.values()) if sex is Sex.UNKNOWN else self._weighed_by_sex[sex]

    @cached_property
    def _residuals(self) -> dict[int, FloatArray]:
        """Weights less curve in standard deviations, by place, oldest first."""
        fit, found = self.curves.fit, {}
        for bucket, slope in zip(fit.curves.data.buckets, fit.slopes, strict=True):
            for line, number in enumerate(bucket.animals):
                here = (bucket.there[line] > 0) & (bucket.traits[line] == 0)
                found[int(number)] = slope.residual[line, here] / fit.spread.scale[0]
        return found

    def _misfit(self, number: int) -> str:
        """Why the weights do not follow the curve; empty where they do."""
        residuals = self._residuals.get(number, np.zeros(0))
        start, least = 0, RUN + max(math.log2(max(len(residuals), 1) / RUN_AMONG), 0.0)
        for end in range(1, len(residuals) + 1):
            if end == len(residuals) or (residuals[end] > 0) != (residuals[start] > 0):
                run = residuals[start:end]
                if len(run) >= least and abs(float(run.mean())) > RUN_SIZE:
                    side = "above" if run[0] > 0 else "below"
                    return (
                        f"{len(run)} weights in a row lie {side} the curve: feeding, a fast, laying or illness may be "
                        "behind it. The ranges are too narrow here."
                    )
                start = end
        return ""


def _law(told: Told, number: int) -> tuple[float, float]:
    """Mean and standard deviation of one animal."""
    return float(told.mean[number]), float(told.variance[number]) ** 0.5


def _months(months: float) -> str:
    """An age in words."""
    return "1 month" if round(months) == 1 else f"{months:.0f} months"
