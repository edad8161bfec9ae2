"""Number of eggs of a clutch: common practice drawn towards the keeper's own, and towards her own.

Clutch size y of a dam is normal about ``m + x + a``: m the keeper's mean, x what her mass and a first clutch move, a
what is hers (variance ``rho sigma^2`` of ``sigma^2`` in all). m is integrated exactly; sigma, rho and the power of her
mass are held on a grid with posterior weights. The law is rounded to whole eggs and cut to what the species is known to
lay. A count with a standard deviation of 2 about 7 varies less than a Poisson law, so that none is used here.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from holdback.season.assumed import assumed
from holdback.season.outlook import CountLaw
from holdback.species.catalogue import Catalogue
from holdback.species.model import Value

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

Z_90 = NormalDist().inv_cdf(0.95)
_SIGMA_STEPS = np.array([-1.8, -1.2, -0.6, 0.0, 0.6, 1.2, 1.8])
_Z = np.linspace(-8, 8, 3201)
_BELOW = np.array([NormalDist().cdf(z) for z in _Z])


@dataclass(frozen=True, slots=True)
class SizeRecord:
    """A clutch counted: dam, eggs, her mass before it in gram (None is not known), and the chance it was her first."""

    dam: str
    eggs: int
    mass_g: float | None
    first: float


@dataclass(frozen=True, eq=False)
class ClutchSizes:
    """Clutch sizes as they are known on a day; arrays over the points of the grid. Build it with `learned`.

    Parameters
    ----------
    weights, sigma, dam_share, power : array of shape (n_points,)
        Posterior chance of each point, and what it holds.
    mean, mean_sd : array of shape (n_points,)
        Keeper's mean of a dam of the usual mass that has laid before, and its standard deviation.
    own : tuple of SizeRecord
        Counted clutches that it rests on.
    """

    weights: Floats
    sigma: Floats
    dam_share: Floats
    power: Floats
    mean: Floats
    mean_sd: Floats
    own: tuple[SizeRecord, ...]
    catalogue: Catalogue

    @classmethod
    def learned(cls, own: tuple[SizeRecord, ...], catalogue: Catalogue) -> ClutchSizes:
        """Sizes by the species file and by counted clutches."""
        usual = catalogue.reproduction["clutch_size_mean"]
        prior_sd = max((usual.high - usual.low) / (2 * Z_90), 1e-3)
        sigmas, sigma_weights = _sigma_grid(catalogue.reproduction["clutch_size_sd"])
        shares, powers = _three(assumed(catalogue, "clutch_size_dam_share")), _three(_power_of(catalogue))
        grid = np.array(list(product(sigmas, shares, powers)))
        log_weights = np.log([a * b * c for a, b, c in product(sigma_weights, _THIRDS, _THIRDS)])
        dams = sorted({one.dam for one in own})
        of_dam = _index(own, dams)
        fits = [_fit(own, of_dam, catalogue, usual.value, prior_sd, point) for point in grid]
        log_weights = log_weights + [fit[2] for fit in fits]
        weights = np.exp(log_weights - log_weights.max())
        mean, mean_sd = np.array([fit[0] for fit in fits]), np.array([fit[1] for fit in fits])
        return cls(weights / weights.sum(), grid[:, 0], grid[:, 1], grid[:, 2], mean, mean_sd, own, catalogue)

    def of_dam(self, dam: str, *, mass_g: float | None, first: float) -> tuple[Floats, Floats, Floats]:
        """What is known of one dam at each point, given the keeper's mean m.

        Parameters
        ----------
        dam : str
            Her id.
        mass_g : float or None
            Her mass before laying in gram.
        first : float
            Chance that it is her first clutch; 0 or 1 here.

        Returns
        -------
        slope, offset, sd : arrays of shape (n_points,)
            Her clutch is normal about ``offset + slope m``.
        """
        hers = [one for one in self.own if one.dam == dam]
        drawn = len(hers) * self.dam_share / (1 - self.dam_share + len(hers) * self.dam_share)
        past = np.zeros_like(self.sigma)
        for one in hers:
            past += (one.eggs - moved(self.catalogue, self.power, one.mass_g, one.first)) / len(hers)
        offset = drawn * past + moved(self.catalogue, self.power, mass_g, first)
        return 1 - drawn, offset, self.sigma * np.sqrt(1 - self.dam_share * drawn)

    def law(self, dam: str, *, mass_g: float | None, first: float) -> CountLaw:
        """Law of the eggs of her next clutch, from 1 up; `first` is the chance that it is her first.

        Notes
        -----
        The cut is shifted such that it does not move the mean.
        """
        chances = sum(
            weight * self._law(dam, mass_g, number) for weight, number in ((first, 1.0), (1 - first, 0.0)) if weight > 0
        )
        return CountLaw(np.asarray(chances))

    def _law(self, dam: str, mass_g: float | None, first: float) -> Floats:
        slope, offset, sd = self.of_dam(dam, mass_g=mass_g, first=first)
        centre = offset + slope * self.mean
        spread = np.sqrt(sd**2 + (slope * self.mean_sd) ** 2)
        least, most = self.ends(dam)
        counts, target = np.arange(least, most + 1), min(max(float(self.weights @ centre), least), most)
        shift = 0.0
        for _ in range(4):
            inside = self._rounded(centre + shift, spread, counts)
            shift += target - float(counts @ inside)
        return np.concatenate([np.zeros(least), self._rounded(centre + shift, spread, counts)])

    def _rounded(self, centre: Floats, spread: Floats, counts: Ints) -> Floats:
        edges = np.append(counts - 0.5, counts[-1] + 0.5)
        below = np.interp((edges - centre[:, None]) / spread[:, None], _Z, _BELOW)
        inside = np.diff(below, axis=1)
        total = np.maximum(inside.sum(axis=1, keepdims=True), 1e-300)
        return np.asarray(self.weights @ (inside / total))

    def ends(self, dam: str) -> tuple[int, int]:
        """Least and most eggs: of the species file, or of what she has laid where that lies outside."""
        values = self.catalogue.reproduction
        hers = [one.eggs for one in self.own if one.dam == dam]
        least, most = round(values["clutch_size_min"].value), round(values["clutch_size_max"].value)
        return min([least, *hers]), max([most, *hers])


_THIRDS = (0.25, 0.5, 0.25)


def _three(value: Value) -> tuple[float, float, float]:
    """Low, middle and high value, of weights a quarter, a half and a quarter."""
    return value.low, value.value, value.high


def _sigma_grid(value: Value) -> tuple[Floats, Floats]:
    """Standard deviations on a log scale whose middle 90 % is the range of the species file."""
    width = max(np.log(value.high / value.low) / (2 * Z_90), 1e-6)
    weights = np.exp(-(_SIGMA_STEPS**2) / 2)
    return value.value * np.exp(width * _SIGMA_STEPS), weights / weights.sum()


def _power_of(catalogue: Catalogue) -> Value:
    """Power of her mass; 0 where the species file states no mass that goes with the mean."""
    found = catalogue.reproduction.get("clutch_size_mass_power")
    mean = catalogue.reproduction["clutch_size_mean"]
    has_mass = found is not None and "clutch_size_mass_g" in catalogue.reproduction
    return found if found is not None and has_mass else Value(0.0, 0.0, 0.0, "", mean.mark)


def moved(catalogue: Catalogue, power: Floats | float, mass_g: float | None, first: float) -> Floats | float:
    """Eggs more than of a dam of the usual mass that has laid before, from her mass and a first clutch."""
    values = catalogue.reproduction
    mean, usual = values["clutch_size_mean"].value, values.get("clutch_size_mass_g")
    of_first = values.get("clutch_size_first")
    eggs: Floats | float = first * (of_first.value - mean) if of_first is not None else 0.0
    if mass_g is not None and usual is not None:
        eggs = eggs + mean * ((mass_g / usual.value) ** power - 1)
    return eggs


def _index(own: tuple[SizeRecord, ...], dams: list[str]) -> Ints:
    number = {dam: i for i, dam in enumerate(dams)}
    return np.array([number[one.dam] for one in own], dtype=np.int64)


def _fit(
    own: tuple[SizeRecord, ...], of_dam: Ints, catalogue: Catalogue, usual: float, prior_sd: float, point: Floats
) -> tuple[float, float, float]:
    """Posterior mean and standard deviation of m at one point, and the log likelihood of the records."""
    if not own:
        return usual, prior_sd, 0.0
    sigma, share, power = point
    y = np.array([one.eggs - moved(catalogue, power, one.mass_g, one.first) for one in own], dtype=float)
    n = np.bincount(of_dam)
    centre = np.bincount(of_dam, weights=y) / n
    within = np.bincount(of_dam, weights=(y - centre[of_dam]) ** 2)
    information = n / (1 - share + n * share) / sigma**2
    precision = 1 / prior_sd**2 + information.sum()
    mean = (usual / prior_sd**2 + information @ centre) / precision
    squares = (usual / prior_sd) ** 2 + information @ centre**2 + within.sum() / ((1 - share) * sigma**2)
    log_det = ((n - 1) * np.log(1 - share) + np.log(1 - share + n * share)).sum() + 2 * len(y) * np.log(sigma)
    log_likelihood = -(log_det + np.log(precision * prior_sd**2) + squares - precision * mean**2) / 2
    return float(mean), float(precision**-0.5), float(log_likelihood)
