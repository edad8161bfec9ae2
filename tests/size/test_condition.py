"""Build: mass against length, with the errors of both."""

from __future__ import annotations

import math
from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.size.condition import build
from holdback.size.counting import readings_of
from holdback.species import Catalogue, load

LENGTH = ("2026-04-03", "snout-vent length", 116.2, "cm")


def built(*rows: tuple[str, str, float, str], hatched: str = "", catalogue: Catalogue | None = None) -> Any:
    """Build of an animal by its readings."""
    frames = {
        "animals": [{"id": "A1", "hatched": hatched}],
        "measurements": [
            {"animal": "A1", "date": date, "trait": trait, "value": value, "unit": unit}
            for date, trait, value, unit in rows
        ],
    }
    species = catalogue or load()
    return build("A1", readings_of(Collection.from_frames(frames), species), species)


def test_build__the_ordinary_animal_is_one() -> None:
    """The wild female of 116.2 cm and 1,635 g that an encyclopaedia quotes from Aubret and others (2005).

    The median is 1; with sd sqrt(0.05^2 + (3 x 0.025)^2) = 0.0901 the mean is exp(0.0901^2 / 2) = 1.0041, and the
    90 % range exp(-1.645 x 0.0901) = 0.862 to 1.160.
    """
    found = built(("2026-04-03", "mass", 1635, "g"), LENGTH)
    assert (found.mean, found.low, found.high) == pytest.approx((1.0041, 0.8622, 1.1598), abs=2e-4)
    assert found.basis is Basis.MEASURED
    assert found.ground.endswith("of 1,635 g at 116.2 cm (from memory).")


@pytest.mark.parametrize("mass, length, ratio", [(3270, 116.2, 2.0), (7000, 189.0, 0.9951), (204.375, 58.1, 1.0)])
def test_build__mass_goes_with_the_cube_of_length(mass: float, length: float, ratio: float) -> None:
    """Half as long is an eighth as heavy; 7 kg at the same build are 189 cm, as (7.0 / 1.635)^(1/3) is 1.62."""
    found = built(("2026-04-03", "mass", mass, "g"), ("2026-04-03", "snout-vent length", length, "cm"))
    assert math.sqrt(found.low * found.high) == pytest.approx(ratio, rel=1e-3)


def test_build__the_last_length_with_the_nearest_weight_that_counts() -> None:
    found = built(
        ("2024-04-03", "mass", 1000, "g"),
        ("2024-04-03", "snout-vent length", 100, "cm"),
        ("2026-02-03", "mass", 1500, "g"),
        ("2026-04-10", "mass", 1700, "g"),
        LENGTH,
        hatched="2015-06-01",
    )
    assert found.ground.startswith("1,700 g on 2026-04-10 at 116 cm on 2026-04-03;")


def test_build__usual_growth_between_the_two_days() -> None:
    """A weight two months before the length of a yearling is carried on, and less is known."""
    apart = built(("2025-02-03", "mass", 500, "g"), ("2025-04-03", "snout-vent length", 78, "cm"), hatched="2024-04-03")
    together = built(
        ("2025-04-03", "mass", 500, "g"), ("2025-04-03", "snout-vent length", 78, "cm"), hatched="2024-04-03"
    )
    assert apart.mean > 1.05 * together.mean
    assert apart.high / apart.low > together.high / together.low


def test_build__not_known() -> None:
    assert built(("2026-04-03", "mass", 1635, "g")) is None
    assert built(LENGTH) is None
    assert built(("2025-04-03", "mass", 1635, "g"), LENGTH) is None
    corn = load("pantherophis_guttatus")
    assert built(("2026-04-03", "mass", 1635, "g"), LENGTH, catalogue=corn) is None
