"""Could an animal of unknown origin be of a line: odds by its size and head, never yes or no."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from holdback.collection.collection import Collection
from holdback.collection.model import Trait
from holdback.descent.shares import NOTHING, share_means
from holdback.errors import Fault, SizeError
from holdback.size import LineShares, SizeEvaluation, evaluate
from holdback.size.growth.columns import OWN
from holdback.size.growth.fitted_curves import FittedCurves
from holdback.size.membership import Head, by_weights_alone, laws_of_shares, membership
from holdback.size.of_line import SHARES, share_of_the_line

if TYPE_CHECKING:
    from holdback.answers.size.sizes import Sizes


@dataclass(frozen=True, slots=True)
class LineOdds:
    """How the odds that an animal is of a line stand once its size is looked at.

    Parameters
    ----------
    animal, line : str
        Id, and name of the line.
    prior, posterior : float
        Chance that it is all of the line before and after, in (0, 1).
    likelihood_ratio : float
        How many times likelier its size is in the line than outside it.
    said : str
        What that means, in sentences.
    best_correct : float
        Part of animals that size puts on the right side at best, half of them being of the line.
    auc : float
        Chance that of one animal of each kind the one of the line looks more like it.
    share_mean, share_sd : float
        Expected share of the line, shares between none and all allowed for, and its standard deviation.
    traits : tuple of str
        What was measured of it.
    cautions, advice : tuple of str
        Why the line itself is not well known, and what would move the odds more.
    """

    animal: str
    line: str
    prior: float
    posterior: float
    likelihood_ratio: float
    said: str
    best_correct: float
    auc: float
    share_mean: float
    share_sd: float
    traits: tuple[str, ...]
    cautions: tuple[str, ...]
    advice: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """All fields by name."""
        return {name: getattr(self, name) for name in self.__dataclass_fields__}


def line_odds(sizes: Sizes, animal: str, line: str, prior: float) -> LineOdds:
    """Odds that an animal without recorded parents is of a line, from its size and its head.

    Parameters
    ----------
    sizes : Sizes
        Sizes of the collection.
    animal, line : str
        Id, and name of the line.
    prior : float
        Chance before its size, in (0, 1).

    Raises
    ------
    SizeError
        SIZ-101 if there is no such animal, SIZ-102 if a parent of it is on record, SIZ-403 if `prior` is no chance,
        SIZ-405 if no weight of it counts, SIZ-406 if the line was not weighed.

    Notes
    -----
    All sizes are worked out anew with nothing claimed of the animal and without the weights of its descendants, so
    that its own size is not evidence for itself.
    """
    name = sizes.descent.line_named(line)
    sizes.of(animal)
    record = sizes.collection.animals[animal]
    if record.dam is not None or record.sires:
        what = f"{animal} has a parent on record."
        hint = f"Its share of {name} goes by descent; take the parents off the record if they are not known."
        raise SizeError(Fault("SIZ-102", what, hint, animal=animal, value=name))
    found = _without_claim(sizes, animal, name)
    head = _head_of(found, animal, name)
    odds = membership(found, animal, name, prior=prior, head=head)
    effect, effect_sd = odds.effect
    laws = laws_of_shares(
        deviation_sd=odds.deviation_sd,
        effect=effect,
        effect_sd=effect_sd,
        spread_sd=found.variances.adult_sd,
        head=head,
    )
    observed = [odds.deviation] if head is None else [odds.deviation, head.deviation]
    between = [prior / (len(SHARES) - 1)] * (len(SHARES) - 1)
    shares = share_of_the_line(observed, laws, prior=[1 - prior, *between])
    return LineOdds(
        animal=animal,
        line=name,
        prior=odds.of_line.prior,
        posterior=odds.of_line.posterior,
        likelihood_ratio=odds.of_line.likelihood_ratio,
        said=odds.of_line.said,
        best_correct=odds.of_line.accuracy.correct,
        auc=odds.of_line.accuracy.ranked,
        share_mean=shares.expected,
        share_sd=shares.sd,
        traits=("mass",) if head is None else ("mass", "width of the head"),
        cautions=odds.cautions,
        advice=odds.advice,
    )


def _without_claim(sizes: Sizes, animal: str, line: str) -> SizeEvaluation:
    """Sizes with nothing of any line claimed of an animal, and without the weights of its descendants."""
    pedigree, node = sizes.descent.pedigree, sizes.descent.node(animal)
    below = {pedigree.ids[one] for one in pedigree.descendants([node])} - {animal}
    records = sizes.collection.records
    kept = tuple(one for one in records.measurements if one.animal not in below)
    collection = Collection.from_records(replace(records, measurements=kept), species=sizes.collection.species)
    shares = []
    for one in sizes.line_shares:
        founders = dict(sizes.descent.founders(one.line)) | {node: NOTHING}
        variances = one.variances.copy()
        variances[node] = 0.0
        shares.append(LineShares(one.line, share_means(pedigree, founders), variances))
    return evaluate(collection, pedigree, shares, sizes.catalogue)


def _head_of(found: SizeEvaluation, animal: str, line: str) -> Head | None:
    """Width of its head beyond what its size explains, beside that of the line; None where it was not measured."""
    curves = found.curves
    readings = found.readings.by_animal.get(animal, ())
    if not any(one.counts and one.measurement.trait is Trait.HEAD_WIDTH for one in readings):
        return None
    assert isinstance(curves, FittedCurves), "evaluations carry the fit"
    fit, columns = curves.fit, curves.fit.curves.columns
    number, trait = curves.place[animal], fit.curves.data.traits.index(Trait.HEAD_WIDTH)
    own = len(OWN) + trait - 1
    spread = float(fit.spread.traits_own[trait - 1])
    mean, sd = (
        float(fit.state.own[number, own]),
        float(fit.moments.variance[number, columns.n_shared + own, columns.n_shared + own]) ** 0.5,
    )
    if sd >= spread * (1 - 1e-3):
        return None
    value, error = by_weights_alone(mean=mean, sd=sd, assumed_mean=0.0, assumed_sd=spread)
    place = columns.place[f"{Trait.HEAD_WIDTH} line {line}"]
    effect_sd = float(np.sqrt(fit.solution.variance[place, place]))
    return Head(value, error, float(fit.state.common[place]), effect_sd, spread, 0.0)
