"""Spread of line shares against published formulas and independent numbers; the incomplete beta function against scipy.

Each number in `test_descent_share_values.json` names its source there.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import special, stats  # type: ignore[import-untyped]

from holdback.descent.beta_law import beta_density, incomplete_beta, log_beta
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree
from holdback.descent.shares import LineFounder, ShareMoments, constants, founding_of, share_moments
from holdback.descent.two_locus import TwoLocusPlan, gauss_rule
from holdback.species import load

VALUES: dict[str, Any] = json.loads(Path(__file__).with_suffix(".json").read_text("utf-8"))
ALL = LineFounder(1.0, 1.0)
LENGTHS = ("0.5", "1.0", "1.5")
BACKCROSSES = [f"B{number}" for number in range(1, 7)]


def moments(
    parents: dict[str, tuple[str | None, str | None]], said: dict[str, LineFounder], genome: GenomeMap, names: list[str]
) -> ShareMoments:
    pedigree = Pedigree.from_parents(parents, kept=0.5)
    founders = {pedigree.index[one]: founder for one, founder in said.items()}
    return share_moments(pedigree, founders, genome, nodes=[pedigree.index[one] for one in names])


def crossed(genome: GenomeMap, names: list[str]) -> ShareMoments:
    """Backcrosses of F1 to unrelated mates, F2 of two F1, F3 by selfing, F3 of two F2 that are full sibs."""
    parents: dict[str, tuple[str | None, str | None]] = {"B0": ("D", "R0"), "G1": ("D", "R0"), "F2": ("B0", "G1")}
    parents |= {f"B{number}": (f"B{number - 1}", f"R{number}") for number in range(1, 7)}
    parents |= {"I2": ("B0", "B0"), "I3": ("I2", "I2"), "H2": ("B0", "G1"), "S": ("F2", "H2"), "T": ("F2", "H2")}
    return moments(parents, {"D": ALL}, genome, names)


@pytest.mark.parametrize("length", LENGTHS)
def test_share_moments__one_chromosome(length: str) -> None:
    found = crossed(GenomeMap.equal(1, float(length)), [*BACKCROSSES, "F2", "I2", "I3"]).sd
    assert 2 * found[:6] == pytest.approx(VALUES["backcross_haplotype_sd"][length], abs=6e-6)
    assert found[6:8] == pytest.approx(VALUES["f2_share_sd"][length], abs=6e-6)
    assert found[8] ** 2 == pytest.approx(VALUES["f3_by_selfing_variance"][length], abs=6e-9)


@pytest.mark.parametrize("length", LENGTHS)
def test_share_moments__eighteen_equal_pairs(length: str) -> None:
    found = crossed(GenomeMap.equal(18, float(length)), [*BACKCROSSES, "F2"]).sd
    assert found == pytest.approx(VALUES["eighteen_equal_pairs"][length], abs=6e-6)


def test_share_moments__formulas_to_the_last_digit() -> None:
    """Formulas of the JSON file themselves, at a length that no table has."""
    length = 0.73
    found = crossed(GenomeMap.equal(1, length), ["F2", "I3"]).sd ** 2
    f2 = (length - (1 - np.exp(-2 * length)) / 2) / (8 * length**2)
    f3 = (20 * length + 8 * np.exp(-2 * length) + np.exp(-4 * length) - 9) / (128 * length**2)
    assert found == pytest.approx([f2, f3], rel=1e-12)


def test_share_moments__guessed_map_of_the_python() -> None:
    genome = GenomeMap.from_catalogue(load())
    names = [*BACKCROSSES[:4], "F2"]
    stated = crossed(genome.scaled(1.0), names)
    assert stated.sd == pytest.approx(VALUES["guessed_python_map_sd"]["14.45"], abs=6e-5)
    short = GenomeMap((0.5,) * 18, genome.weights)
    assert crossed(short, names).sd == pytest.approx(VALUES["guessed_python_map_sd"]["9"], abs=6e-5)
    in_doubt = crossed(genome, names)
    assert (in_doubt.sd_long < stated.sd).all()
    assert (stated.sd < in_doubt.sd_short).all()
    assert 0.05 < in_doubt.sd_long[-1] < in_doubt.sd_short[-1] < 0.1


def test_share_moments__full_sibs_of_f2_parents() -> None:
    """18 pairs of 1 Morgan: share SD .05728, correlation of sibs .60073; haplotype recursion, worked out apart."""
    found = crossed(GenomeMap.equal(18, 1.0), ["S", "T"])
    assert found.sd == pytest.approx([0.05728] * 2, abs=6e-6)
    assert found.covariance[0, 1] / found.covariance[0, 0] == pytest.approx(0.60073, abs=6e-6)


@pytest.mark.parametrize(
    "chance, child, grandchild", [(0.5, (0.25, 0.25), (0.125, 0.12888)), (0.3, (0.15, 0.22913), (0.075, 0.11712))]
)
def test_share_moments__a_founder_that_may_be_of_the_line(
    chance: float, child: tuple[float, float], grandchild: tuple[float, float]
) -> None:
    """18 pairs of 1 Morgan; haplotype recursion, worked out apart."""
    said = {"Q": LineFounder(0.0, 1.0, chance)}
    found = moments({"K": ("Q", "R0"), "L": ("K", "R1")}, said, GenomeMap.equal(18, 1.0), ["K", "L"])
    assert (found.mean[0], found.sd[0]) == pytest.approx(child, abs=6e-6)
    assert (found.mean[1], found.sd[1]) == pytest.approx(grandchild, abs=6e-6)


@pytest.mark.parametrize("chance", [0.0, 0.5, 1.0])
def test_share_moments__a_looped_pedigree(chance: float) -> None:
    parents: dict[str, tuple[str | None, str | None]] = {
        "5": ("1", "2"),
        "6": ("1", "3"),
        "7": ("5", "6"),
        "8": ("1", "7"),
        "9": ("8", "4"),
        "10": ("7", "8"),
        "11": ("5", "6"),
    }
    expected = VALUES["looped_pedigree"]
    said = {"1": ALL, "4": LineFounder(0.0, 1.0, chance)}
    found = moments(parents, said, GenomeMap.equal(18, 1.0), ["7", "8", "9", "10", "11"])
    mean, sd = list(expected["mean"]), list(expected["sd"])
    mean[2] += chance / 2
    sd[2] = expected["sd_of_9_in_doubt"] if chance == 0.5 else sd[2]
    assert found.mean == pytest.approx(mean, abs=1e-12)
    assert found.sd == pytest.approx(sd, abs=6e-6)
    assert found.covariance[0, 1] == pytest.approx(expected["covariance_7_8"], abs=6e-9)
    if chance == 0.0:
        assert found.mean == pytest.approx(expected["msprime_mean"], abs=4 * 0.063 / 8000**0.5)
        assert found.sd == pytest.approx(expected["msprime_sd"], abs=4 * 0.0005)


def test_gauss_rule__realised_sharing_of_sibs() -> None:
    """Spread of how much full sibs really share: sum w^2 (4L - 1 + exp(-4L)) / (64 L^2); half sibs .02733.

    Human autosomes, 35.39 Morgan, here 22 of equal length, so agreement is to .0005 only: the published approximation
    1 / (16 L) - 1 / (3 L^2) at L = 35 gives SD .03891; Visscher et al. (2006) PLoS Genet 2:e41 state .039 by theory and
    .036 observed (numbers from memory).
    """
    genome = GenomeMap.equal(22, 35.39 / 22)
    r, weight = gauss_rule(genome, 8)
    # Both sibs alike at two places: an even number of crossovers between them in their two meioses.
    alike = float(weight @ (1 + (1 - 2 * r) ** 2)) / 4 + (1 - genome.linked) / 4
    of_one_parent = alike - 0.25
    length = 35.39 / 22
    formula = (4 * length - 1 + np.exp(-4 * length)) / (64 * length**2) / 22
    assert of_one_parent / 2 == pytest.approx(formula, rel=1e-12)
    assert np.sqrt(of_one_parent / 2) == pytest.approx(0.0389, abs=0.0005)
    assert np.sqrt(of_one_parent) / 2 == pytest.approx(0.02733, abs=0.0005)


def test_incomplete_beta__equals_scipy() -> None:
    a, b, x = (
        one.ravel() for one in np.meshgrid([0.02, 0.5, 1, 3.7, 40, 900], [0.1, 1, 8, 300], np.linspace(0, 1, 41))
    )
    found = incomplete_beta(a, b, x, log_beta_ab=log_beta(a, b))
    assert found == pytest.approx(special.betainc(a, b, x), abs=1e-11)
    inside = (x > 0) & (x < 1)
    density = beta_density(a, b, x, log_beta_ab=log_beta(a, b))
    assert density[inside] == pytest.approx(stats.beta.pdf(x, a, b)[inside], rel=1e-9, abs=1e-250)
    assert incomplete_beta(a, b, x - 2, log_beta_ab=log_beta(a, b)).max() == 0.0
    assert incomplete_beta(a, b, x + 1, log_beta_ab=log_beta(a, b)).min() == 1.0


def test_table__is_a_polynomial_that_the_gauss_rule_averages() -> None:
    """Sixteen points against forty Gauss-Legendre points over the distance, on the looped pedigree's F2."""
    pedigree = Pedigree.from_parents(
        {"a": ("D", "R"), "b": ("D", "R"), "c": ("a", "b"), "d": ("c", "a"), "e": ("d", "c")}
    )
    founders = {pedigree.index["D"]: ALL}
    plan = TwoLocusPlan.of(pedigree, constants(pedigree, founders))
    founding = founding_of(plan, [founders])
    length = 1.3
    r, weight = gauss_rule(GenomeMap.equal(1, length), 4)
    found = sum(w * plan.table(founding, float(one))[0] for one, w in zip(r, weight, strict=True))
    at, heights = np.polynomial.legendre.leggauss(40)
    d = length * (at + 1) / 2
    masses = heights / 2 * 2 * (length - d) / length
    expected = sum(
        mass * plan.table(founding, float(-np.expm1(-2 * one) / 2))[0] for one, mass in zip(d, masses, strict=True)
    )
    assert found == pytest.approx(expected, abs=1e-12)
