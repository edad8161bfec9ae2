"""Realised and expected change in a line: against the posterior over all animals written out, and by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from tests.size.growth.invented import LINE, answers_over, records
from tests.size.growth.test_equations import Written

from holdback.answers import Answers
from holdback.answers.size.as_json import response_as_json
from holdback.answers.size.responses import cohort_values, hatched_here
from holdback.collection.collection import Collection
from holdback.collection.model import PartialDate, Records, Sex
from holdback.demo_data import folder
from holdback.descent.kinship import relationship
from holdback.size.animal_sizes import AnimalSizes
from holdback.size.growth.fitted_curves import FittedCurves
from holdback.size.intensity import intensity
from holdback.size.response import cohort_means, realised_change
from holdback.size.seeing import animals_needed
from holdback.species import load

FloatArray = npt.NDArray[np.float64]


@pytest.fixture(scope="module")
def answers() -> Answers:
    """The invented collection."""
    return answers_over(records())


@pytest.fixture(scope="module")
def demo() -> Answers:
    """The invented barn."""
    return Answers(Collection.from_folder(folder() / "collection"), load())


def _written_out(answers: Answers, young: list[str]) -> tuple[FloatArray, FloatArray]:
    """Breeding values of some animals and the covariance of their errors, from one dense matrix over all readings."""
    animals, curves = answers.sizes.evaluation.animals, answers.sizes.evaluation.curves
    assert isinstance(animals, AnimalSizes)
    assert isinstance(curves, FittedCurves)
    fit, data, columns = curves.fit, curves.fit.curves.data, curves.fit.curves.columns
    pedigree = answers.descent.pedigree
    nodes = [pedigree.index[one] for one in data.ids]
    kinship = relationship(pedigree)[np.ix_(nodes, nodes)]
    places = [curves.place[one] for one in young]
    shares, lines = data.shares[places], columns.lines
    weights = np.array([point.weight for point in animals.points])
    weights = weights / weights.sum()
    means, within = [], np.zeros((len(young), len(young)))
    for weight, point in zip(weights, animals.points, strict=True):
        written = Written(fit.curves, point.spread, fit.state, kinship)
        whole = written.variance + written.common @ np.diag(columns.sds**2) @ written.common.T
        of_lines = shares * columns.sds[lines] ** 2
        additive = written.additive[places]
        cross = of_lines @ written.common[:, lines].T + additive @ written.adult.T
        away = written.y - written.common @ columns.means
        means.append(shares @ columns.means[lines] + cross @ np.linalg.solve(whole, away))
        prior = of_lines @ shares.T + additive[:, places]
        within += weight * (prior - cross @ np.linalg.solve(whole, cross.T))
    mean = weights @ np.array(means)
    between = np.array(means) - mean
    return mean, within + (between * weights[:, None]).T @ between


@pytest.mark.parametrize("doubtful", [False, True])
def test_cohort_values__equal_the_posterior_written_out(doubtful: bool) -> None:
    answers = answers_over(records(doubtful=doubtful))
    young = hatched_here(answers.sizes)
    assert young == ["A", "B", "C", "F", "G", "H"]
    born = [2014, 2014, 2014, 2018, 2018, 2018]
    values, covariance = _written_out(answers, young)
    years, means, of_means = cohort_means(values, covariance, born)
    found = cohort_values(answers.sizes, young)
    assert found.years.tolist() == years.tolist() == [2014, 2018]
    assert found.n_young.tolist() == [3, 3]
    assert found.means == pytest.approx(means, abs=1e-7)
    assert found.covariance == pytest.approx(of_means, abs=1e-7)
    realised, expected = found.realised(), realised_change(years, means, of_means)
    assert realised is not None
    assert (realised.slope, realised.slope_sd) == pytest.approx((expected.slope, expected.slope_sd), abs=1e-7)


def test_cohort_values__of_one_young_is_what_is_said_of_it(answers: Answers) -> None:
    found = cohort_values(answers.sizes, ["G"])
    value = answers.sizes.of("G").breeding_value
    assert 100 * math.expm1(found.means[0]) == pytest.approx(value.mean, abs=1e-6)
    low = found.means[0] - 1.6448536 * math.sqrt(found.covariance[0, 0])
    assert 100 * math.expm1(low) == pytest.approx(value.low, abs=1e-5)


def test_response__of_a_few(answers: Answers) -> None:
    found = answers.sizes.response("marrowfen")
    assert found.line == LINE
    assert [(one.year, one.n_young) for one in found.cohorts] == [(2014, 3), (2018, 3)]
    assert [one.share for one in found.cohorts] == pytest.approx([0.5, 2 / 3], abs=0.02)
    assert found.realised == found.everybody, "all that hatched here carry an eighth or more"
    males, females = found.kept
    assert (males.n_kept, males.n_candidates, females.n_kept, females.n_candidates) == (1, 2, 1, 4)
    assert males.reliability == pytest.approx(np.mean([answers.sizes.of(one).reliability for one in "BF"]))
    animals = answers.sizes.evaluation.animals
    assert isinstance(animals, AnimalSizes)
    total = sum(point.weight for point in animals.points)
    sd = sum(point.weight * math.sqrt(point.spread.additive_variance) for point in animals.points) / total
    by_sex = (intensity(2, 1) * males.reliability**0.5, intensity(4, 1) * females.reliability**0.5)
    assert found.expected is not None
    assert math.log1p(found.expected.per_generation.mean / 100) == pytest.approx(sum(by_sex) / 2 * sd)
    # sire and dam of A, B and C, who became parents themselves, by years of hatching
    ages = [4, 4, 4, 4, 4, 3]
    assert found.expected.interval_years == pytest.approx(np.mean(ages), abs=0.05)
    variances = answers.sizes.evaluation.variances
    by_hand = animals_needed(
        math.log1p(found.expected.per_year.mean / 100),
        years=[2014, 2018],
        sd=variances.adult_sd,
        clutch_size=6 / 4,
        likeness=variances.heritability.mean / 2,
    )
    assert found.needed == by_hand


def test_response__says_it_in_sentences(answers: Answers) -> None:
    said = answers.sizes.response(LINE).said
    assert "Their mean share of the line was 50 % in 2014 and 67 % in 2018. Among all animals hatched here:" in said[0]
    assert said[1].startswith("Keeping the best 1 of 2 males and 1 of 4 females as breeders: their young are expected")
    assert said[2].startswith("To see a change of that size over 2014 to 2018 takes ")


def test_response__one_year_tells_no_change() -> None:
    made = records()
    animals = tuple(
        replace(one, hatched=PartialDate(2014, 8, 1)) if one.id in {"F", "G", "H"} else one for one in made.animals
    )
    animals = tuple(replace(one, hatched=None) if one.id in {"A", "B", "C"} else one for one in animals)
    found = answers_over(replace(made, animals=animals)).sizes.response(LINE)
    assert [one.n_young for one in found.cohorts] == [3]
    assert (found.realised, found.everybody, found.needed) == (None, None, None)
    assert "fewer than two years of hatching" in found.said[0]
    assert response_as_json(found)["realised"] is None


def test_response__without_a_male_plans_nothing() -> None:
    made = records()
    animals = tuple(replace(one, status="sold 2024") if one.sex is Sex.MALE else one for one in made.animals)
    found = answers_over(replace(made, animals=animals)).sizes.response(LINE)
    assert found.realised is not None
    assert (found.expected, found.needed, found.kept) == (None, None, ())
    assert len(found.said) == 1


def test_response__no_young_on_record() -> None:
    made = records()
    kept = tuple(one for one in made.animals if one.id in {"S", "D", "E"})
    weights = tuple(one for one in made.measurements if one.animal in {"S", "D", "E"})
    found = answers_over(Records(animals=kept, measurements=weights, lines=made.lines)).sizes.response(LINE)
    assert found.cohorts == ()
    assert (found.realised, found.everybody, found.expected, found.needed) == (None, None, None, None)


def test_response__of_the_barn_counts_carriers_alone(demo: Answers) -> None:
    found = demo.sizes.response(LINE)
    shares = demo.descent.share_means(LINE)
    here = hatched_here(demo.sizes)
    carriers = [one for one in here if shares[demo.descent.node(one)] >= 0.125]
    assert sum(one.n_young for one in found.cohorts) == len(carriers) < len(here)
    assert found.realised is not None
    assert found.everybody is not None
    assert found.realised.slope != found.everybody.slope
    told = response_as_json(found)
    assert told["realised"]["per_year_percent"]["mean"] == found.realised.per_year.mean
    assert told["expected"]["kept"]["males"]["kept"] == found.kept[0].n_kept
    assert [one["year"] for one in told["years"]] == [one.year for one in found.cohorts]
