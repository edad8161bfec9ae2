"""What choosing for size has changed in a line from hatch year to hatch year, and what it may change."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from holdback.collection.estimate import Basis, Estimate
from holdback.collection.model import Sex
from holdback.collection.status import is_here
from holdback.descent.generation_interval import generation_interval
from holdback.size.animal_sizes import AnimalSizes
from holdback.size.growth.fitted_curves import FittedCurves, in_percent
from holdback.size.line_effects import IS_CARRIER
from holdback.size.response import Chosen, Expected, Realised, expected_change, realised_change
from holdback.size.seeing import Needed, animals_needed

if TYPE_CHECKING:
    from holdback.answers.size.sizes import Sizes

FloatArray = npt.NDArray[np.float64]

KEPT = 0.1
"""Part of the young of each sex that a plan keeps, at least one."""
ASSUMED = (
    "The young of a plan are as many as a year had so far, of parents chosen by size alone.",
    "Candidates count as unrelated, and only what they have beyond the line is chosen for.",
    "The number of animals to weigh holds if all years are kept alike.",
)
FEEDING = "Where keeping changed by the year and no room says so, feeding is taken for breeding."


@dataclass(frozen=True, slots=True)
class Cohort:
    """Young of one hatch year.

    Parameters
    ----------
    year : int
        Of hatching.
    n_young : int
        Hatched here and on record, also those that left.
    share : float
        Their mean expected share of the line, in [0, 1].
    breeding_value : Estimate
        Mean of their breeding values, lines included, in percent.
    """

    year: int
    n_young: int
    share: float
    breeding_value: Estimate


@dataclass(frozen=True, slots=True)
class LineResponse:
    """What changed among the carriers of a line, and what keeping the biggest would change.

    Parameters
    ----------
    line : str
        Name.
    cohorts : tuple of Cohort
        Its carriers (an eighth or more) hatched here, oldest first.
    realised, everybody : Realised or None
        Change among them, and among all animals hatched here; None where there are not two years of hatching.
    expected : Expected or None
        If the best tenth of each sex is kept, at least one; None where a sex has no candidate.
    kept : tuple of Chosen
        Males and females of that plan; empty where there is none.
    needed : Needed or None
        Animals to weigh of each year to see a change of that size over the years on record; None where there are not
        two years, or no change is expected.
    said : tuple of str
        All that in a few sentences.
    assumed : tuple of str
        What it rests on beside the records.
    """

    line: str
    cohorts: tuple[Cohort, ...]
    realised: Realised | None
    everybody: Realised | None
    expected: Expected | None
    kept: tuple[Chosen, ...]
    needed: Needed | None
    said: tuple[str, ...]
    assumed: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class CohortValues:
    """Mean breeding values of hatch years, and how they err together.

    Parameters
    ----------
    years, n_young : int array, shape (n_cohorts,)
        Years of hatching, oldest first, and young of each.
    means : float array, shape (n_cohorts,)
        Mean breeding values, log scale.
    covariance : float array, shape (n_cohorts, n_cohorts)
        Posterior covariance of the means.
    """

    years: npt.NDArray[np.int64]
    n_young: npt.NDArray[np.int64]
    means: FloatArray
    covariance: FloatArray

    def realised(self) -> Realised | None:
        """Change from year to year, each young counting alike; None where there are not two years."""
        if len(self.years) < 2:
            return None
        years = self.years.astype(np.float64)
        return realised_change(years, self.means, self.covariance, n_animals=self.n_young.tolist())


def line_response(sizes: Sizes, line: str) -> LineResponse:
    """Realised and expected change of breeding values among the carriers of a line.

    Parameters
    ----------
    sizes : Sizes
        Sizes of the collection.
    line : str
        Name, whatever the case of the letters.

    Raises
    ------
    PedigreeError
        PED-011 if no claim names the line.
    """
    name = sizes.descent.line_named(line)
    shares = sizes.descent.share_means(name)
    young = [one for one in hatched_here(sizes) if shares[sizes.descent.node(one)] >= IS_CARRIER]
    values = cohort_values(sizes, young)
    realised, everybody, cohorts = values.realised(), sizes.realised, _cohorts(sizes, name, young, values)
    kept, expected = _planned(sizes, young, values)
    needed = _needed(sizes, young, values, expected)
    return LineResponse(
        line=name,
        cohorts=cohorts,
        realised=realised,
        everybody=everybody,
        expected=expected,
        kept=kept,
        needed=needed,
        said=(_said_of_past(realised, everybody, cohorts), *_said_of_plan(expected, kept, needed, values)),
        assumed=(*ASSUMED, FEEDING) if expected else (FEEDING,),
    )


def hatched_here(sizes: Sizes) -> list[str]:
    """Animals with a parent or a clutch on record whose year of hatching is known."""
    animals = sizes.collection.animals
    return [one for one, animal in animals.items() if animal.hatched and (animal.dam or animal.sires or animal.clutch)]


def cohort_values(sizes: Sizes, young: Iterable[str]) -> CohortValues:
    """Mean breeding values of the hatch years of some animals.

    Parameters
    ----------
    sizes : Sizes
        Sizes of the collection.
    young : iterable of str
        Ids; their years of hatching are known.

    Notes
    -----
    Breeding values are sums over the coefficients of the fit, so means of cohorts are too, and no matrix over animals
    is made. Means and covariances are mixed over what the heritability and the spread of adults may be.
    """
    animals, curves = sizes.evaluation.animals, sizes.evaluation.curves
    assert isinstance(animals, AnimalSizes), "evaluations carry the fit"
    assert isinstance(curves, FittedCurves), "evaluations carry the fit"
    by_year: dict[int, list[int]] = {}
    for one in young:
        hatched = sizes.collection.animals[one].hatched
        assert hatched is not None, "only dated animals are of a cohort"
        by_year.setdefault(hatched.year, []).append(curves.place[one])
    years = sorted(by_year)
    cohorts = [by_year[year] for year in years]
    weights = np.array([point.weight for point in animals.points])
    weights = weights / weights.sum()
    means, covariance = np.zeros((len(weights), len(years))), np.zeros((len(years), len(years)))
    for number, point in enumerate(animals.points):
        fit = replace(curves.fit, spread=point.spread, state=point.state, solution=point.solution)
        means[number], within = _means_at(FittedCurves(fit), cohorts)
        covariance += weights[number] * within
    mean = weights @ means
    away = means - mean
    covariance += (away * weights[:, None]).T @ away
    return CohortValues(np.array(years, dtype=np.int64), np.array([len(one) for one in cohorts]), mean, covariance)


def _means_at(curves: FittedCurves, cohorts: Sequence[Sequence[int]]) -> tuple[FloatArray, FloatArray]:
    """Means of cohorts and their covariance at one set of standard deviations."""
    solution, n = curves.fit.solution, len(cohorts)
    means, besides = np.zeros(n), np.zeros(n)
    rows, clutches = np.zeros((n, len(solution.x))), np.zeros((n, len(solution.clutch_variance)))
    for number, members in enumerate(cohorts):
        for animal in members:
            mean, row, beside, clutch, coefficient = curves.value_of(animal)
            means[number] += mean / len(members)
            rows[number] += row / len(members)
            besides[number] += beside / len(members) ** 2
            if clutch >= 0:
                clutches[number, clutch] += coefficient / len(members)
    together = rows @ solution.variance @ rows.T + (clutches * solution.clutch_variance) @ clutches.T
    return means, together + np.diag(besides)


def _cohorts(sizes: Sizes, line: str, young: Sequence[str], values: CohortValues) -> tuple[Cohort, ...]:
    """Hatch years with the range of each mean."""
    means, animals = sizes.descent.share_means(line), sizes.collection.animals
    shares: dict[int, list[float]] = {int(year): [] for year in values.years}
    for one in young:
        hatched = animals[one].hatched
        assert hatched is not None, "only dated animals are of a cohort"
        shares[hatched.year].append(float(means[sizes.descent.node(one)]))
    sds = np.sqrt(np.diagonal(values.covariance))
    ground = "Mean of the breeding values of the young of a year, which err together."
    return tuple(
        Cohort(year, len(held), sum(held) / len(held), in_percent(float(mean), float(sd), Basis.BY_DESCENT, ground))
        for (year, held), mean, sd in zip(shares.items(), values.means, sds, strict=True)
    )


def _planned(sizes: Sizes, young: Sequence[str], values: CohortValues) -> tuple[tuple[Chosen, ...], Expected | None]:
    """The best tenth of the young of each sex that are still here, and what keeping them would change."""
    animals = sizes.collection.animals
    here = [one for one in young if is_here(animals[one].status)]
    sides = [[one for one in here if animals[one].sex is sex] for sex in (Sex.MALE, Sex.FEMALE)]
    if not all(sides):
        return (), None
    age = _age_of_parents(sizes, young)
    males, females = (
        Chosen(
            len(side),
            max(1, round(KEPT * len(side))),
            float(np.mean([sizes.of(one).reliability for one in side])),
            age,
        )
        for side in sides
    )
    points = _points(sizes)
    found = expected_change(
        males,
        females,
        genetic_sd=[sd for sd, _ in points],
        weights=[weight for _, weight in points],
        n_young=max(1, round(float(values.n_young.mean()))),
    )
    return (males, females), found


def _points(sizes: Sizes) -> list[tuple[float, float]]:
    """Standard deviations of breeding values within lines that may be, with their weights."""
    animals = sizes.evaluation.animals
    assert isinstance(animals, AnimalSizes), "evaluations carry the fit"
    return [(point.spread.additive_variance**0.5, point.weight) for point in animals.points]


def _age_of_parents(sizes: Sizes, young: Sequence[str]) -> float:
    """Generation interval behind some animals in years; the species' breeding ages where none is dated."""
    pedigree = sizes.descent.pedigree
    on_record = generation_interval(pedigree.part([sizes.descent.node(one) for one in young])).pooled.mean
    if on_record is not None:
        return on_record
    reproduction = sizes.catalogue.reproduction
    male = reproduction["male_breeding_age_months"].value / 12
    return (male + reproduction["female_breeding_age_years"].value) / 2


