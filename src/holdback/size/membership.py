"""Whether an animal of a collection could be of a line, from the evaluation of sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from holdback.collection.estimate import Estimate
from holdback.errors import Fault, SizeError
from holdback.size.evaluation import AnimalSize, LineEffect, SizeEvaluation
from holdback.size.of_line import PRIOR, SHARES, OfLine, of_the_line
from holdback.size.predictive import Predictive


@dataclass(frozen=True, slots=True)
class Head:
    """A second trait beside mass, most often the width of the head.

    Parameters
    ----------
    deviation, deviation_sd : float
        Deviation of the animal from ordinary animals of its length or mass, on the log scale, and its standard error.
    effect, effect_sd : float
        How much the line deviates, and the standard error of that.
    spread_sd : float
        Standard deviation among animals of one line.
    correlation : float
        Of the two traits within lines, in (-1, 1).
    """

    deviation: float
    deviation_sd: float
    effect: float
    effect_sd: float
    spread_sd: float
    correlation: float


@dataclass(frozen=True, slots=True)
class Membership:
    """Whether an animal could be of a line, and what that rests on.

    Parameters
    ----------
    animal, line : str
        Id and name.
    of_line : OfLine
        Odds.
    deviation, deviation_sd : float
        What its own weights say of its adult log mass, with nothing assumed of its origin.
    effect : (float, float)
        Effect of the line on adult log mass, and its standard error.
    cautions : tuple of str
        Why what is known of the line is weak, in sentences; empty where it is not.
    advice : tuple of str
        What would move the odds, in sentences.
    """

    animal: str
    line: str
    of_line: OfLine
    deviation: float
    deviation_sd: float
    effect: tuple[float, float]
    cautions: tuple[str, ...]
    advice: tuple[str, ...]


ADVICE = (
    "An invoice, an import paper or the breeder's word on its parents weighs more than its size: write it down as the "
    "claim of the animal, with its chance.",
    "Weigh its young beside others of the same room and year: half of what it carries shows in them.",
)


def could_be_of_the_line(
    *,
    deviation: float,
    deviation_sd: float,
    effect: float,
    effect_sd: float,
    spread_sd: float,
    head: Head | None = None,
    prior: float = PRIOR,
) -> OfLine:
    """Odds that an animal is of a line, from its deviation and what is known of the line.

    The effect of the line is integrated over, not taken as known: it widens the law of the line and not that of the
    others.

    Parameters
    ----------
    deviation, deviation_sd : float
        What the animal's own weights say of its adult log mass against ordinary animals, with standard error. No
        posterior value: one that was drawn towards ordinary animals has to be undone first, see `by_weights_alone`.
    effect, effect_sd : float
        Effect of the line on adult log mass, with standard error. **The animal's own record must not be part of it**:
        the caller leaves the animal, or its claim on the line, out of the evaluation.
    spread_sd : float
        Standard deviation of adult log mass among animals of one line.
    head : Head, optional
        A second trait; errors of the two readings are taken as independent.
    prior : float
        Chance of membership before, in (0, 1).

    Raises
    ------
    SizeError
        SIZ-402 if a spread is not above 0, SIZ-403 if the prior does not lie between 0 and 1.

    Examples
    --------
    >>> round(could_be_of_the_line(deviation=1.5, deviation_sd=0, effect=1.5, effect_sd=0, spread_sd=1).posterior, 4)
    0.435
    """
    line, other = laws_of_shares(
        deviation_sd=deviation_sd, effect=effect, effect_sd=effect_sd, spread_sd=spread_sd, head=head, shares=(1.0, 0.0)
    )
    return of_the_line([deviation] if head is None else [deviation, head.deviation], line, other, prior)


def laws_of_shares(
    *,
    deviation_sd: float,
    effect: float,
    effect_sd: float,
    spread_sd: float,
    head: Head | None = None,
    shares: Sequence[float] = SHARES,
) -> tuple[Predictive, ...]:
    """Law of the measured deviation of an animal at each share of a line.

    Mean share times effect; variance of readings, spread within the line, and share squared times that of the effect.

    Parameters
    ----------
    deviation_sd, effect, effect_sd, spread_sd, head
        As in `could_be_of_the_line`.
    shares : sequence of float
        In [0, 1].
    """
    effects, own, doubt = [effect], [deviation_sd**2], [effect_sd**2]
    within = np.array([[spread_sd**2]])
    if head is not None:
        shared = head.correlation * spread_sd * head.spread_sd
        effects, own, doubt = [effect, head.effect], [*own, head.deviation_sd**2], [*doubt, head.effect_sd**2]
        within = np.array([[spread_sd**2, shared], [shared, head.spread_sd**2]])
    return tuple(
        Predictive(share * np.array(effects), within + np.diag(own) + share**2 * np.diag(doubt)) for share in shares
    )


def by_weights_alone(*, mean: float, sd: float, assumed_mean: float, assumed_sd: float) -> tuple[float, float]:
    """What an animal's own weights say, once what was assumed of it before is taken out of an estimate again.

    Parameters
    ----------
    mean, sd : float
        Estimate of the deviation and its standard error, on the log scale.
    assumed_mean, assumed_sd : float
        Normal law that was assumed of it before its weights were looked at.

    Returns
    -------
    float, float
        Value and standard error of the weights alone.

    Raises
    ------
    SizeError
        SIZ-405 if the weights took nothing away from what was assumed.

    Examples
    --------
    >>> value, error = by_weights_alone(mean=0.08, sd=0.12, assumed_mean=0.0, assumed_sd=0.2)
    >>> round(value, 4), round(error, 4)
    (0.125, 0.15)
    """
    if sd >= assumed_sd * (1 - 1e-6):
        raise SizeError(
            Fault("SIZ-405", "Its weights say nothing of its size beyond what is assumed.", "Weigh it, empty.")
        )
    precision = sd**-2 - assumed_sd**-2
    return (mean * sd**-2 - assumed_mean * assumed_sd**-2) / precision, precision**-0.5


def membership(
    evaluation: SizeEvaluation, animal: str, line: str, *, prior: float = PRIOR, head: Head | None = None
) -> Membership:
    """Whether an animal without recorded parents could be of a line, from an evaluation that does not lean on it.

    Parameters
    ----------
    evaluation : SizeEvaluation
        **Made without the animal's own claim on the line**: the caller gives it a share of 0, else its size would be
        evidence for itself. Its young should not be in it either.
    animal, line : str
        Id, and name of a line.
    prior : float
        Chance of membership before, in (0, 1).
    head : Head, optional
        Its head beside that of the line, where it was measured.

    Raises
    ------
    SizeError
        SIZ-405 if it was never weighed so that it counts, SIZ-406 if no animals of the line tell what it looks like:
        none was weighed, or none beside others of another share that were kept alike.
    """
    size, effect = evaluation.animals[animal], evaluation.lines[line]
    _check(size, effect)
    spread = evaluation.variances.adult_sd
    mean, sd = _on_logs(size.deviation)
    lines_part = _on_logs(size.breeding_value)[0] - _on_logs(size.within_line)[0]
    value, error = by_weights_alone(mean=mean, sd=sd, assumed_mean=lines_part, assumed_sd=spread)
    line_mean, line_sd = _on_logs(effect.effect)
    found = could_be_of_the_line(
        deviation=value,
        deviation_sd=error,
        effect=line_mean,
        effect_sd=line_sd,
        spread_sd=spread,
        head=head,
        prior=prior,
    )
    return Membership(animal, line, found, value, error, (line_mean, line_sd), effect.why_not, ADVICE)


def _check(size: AnimalSize, effect: LineEffect) -> None:
    """Refuse where the animal or the line was not measured."""
    if size.compared is None:
        raise SizeError(
            Fault(
                "SIZ-405",
                "No weight of it at a known age counts, so its size says nothing of its origin.",
                "Weigh it empty, and write down when it hatched as far as you know.",
                animal=size.animal,
            )
        )
    is_apart = effect.design is None or effect.design.is_connected
    if not (effect.n_founders and effect.n_weighed and is_apart):
        why = " ".join(effect.why_not) or "No animal of the line was weighed beside others."
        raise SizeError(
            Fault(
                "SIZ-406",
                f"What an animal of {effect.line} looks like is not known. {why}",
                "Weigh animals known to be of the line beside others, fed alike.",
                animal=size.animal,
                value=effect.line,
            )
        )


def _on_logs(estimate: Estimate) -> tuple[float, float]:
    """Middle and standard deviation, on the log scale, of a deviation told in percent."""
    low, middle, high = (math.log1p(one / 100) for one in (estimate.low, estimate.mean, estimate.high))
    return middle, (high - low) / (2 * NormalDist().inv_cdf((1 + estimate.coverage) / 2))
