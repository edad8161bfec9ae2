"""What trials say of an odd animal: a probability for each way in which its look may be passed on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from holdback.collection.model import Sex
from holdback.errors import CrossError, Fault
from holdback.heredity.proving.checking import named_trials
from holdback.heredity.proving.family import TrialFamily
from holdback.heredity.proving.modes import PRIOR, Assumptions, Mode
from holdback.heredity.proving.trials import Look, OddAnimal, Trial

PROVED = 0.95
"""Probability from which a mode counts as settled; a convention of this tool."""

_IN_PLAY = 0.05


@dataclass(frozen=True, slots=True)
class Verdict:
    """How the look of an odd animal is passed on, as far as trials tell.

    Parameters
    ----------
    animal : str
        Its key.
    posterior, prior : mapping of Mode to float
        Probabilities after and before, each summing to 1.
    bayes_factors : mapping of Mode to float
        How many times likelier the young are under the mode than if nothing is inherited.
    log_likelihoods : mapping of Mode to float
        Natural logarithm of P(young | mode), counts in one given order.
    young : tuple of int, shape (3,)
        Young looked at, by `Look`, over all trials.
    recessive_untested : bool
        Whether no trial could show a recessive.
    cautions : tuple of str
        What the young do not tell yet.
    given : Assumptions
        Error rates and the like.
    """

    animal: str
    posterior: Mapping[Mode, float]
    prior: Mapping[Mode, float]
    bayes_factors: Mapping[Mode, float]
    log_likelihoods: Mapping[Mode, float]
    young: tuple[int, int, int]
    recessive_untested: bool
    cautions: tuple[str, ...]
    given: Assumptions

    @property
    def ranked(self) -> tuple[tuple[Mode, float], ...]:
        """Modes with their probabilities, the likeliest first."""
        return tuple(sorted(self.posterior.items(), key=lambda item: -item[1]))

    @property
    def best(self) -> Mode:
        """Likeliest mode."""
        return self.ranked[0][0]

    @property
    def sentence(self) -> str:
        """What a breeder would say of it."""
        (first, p), (second, q) = self.ranked[:2]
        seen = _young_words(self.young)
        if not sum(self.young):
            return f"{self.animal}: no young yet, so only the assumption speaks: {first} {percent(p)}."
        if p >= PROVED:
            return f"{self.animal}: {seen}; settled as {first} at {percent(p)}."
        return f"{self.animal}: {seen}; most likely {first} ({percent(p)}), next {second} ({percent(q)}); not settled."

    @property
    def basis(self) -> tuple[str, ...]:
        """What the numbers rest on."""
        before = ", ".join(f"{mode} {percent(p)}" for mode, p in self.prior.items())
        start = "assumed, from memory, no source" if dict(self.prior) == PRIOR else "as given"
        return (f"Before any young: {before} ({start}).", *self.given.sentences)

    def as_json(self) -> dict[str, Any]:
        """Every number with its name, the sentence, and what it rests on."""
        return {
            "animal": self.animal,
            "posterior": _plain(self.posterior),
            "prior": _plain(self.prior),
            "bayes_factors_against_not_inherited": _plain(self.bayes_factors),
            "log_likelihoods": _plain(self.log_likelihoods),
            "young": {look.name.lower(): self.young[look] for look in Look},
            "best": str(self.best),
            "settled": self.posterior[self.best] >= PROVED,
            "recessive_untested": self.recessive_untested,
            "says": self.sentence,
            "cautions": list(self.cautions),
            "basis": list(self.basis),
            "assumptions": self.given.as_json(),
        }


def weigh(
    odd: OddAnimal,
    trials: Sequence[Trial],
    *,
    prior: Mapping[Mode, float] | None = None,
    given: Assumptions | None = None,
) -> Verdict:
    """Probability of each mode of inheritance after the trials of an odd animal.

    Parameters
    ----------
    odd : OddAnimal
        The animal; its own odd look is taken for granted.
    trials : sequence of Trial
        Matings of it and of its young, in the order in which the young hatched.
    prior : mapping of Mode to float, or None
        Probabilities before any young, summing to 1; a mode not listed has none. None: `PRIOR`.
    given : Assumptions or None
        Error rates, allele frequency, recombination; None: as assumed by default.

    Returns
    -------
    Verdict
        Exact: summed over the genotypes of all animals involved, each animal once.

    Raises
    ------
    CrossError
        PRV-002 to PRV-006 for trials that cannot be, PRV-008 for a prior that is none.

    Examples
    --------
    >>> from holdback.heredity.proving.trials import Partner, SexCounts
    >>> young = Trial(Partner.unrelated(), odd=SexCounts(unknown=5), normal=SexCounts(unknown=6))
    >>> weigh(OddAnimal("Moth"), [young]).best.value
    'incomplete dominant'
    """
    given = given or Assumptions()
    before = _prior(PRIOR if prior is None else prior)
    named = named_trials(odd, trials)
    logs = {mode: TrialFamily(odd, named, mode, given).log_likelihood() for mode in Mode}
    after = posterior(before, logs)
    return Verdict(
        animal=odd.key,
        posterior=after,
        prior=before,
        bayes_factors={mode: _exp(logs[mode] - logs[Mode.NOT_INHERITED]) for mode in Mode},
        log_likelihoods=logs,
        young=_young(named),
        recessive_untested=_recessive_untested(named),
        cautions=tuple(_cautions(odd.key, named, after)),
        given=given,
    )


def posterior(prior: Mapping[Mode, float], logs: Mapping[Mode, float]) -> dict[Mode, float]:
    """Bayes' rule over modes, from log-likelihoods."""
    top = max(logs[mode] for mode, p in prior.items() if p > 0.0)
    weights = {mode: p * math.exp(min(0.0, logs[mode] - top)) if p else 0.0 for mode, p in prior.items()}
    whole = math.fsum(weights.values())
    return {mode: weight / whole for mode, weight in weights.items()}


