"""Drawn collections are what the page says, and their truth is of one piece."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from verification.size_genome import Effects, Genome
from verification.size_growth import FIRST_YEAR, laying_change, log_mass
from verification.size_herds import YEAR, SizeHerd, herd
from verification.size_records import FAR_OFF, written
from verification.size_scenarios import BASE, SCENARIOS, Curve, Scenario, named

from holdback.collection.collection import Collection
from holdback.collection.model import Sex, Trait
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree
from holdback.descent.shares import LineFounder, share_moments
from holdback.species.catalogue import Catalogue, load

MANY = 12


@pytest.fixture(scope="module")
def species() -> Catalogue:
    return load("python_regius")


def _herds(scenario: Scenario, species: Catalogue, number: int = MANY, *, effect: float = 0.2) -> list[SizeHerd]:
    return [herd(seed, scenario, effect, species) for seed in np.random.SeedSequence(5).spawn(number)]


@pytest.fixture(scope="module")
def some(species: Catalogue) -> list[SizeHerd]:
    return _herds(BASE, species)


def test_herd__is_of_the_size_that_the_page_speaks_of(some: list[SizeHerd]) -> None:
    animals = [len(one.snakes) for one in some]
    assert 220 <= np.mean(animals) <= 270
    founders = [sum(one.line == 0 for one in each.snakes.values()) for each in some]
    assert 7 <= np.mean(founders) <= 10
    seed = np.random.SeedSequence(6)
    weights = [[len(book.measurements_of(one)) for one in book.animals] for book in (written(h, seed) for h in some)]
    assert 0.4 <= np.mean([np.mean(np.array(each) <= 2) for each in weights]) <= 0.6
    grown = [sum(min(one.leaves, each.end) - one.hatched > 2.2 * YEAR for one in each.snakes.values()) for each in some]
    assert 45 <= np.mean(grown) <= 80


def test_herd__the_same_seed_gives_the_same_records(species: Catalogue) -> None:
    seed = np.random.SeedSequence(8)
    first, second = (written(herd(seed, BASE, 0.2, species), np.random.SeedSequence(9)).digest for _ in range(2))
    assert first == second


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda one: one.name)
def test_written__every_scenario_gives_records_that_agree(scenario: Scenario, species: Catalogue) -> None:
    made = herd(np.random.SeedSequence(10), scenario, 0.2, species)
    book = written(made, np.random.SeedSequence(11))
    assert set(book.animals) <= set(made.snakes)
    assert {claim.animal for claim in book.records.lines} <= {
        name for name, one in made.snakes.items() if one.line >= 0
    }


def test_herd__doubtful_sires_are_as_often_true_as_written(species: Catalogue) -> None:
    """A young of each clutch against the weight of the candidate named first."""
    said, true = [], []
    for one in _herds(BASE, species, 40):
        sires = {snake.clutch: snake.sire for snake in one.snakes.values()}
        for nest in one.nests:
            if len(nest.sires) > 1 and nest.id in sires:
                said.append(nest.sires[0][1])
                true.append(sires[nest.id] == nest.sires[0][0])
    doubtful = len(said) / sum(len(one.nests) for one in _herds(BASE, species, 40))
    assert 0.11 < doubtful < 0.19
    assert abs(np.mean(true) - np.mean(said)) < 4 * np.sqrt(0.25 / len(said))


def test_genome__shares_scatter_as_the_exact_spread_says(species: Catalogue) -> None:
    """Third backcross; the other side is worked out from two-place probabilities, without any drop."""
    made, genome = GenomeMap.from_catalogue(species), GenomeMap.from_catalogue(species)
    places = Genome.of(np.array(made.lengths), np.array(made.weights))
    rng = np.random.default_rng(12)
    effects = Effects(len(places.switch), 0.02, (0.0,), rng)
    line, other = effects.add(effects.draw(), 0), effects.add(effects.draw(), -1)
    shares = []
    for _ in range(3000):
        one = line
        for _ in range(3):
            one = np.stack([places.gamete(one, rng), places.gamete(other, rng)])
        shares.append(effects.shares(one)[0])
    parents = {"A": ("L", "O1"), "B": ("A", "O2"), "C": ("B", "O3")}
    pedigree = Pedigree.from_parents(parents)
    founders = {pedigree.index["L"]: LineFounder(1.0, 1.0, 1.0)}
    exact = share_moments(pedigree, founders, genome.scaled(1.0), nodes=[pedigree.index["C"]])
    assert np.mean(shares) == pytest.approx(0.125, abs=4 * np.std(shares) / 3000**0.5)
    assert np.std(shares) == pytest.approx(exact.sd[0], rel=0.06)  # places are counted, not drawn: a little coarser


def test_herd__additive_values_are_passed_on_by_halves(some: list[SizeHerd]) -> None:
    """Regression on the mean of the parents is 1, what is left has half the variance of unrelated founders."""
    x, y, ratios = [], [], []
    for one in some:
        variance = one.nature.heritability * one.nature.adult_sd**2
        for snake in one.snakes.values():
            if snake.sire:
                middle = (one.snakes[snake.sire].additive + one.snakes[snake.dam].additive) / 2
                x.append(middle)
                y.append(snake.additive)
                ratios.append((snake.additive - middle) ** 2 / variance)
    slope = np.polyfit(x, y, 1)[0]
    assert slope == pytest.approx(1.0, abs=0.06)
    assert np.mean(ratios) == pytest.approx(0.5, abs=0.05)  # less by inbreeding of the parents, a few percent


def test_herd__expected_shares_are_right_on_average(some: list[SizeHerd]) -> None:
    apart = [float((one.shares - one.expected)[0]) for each in some for one in each.snakes.values() if one.sire]
    assert abs(np.mean(apart)) < 0.01
    assert 0.02 < np.std(apart) < 0.08


@pytest.mark.parametrize("curve", list(Curve))
def test_log_mass__ends_and_meeting_point(curve: Curve) -> None:
    ages = np.array([0.0, FIRST_YEAR, 80.0])
    found = log_mass(ages, adult=7.5, hatching=4.2, rate=1.1, curve=curve)
    assert found[0] == pytest.approx(4.2, abs=1e-9)
    assert found[2] == pytest.approx(7.5, abs=1e-9)
    if curve is not Curve.TWO_PHASES:
        assert found[1] == pytest.approx(7.5 - 3.3 * math.exp(-1.1), abs=1e-9)


def test_log_mass__textbook_forms() -> None:
    """Gompertz A exp(-b exp(-kt)), von Bertalanffy A (1 - b exp(-kt))**3, logistic A / (1 + b exp(-kt))."""
    ages, adult, start = np.linspace(0.0, 6.0, 13), 1800.0, 65.0
    logs = {"adult": math.log(adult), "hatching": math.log(start), "rate": 1.1}
    gompertz = adult * np.exp(-math.log(adult / start) * np.exp(-1.1 * ages))
    assert np.exp(log_mass(ages, **logs, curve=Curve.GOMPERTZ)) == pytest.approx(gompertz)
    at_year = gompertz[2]
    b = 1 - (start / adult) ** (1 / 3)
    k = -math.log((1 - (at_year / adult) ** (1 / 3)) / b)
    cubed = adult * (1 - b * np.exp(-k * ages)) ** 3
    assert np.exp(log_mass(ages, **logs, curve=Curve.BERTALANFFY)) == pytest.approx(cubed)
    b = adult / start - 1
    k = -math.log((adult / at_year - 1) / b)
    logistic = adult / (1 + b * np.exp(-k * ages))
    assert np.exp(log_mass(ages, **logs, curve=Curve.LOGISTIC)) == pytest.approx(logistic)


def test_laying_change__before_and_after() -> None:
    found = np.exp(laying_change(np.array([-200.0, -70.0, -1.0, 0.0, 75.0, 151.0])))
    assert found == pytest.approx([1.0, 1.15, 1.3, 0.65, 0.825, 1.0])


def test_written__weights_scatter_about_the_true_curve(species: Catalogue) -> None:
    for scenario, expected in (
        (BASE, 0.05),
        (named("a careless scale"), 0.12 * math.sqrt(1 + 0.02 * (FAR_OFF**2 - 1))),
    ):
        made = herd(np.random.SeedSequence(13), scenario, 0.2, species)
        book = written(made, np.random.SeedSequence(14))
        apart = []
        for one in book.records.measurements:
            if one.trait is Trait.MASS and one.condition in ("", "empty"):
                day = np.array([float(one.date.earliest.toordinal())])
                apart.append(math.log(one.value) - made.log_mass(made.snakes[one.animal], day)[0])
        assert np.std(apart) == pytest.approx(expected, rel=0.08)


def test_herd__choosing_founders_makes_them_big_beyond_their_line(species: Catalogue) -> None:
    def lead(scenario: Scenario) -> float:
        return float(
            np.mean([
                (one.additive + one.lasting) / each.nature.adult_sd
                for each in _herds(scenario, species)
                for one in each.snakes.values()
                if one.line == 0
            ])
        )  # fmt: skip

    # expected largest of five standard normals is 1.163 (David and Nagaraja 2003, Order Statistics, tables)
    assert lead(replace(BASE, tries=5)) == pytest.approx(1.163, abs=0.25)
    assert lead(BASE) == pytest.approx(0.0, abs=0.3)


def test_herd__rooms_follow_the_share_unless_swapped(species: Catalogue) -> None:
    for name, low, high in (
        ("line in a room of its own, +.15, on record", 0, 0),
        ("the same, 30 % of animals swapped", 0.2, 0.4),
    ):
        made = _herds(named(name), species, 6)
        moved = [one.room != int(one.expected[0] >= 0.5) for each in made for one in each.snakes.values()]
        assert low <= np.mean(moved) <= high
        notes = {event.note for event in written(made[0], np.random.SeedSequence(1)).records.events}
        assert len(notes) == 2


def test_written__only_what_a_scenario_lets_the_keeper_know(species: Catalogue) -> None:
    def book(name: str) -> Collection:
        return written(herd(np.random.SeedSequence(15), named(name), 0.2, species), np.random.SeedSequence(16))

    assert all(one.laid is None for one in book("laying: nothing on record").records.clutches)
    assert all(one.condition == "" for one in book("laying: only the days on record").records.measurements)
    years = book("hatching days known to the year").records.animals
    assert all(one.hatched is not None and not one.hatched.month for one in years)
    wild = book("wild founders of unknown age").records.animals
    assert {one.hatched is None for one in wild if not one.clutch} == {True}
    heads = [one for one in book("heads measured").records.measurements if one.trait is Trait.HEAD_WIDTH]
    assert len(heads) > 10
    assert len({claim.line for claim in book("two lines").records.lines}) == 2
    assert any(one.sex is Sex.UNKNOWN for one in book("as assumed").records.animals)
