"""The fit as a whole: at rest where it says so, at the mode, unmoved by order, and prior alone without records."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.size.growth.invented import answers_over, data_of, records

from holdback.answers import Answers
from holdback.collection.collection import Collection
from holdback.collection.model import PartialDate, Records, Sex
from holdback.demo_data import folder
from holdback.size.growth.equations import solved
from holdback.size.growth.fit import fitted
from holdback.species import load


@pytest.fixture(scope="module")
def demo() -> Answers:
    """The invented barn."""
    return Answers(Collection.from_folder(folder() / "collection"), load())


def test_fitted__stands_at_the_mode_of_the_standard_deviations() -> None:
    fit = fitted(data_of(answers_over(records())))
    assert fit.settled

    def height(place: int, by: float) -> float:
        logs = fit.spread.logs.copy()
        logs[place] += by
        spread = fit.spread.moved(logs)
        return (
            solved(fit.curves, spread, fit.state, fit.slopes, with_evidence=True).log_evidence + spread.log_prior()[0]
        )

    for place in range(len(fit.spread.logs)):
        slope = (height(place, 1e-3) - height(place, -1e-3)) / 2e-3
        assert abs(slope) < 0.05, (place, slope)


def test_evaluate__order_of_the_records_changes_nothing() -> None:
    first, made = answers_over(records()), records()
    turned = replace(made, animals=made.animals[::-1], measurements=made.measurements[::-1])
    second = answers_over(turned)
    for animal in first.collection.animals:
        one, other = first.sizes.of(animal), second.sizes.of(animal)
        assert one.deviation.mean == pytest.approx(other.deviation.mean, abs=0.05)
        assert one.reliability == pytest.approx(other.reliability, abs=2e-3)


def test_evaluate__knows_almost_nothing_without_weights() -> None:
    made = replace(records(), measurements=())
    answers = answers_over(made)
    assert answers.sizes.evaluation.variances.knows_little
    size = answers.sizes.of("A")
    assert size.compared is None
    assert size.n_weights == 0
    assert size.adult_mass_g.high / size.adult_mass_g.low > 2
    line = answers.sizes.line("Marrowfen")
    assert not line.can_tell
    assert line.effect.low < 0 < line.effect.high


def test_evaluate__the_usual_figures_carry_an_empty_collection() -> None:
    answers = Answers(Collection.from_records(Records()), load())
    curves = answers.sizes.evaluation.curves
    females = curves.ordinary(Sex.FEMALE, [0.0, 60.0])
    # common practice, no source (species file): 50 to 80 g hatched, 1,500 to 3,000 g grown
    assert 45 < females.median[0] < 85
    assert 1500 < females.median[1] < 3000
    males = curves.ordinary(Sex.MALE, [60.0])
    assert males.median[0] < females.median[1]


def test_evaluate__extreme_animals_are_read_not_refused() -> None:
    """Reported of large lines: adults over 7,000 g, hatchlings over 120 g (common practice, no source)."""
    made = records()
    heavy = tuple(replace(one, value=one.value * 3.9) if one.animal == "A" else one for one in made.measurements)
    answers = answers_over(replace(made, measurements=heavy))
    size = answers.sizes.of("A")
    assert size.n_weights == 4
    assert size.compared is not None
    assert size.compared.percentile.mean > 99
    assert size.adult_mass_g.mean > 5000


def test_evaluate__the_true_line_effect_of_the_demo_lies_inside(demo: Answers) -> None:
    effect = demo.sizes.line("Marrowfen").effect
    true = 100 * np.expm1(0.6)  # demo/genome.py: a pure one is exp(0.6) times as heavy
    assert effect.low < true < effect.high
    assert effect.low > 0


def test_evaluate__says_something_of_every_demo_animal(demo: Answers) -> None:
    for animal in demo.collection.animals:
        size = demo.sizes.of(animal)
        assert size.adult_mass_g.low < size.adult_mass_g.mean < size.adult_mass_g.high
        assert 0 <= size.reliability <= 1
        assert size.deviation.ground
        assert size.breeding_value.low < size.breeding_value.high
        assert (size.compared is None) == (size.n_weights == 0)


def test_evaluate__leaves_out_and_asks(demo: Answers) -> None:
    readings = demo.sizes.evaluation.readings
    assert [one.animal for one in readings.questions] == ["22-07"]
    assert readings.left_out()["gravid"] > 0
    umber = demo.sizes.of("22-11")
    assert umber.n_left_out == 3
    assert umber.compared is not None
    assert umber.compared.mass_g == pytest.approx(3010)


def test_young__lie_between_their_parents(demo: Answers) -> None:
    young = demo.sizes.young("16-01", "17-02")
    one, other = (demo.sizes.of(animal).breeding_value.mean for animal in ("16-01", "17-02"))
    low, high = sorted([one, other])
    assert low < young.deviation.mean < high
    assert young.one_young.high - young.one_young.low > young.deviation.high - young.deviation.low
    assert young.female_g.mean > young.male_g.mean


def test_clutches__chances_sum_to_one(demo: Answers) -> None:
    clutch = demo.sizes.clutch("25-10")
    assert len(clutch) > 2
    assert sum(one.chance_best for one in clutch) == pytest.approx(1)
    assert clutch[0].deviation.mean == max(one.deviation.mean for one in clutch)
    assert demo.sizes.clutch("nowhere") == ()


def test_of_line__never_yes_or_no(demo: Answers) -> None:
    odds = demo.sizes.of_line("18-01", "marrowfen")
    assert 0 < odds.posterior < odds.prior  # sold as half or more; he is none of it, and ordinary in size
    assert odds.traits[0] == "mass"
    assert "prove nothing" in odds.said
    likely = demo.sizes.of_line("16-01", "Marrowfen", 0.5)
    assert likely.posterior > 0.5
    assert likely.posterior < 1


def test_head__is_told_where_it_was_measured(demo: Answers) -> None:
    measured = {one.animal for one in demo.collection.records.measurements if str(one.trait) == "head width"}
    told = {animal for animal in demo.collection.animals if demo.sizes.of(animal).head is not None}
    assert told == measured
    umber = demo.sizes.of("22-11").head
    assert umber is not None
    assert -15 < umber.low < umber.mean < umber.high < 15


def test_hatching__of_an_animal_of_unknown_age_is_only_assumed(demo: Answers) -> None:
    peat = demo.sizes.of("16-02").hatching
    assert str(peat.basis) == "assumed"
    assert peat.high - peat.low > 1


def test_sharpening__never_takes_knowledge_away(demo: Answers) -> None:
    for animal in demo.collection.animals:
        size = demo.sizes.of(animal)
        for one in size.sharpen:
            assert one.adult_range_then <= one.adult_range_now + 1e-9
            assert one.reliability_then >= one.reliability_now == pytest.approx(size.reliability)


def test_evaluate__comes_to_rest_where_only_years_of_hatching_are_known() -> None:
    made = records()
    years = tuple(replace(one, hatched=PartialDate(one.hatched.year)) for one in made.animals if one.hatched)
    answers = answers_over(replace(made, animals=years))
    evaluation = answers.sizes.evaluation
    assert evaluation.settled
    exact = answers_over(made).sizes
    for animal in answers.collection.animals:
        now, then = answers.sizes.of(animal).deviation, exact.of(animal).deviation
        assert now.high - now.low > 0.8 * (then.high - then.low)