def _needed(sizes: Sizes, young: Sequence[str], values: CohortValues, expected: Expected | None) -> Needed | None:
    """Animals to weigh of each year to see the expected change over the years on record."""
    if expected is None or len(values.years) < 2 or expected.per_year.mean <= 0:
        return None
    variances = sizes.evaluation.variances
    clutches = [sizes.collection.animals[one].clutch for one in young]
    known = [one for one in clutches if one]
    return animals_needed(
        math.log1p(expected.per_year.mean / 100),
        years=values.years.tolist(),
        sd=variances.adult_sd,
        clutch_size=len(known) / len(set(known)) if known else 1.0,
        likeness=variances.heritability.mean / 2,
    )


def _said_of_past(realised: Realised | None, everybody: Realised | None, cohorts: Sequence[Cohort]) -> str:
    """What changed, in a few sentences."""
    if realised is None or everybody is None:
        return "Young of the line have fewer than two years of hatching, so no change over years can be told."
    first, last = cohorts[0], cohorts[-1]
    return (
        f"{realised.said} Their mean share of the line was {100 * first.share:.0f} % in {first.year} and "
        f"{100 * last.share:.0f} % in {last.year}. Among all animals hatched here: {_percent(everybody.per_year)} a "
        "year."
    )


def _said_of_plan(
    expected: Expected | None, kept: Sequence[Chosen], needed: Needed | None, values: CohortValues
) -> list[str]:
    """What keeping the best would change, in sentences."""
    if expected is None:
        return []
    males, females = kept
    found = [
        f"Keeping the best {males.n_kept} of {males.n_candidates} males and {females.n_kept} of {females.n_candidates} "
        f"females as breeders: their young are expected to pass on {_percent(expected.per_generation)} more, a "
        f"generation of {expected.interval_years:.1f} years."
    ]
    if needed is not None and needed.n_animals is not None:
        found.append(
            f"To see a change of that size over {values.years[0]} to {values.years[-1]} takes {needed.n_animals:,} "
            "grown animals weighed of each year."
        )
    return found


def _percent(estimate: Estimate) -> str:
    """An estimate in percent with its sign and range."""
    return f"{estimate.mean:+.1f} % ({estimate.low:+.1f} to {estimate.high:+.1f})"