def percent(p: float) -> str:
    """Probability in words that never round up to always, nor down to never unless it is ruled out."""
    if 0.0 < p < 0.005:
        return "under 0.5 %"
    if p > 0.995:
        return "over 99.5 %"
    return f"{100.0 * p:.0f} %"


def _prior(prior: Mapping[Mode, float]) -> dict[Mode, float]:
    """Prior over all modes, checked."""
    whole = {mode: float(prior.get(mode, 0.0)) for mode in Mode}
    if min(whole.values()) < 0.0 or abs(math.fsum(whole.values()) - 1.0) > 1e-6:
        what = f"the chances of the modes sum to {math.fsum(whole.values()):g}, or one is negative."
        raise CrossError(Fault("PRV-008", what, "Give chances that sum to 1.", field="prior"))
    return whole


def _recessive_untested(trials: Sequence[Trial]) -> bool:
    """Whether no trial could show a recessive."""
    return not any(trial.can_show_recessive and _looked_at(trial) for trial in trials)


def _cautions(animal: str, trials: Sequence[Trial], after: Mapping[Mode, float]) -> Iterator[str]:
    """What the young do not tell yet, as far as it is still in play."""
    if _recessive_untested(trials) and after[Mode.RECESSIVE] >= _IN_PLAY:
        yield (
            "A recessive cannot be seen in young of a normal, unrelated mate: hold back young and put them back to "
            f"{animal}, or to each other. Until then normal young do not speak against it."
        )
    partial = after[Mode.INCOMPLETE_DOMINANT] + after[Mode.SEX_LINKED]
    two_copies = any(trial.can_show_two_copies and _looked_at(trial) for trial in trials)
    if min(partial, after[Mode.DOMINANT]) >= _IN_PLAY and not two_copies:
        yield "Whether two copies look stronger shows only in young of two odd parents."
    unsexed = any(trial.counts(look).of(Sex.UNKNOWN) for trial in trials for look in Look)
    if after[Mode.SEX_LINKED] >= _IN_PLAY and (unsexed or not trials):
        yield "Sex the young: whether a gene is sex-linked shows only in which sex bears it."


def _looked_at(trial: Trial) -> int:
    """Young counted in a trial."""
    return sum(trial.counts(look).total for look in Look)


def _young(trials: Sequence[Trial]) -> tuple[int, int, int]:
    """Young by look over all trials."""
    normal, odd, stronger = (sum(trial.counts(look).total for trial in trials) for look in Look)
    return normal, odd, stronger


def _young_words(young: tuple[int, int, int]) -> str:
    """Counts in words."""
    parts = [f"{young[Look.ODD]} odd", f"{young[Look.NORMAL]} normal"]
    if young[Look.STRONGER]:
        parts.insert(0, f"{young[Look.STRONGER]} stronger")
    return f"of {sum(young)} young " + ", ".join(parts)


def _exp(log: float) -> float:
    """Exponential that ends in infinity."""
    return math.exp(log) if log < 700.0 else math.inf


def _plain(values: Mapping[Mode, float]) -> dict[str, float | None]:
    """Mode names to numbers; null where a number is beyond bounds."""
    return {str(mode): value if math.isfinite(value) else None for mode, value in values.items()}
