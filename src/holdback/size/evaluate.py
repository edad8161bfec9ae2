"""The evaluation of all sizes of a collection: readings, fit, and what is said of each animal, line and clutch."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis, Estimate
from holdback.descent.pedigree import Pedigree
from holdback.size.animal_sizes import AnimalSizes
from holdback.size.clutch_mates import ClutchMates
from holdback.size.counting import readings_of
from holdback.size.evaluation import SizeEvaluation, Variances
from holdback.size.growth.data import growth_data
from holdback.size.growth.fit import Fitted, fitted
from holdback.size.growth.fitted_curves import FittedCurves
from holdback.size.growth.spread import HERITABILITY_PRIOR
from holdback.size.growth.weighed import Point, mixture
from holdback.size.line_effects import line_effects
from holdback.size.lines import LineShares
from holdback.species.catalogue import Catalogue

KNOWS_LITTLE = 0.8
"""Where the spread of the heritability is still this part of what was assumed of it, the records say almost nothing."""


def evaluate(
    collection: Collection, pedigree: Pedigree, lines: Sequence[LineShares], catalogue: Catalogue
) -> SizeEvaluation:
    """Sizes of all animals and lines of a collection.

    Parameters
    ----------
    collection : Collection
        Checked records.
    pedigree : Pedigree
        Its pedigree; doubtful sires are nodes of candidates.
    lines : sequence of LineShares
        Shares of each line in the nodes of the pedigree.
    catalogue : Catalogue
        Species: usual growth, days in which a weight does not count.

    Returns
    -------
    SizeEvaluation
        Animals and clutches are worked out when they are looked up.

    Notes
    -----
    The model and its assumptions: docs/explanation/size.md.
    """
    readings = readings_of(collection, catalogue)
    fit = fitted(growth_data(collection, pedigree, lines, readings, catalogue))
    points = mixture(fit)
    curves = FittedCurves(fit)
    rearing = [readings.rearing.get(one, "") for one in fit.curves.data.ids]
    animals = AnimalSizes(collection, readings, curves, points)
    return SizeEvaluation(
        animals=animals,
        lines=line_effects(curves, points, pedigree, lines, rearing),
        variances=_variances(fit, points),
        readings=readings,
        curves=curves,
        assumptions=_assumptions(fit),
        settled=fit.settled,
        clutches=ClutchMates(collection, readings, animals),
    )


def _variances(fit: Fitted, points: Sequence[Point]) -> Variances:
    """Where differences come from, the heritability over the mixture."""
    spread = fit.spread
    a, b = HERITABILITY_PRIOR
    assumed_sd = (a * b / (a + b) ** 2 / (a + b + 1)) ** 0.5
    weights = np.array([point.weight for point in points]) / sum(point.weight for point in points)
    shares = np.array([point.spread.heritability for point in points])
    mean = float(weights @ shares)
    sd = float(weights @ (shares - mean) ** 2) ** 0.5
    low, high = (_quantile(shares, weights, one) for one in (0.05, 0.95))
    if len(points) == 1:
        low, high = mean, mean
    knows_little = sd > KNOWS_LITTLE * assumed_sd
    ground = (
        "Mostly what is assumed: the records say almost nothing of it."
        if knows_little
        else "By all weights and the pedigree."
    )
    basis = Basis.ASSUMED if knows_little else Basis.BY_DESCENT
    return Variances(
        heritability=Estimate(mean, min(low, mean), max(high, mean), "", basis, ground),
        adult_sd=spread.adult,
        hatching_sd=spread.hatching,
        clutch_sd=spread.clutch,
        rate_sd=spread.rate,
        scale_sd=float(spread.scale[0]),
        rearing_sd=float(np.std(fit.state.common[fit.curves.columns.rooms])) if fit.curves.data.rooms else 0.0,
        knows_little=knows_little,
    )


def _quantile(values: np.ndarray, weights: np.ndarray, level: float) -> float:
    """Quantile of a law on few points, straight between them on the logit scale."""
    shares, total = np.unique(values), None
    total = np.array([weights[values == one].sum() for one in shares])
    middle = np.cumsum(total) - total / 2
    logits = np.log(shares / (1 - shares))
    return float(1 / (1 + np.exp(-np.interp(level, middle, logits))))


def _assumptions(fit: Fitted) -> tuple[str, ...]:
    """What the numbers rest on beside the records, in sentences."""
    data = fit.curves.data
    said = [
        "Adult mass is what an animal levels out at, empty, neither gravid nor just after laying.",
        "The heritability of size in this species is not published: 0.13 to 0.73 is assumed before any weight is seen.",
        "Founders are taken as a fair sample. If those of a line were chosen as the biggest of several, the line is "
        "credited with the choice; nothing in the records can take that back.",
    ]
    if data.rooms:
        said.append("Rooms, or growing up here or elsewhere, may differ in feeding by some 15 %; that is allowed for.")
    else:
        said.append(
            "No record tells rooms or ways of feeding apart: animals fed apart look like a difference in blood."
        )
    if not fit.settled:
        said.append("The fit had not come to rest; take the ranges as rough.")
    return tuple(said)
