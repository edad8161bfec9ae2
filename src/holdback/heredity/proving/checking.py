"""What is wrong with a set of trials, told all at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from holdback.collection.model import Sex
from holdback.errors import CrossError, Fault
from holdback.heredity.proving.trials import Kind, Look, OddAnimal, Partner, SexCounts, Trial

SIRE, DAM = "its sire", "its dam"
"""Keys of the parents of the odd animal."""


def named_trials(odd: OddAnimal, trials: Sequence[Trial]) -> tuple[Trial, ...]:
    """Trials in which every partner has its key and one known sex, after checking them.

    Raises
    ------
    CrossError
        PRV-002 to PRV-006, all faults together.
    """
    keyed = [
        replace(
            trial,
            parent=_keyed(odd, trial.parent, f"parent of trial {index + 1}"),
            mate=_keyed(odd, trial.mate, f"mate of trial {index + 1}"),
        )
        for index, trial in enumerate(trials)
    ]
    sexes = _sexes(keyed)
    named = tuple(
        replace(
            trial,
            parent=replace(trial.parent, sex=sexes.get(trial.parent.key, Sex.UNKNOWN)),
            mate=replace(trial.mate, sex=sexes.get(trial.mate.key, Sex.UNKNOWN)),
        )
        for trial in keyed
    )
    faults = [*_faults_of_keys(keyed), *_faults_of_young(named), *_faults_of_counts(odd, named)]
    if faults:
        raise CrossError(faults)
    return named


def animals(trials: Sequence[Trial]) -> dict[str, Partner]:
    """Partners of named trials by key, each once."""
    return {partner.key: partner for partner in _partners(trials)}


def _partners(trials: Sequence[Trial]) -> Iterator[Partner]:
    """Both parents of every trial."""
    for trial in trials:
        yield trial.parent
        yield trial.mate


def _sexes(trials: Sequence[Trial]) -> dict[str, Sex]:
    """Sexes as given, and those that follow from the sex of a partner."""
    sexes: dict[str, Sex] = {
        partner.key: partner.sex for partner in _partners(trials) if partner.sex is not Sex.UNKNOWN
    }
    for _ in trials:
        for trial in trials:
            for one, other in ((trial.parent.key, trial.mate.key), (trial.mate.key, trial.parent.key)):
                if one in sexes:
                    sexes.setdefault(other, Sex.FEMALE if sexes[one] is Sex.MALE else Sex.MALE)
    return sexes


def _keyed(odd: OddAnimal, partner: Partner, otherwise: str) -> Partner:
    """Partner with its key; the odd animal with its sex."""
    if partner.kind is Kind.ITSELF:
        return replace(partner, key=odd.key, sex=odd.sex, look=Look.ODD)
    if partner.kind is Kind.PARENT:
        return replace(partner, key=DAM if partner.sex is Sex.FEMALE else SIRE)
    return partner if partner.key else replace(partner, key=otherwise)


def _faults_of_keys(trials: Sequence[Trial]) -> Iterator[Fault]:
    """Keys that stand for two animals."""
    first: dict[str, Partner] = {}
    for partner in _partners(trials):
        known = first.setdefault(partner.key, partner)
        same_sex = Sex.UNKNOWN in (known.sex, partner.sex) or known.sex is partner.sex
        if replace(known, sex=partner.sex) != partner or not same_sex:
            what = f"it stands once as {known.kind}, once as {partner.kind}, or with another sex, look or trial."
            yield Fault("PRV-004", what, "Give every animal a key of its own.", animal=partner.key)


def _faults_of_young(trials: Sequence[Trial]) -> Iterator[Fault]:
    """Young that cannot be the young of the trial they name."""
    used: Counter[tuple[int, Look]] = Counter()
    for index, trial in enumerate(trials):
        for partner in (trial.parent, trial.mate):
            if partner.kind is Kind.YOUNG and (partner.trial is None or not 0 <= partner.trial < index):
                hint = "Trials stand in the order in which the young hatched; a young names the trial it hatched in."
                what = f"it stands in trial {index + 1} as a young of a trial that is not before it."
                yield Fault("PRV-002", what, hint, animal=partner.key)
    for partner in animals(trials).values():
        if partner.kind is Kind.YOUNG and partner.trial is not None:
            used[partner.trial, partner.look] += 1
    for (index, look), number in used.items():
        if 0 <= index < len(trials) and number > trials[index].counts(look).total:
            what = f"{number} {look.name.lower()} young of trial {index + 1} stand as parents, fewer were counted."
            yield Fault("PRV-003", what, "Count every young in the trial it hatched in.", field=trials[index].label)


def _faults_of_counts(odd: OddAnimal, trials: Sequence[Trial]) -> Iterator[Fault]:
    """Parents of one sex or of none where it must be known, and negative counts."""
    for index, trial in enumerate(trials):
        known = Sex.UNKNOWN not in (trial.parent.sex, trial.mate.sex)
        if trial.parent.key == trial.mate.key or (known and trial.parent.sex is trial.mate.sex):
            what = f"trial {index + 1} has two parents of one sex, or one animal twice."
            yield Fault("PRV-005", what, "Correct the sex or the key of one.", animal=trial.mate.key)
        if any(one.kind is Kind.PARENT and one.sex is Sex.UNKNOWN for one in (trial.parent, trial.mate)):
            what = f"trial {index + 1} names a parent of the odd animal without its sex."
            yield Fault("PRV-005", what, "Say whether it is the sire (male) or the dam (female).", animal=odd.key)
    for where, counts in [
        *(("sibs", counts) for counts in odd.sibs),
        *((f"trial {index + 1}", trial.counts(look)) for index, trial in enumerate(trials) for look in Look),
    ]:
        if _negative(counts):
            yield Fault("PRV-006", "a count of young is negative.", "Count from 0.", field=where)


def _negative(counts: SexCounts) -> bool:
    """Whether any count is below 0."""
    return min(counts.males, counts.females, counts.unknown, counts.dead) < 0
