"""The animals of a collection as plans ask for them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from holdback.answers.decisions.genes import GenesOfBeliefs
from holdback.answers.decisions.readiness import Readiness, matures
from holdback.answers.descent.names import named
from holdback.collection.model import NO_SIRE, Animal, Sex
from holdback.decisions.stock import Breeding, FloatArray, Stock, UnderWay
from holdback.season.cycles import is_gone, past_seasons
from holdback.season.forecast import ACTIVE
from holdback.season.laying_past import Past, Rate
from holdback.season.outlook import CountLaw, Cycle, Outlook, Step

if TYPE_CHECKING:
    from holdback.answers.answers import Answers
    from holdback.answers.season import Season
    from holdback.collection.estimate import Estimate

_NONE = CountLaw(np.ones(1))
_Z = 1.6448536269514722
"""Half the width of a normal law's 90 % range, in standard deviations."""
_UNWEIGHED_SD = 0.15
"""Standard deviation of ln(adult mass) among animals of which no variance was estimated (assumed)."""


def stock_of(answers: Answers, season: Season, *, also: frozenset[str] = frozenset()) -> Stock:
    """Every animal of known sex that is here, with what plans ask of it.

    Parameters
    ----------
    answers : Answers
        Beliefs, descent and sizes.
    season : Season
        The working year of the day that plans start on.
    also : frozenset of str
        Animals of unknown sex to take in too, as `Sex.UNKNOWN`; they are not ready before they are sexed.
    """
    collection = season.collection
    before = season.on + dt.timedelta(days=1)
    here = [
        animal
        for animal in collection.animals.values()
        if animal.id not in collection.died_in_egg
        and not is_gone(collection, animal.id, before)
        and (animal.sex is not Sex.UNKNOWN or animal.id in also)
    ]
    readiness = Readiness(
        season.on, season.catalogue, {one.animal: one for one in season.fitness}, answers.sizes.evaluation
    )
    ready = [readiness.of(animal) for animal in here]
    under_way = tuple(_under_way(season))
    busy = {one.dam for one in under_way}
    ids = [animal.id for animal in here]
    first = np.array(
        [max(at, 1) if animal.id in busy else at for animal, (at, _) in zip(here, ready, strict=True)], dtype=np.int64
    )
    past = Past.learned(past_seasons(collection, season.catalogue, before), season.catalogue)
    nodes = [answers.descent.node(one) for one in ids]
    size_mean, size_sd = _sizes(answers, ids)
    eggs = tuple(_her_eggs(season, one) if one.sex is Sex.FEMALE else _NONE for one in here)
    return Stock(
        year=readiness.year,
        animals=tuple(ids),
        sexes=tuple(animal.sex for animal in here),
        ready=first,
        clutches=np.array([_most_clutches(animal, season) for animal in here], dtype=np.int64),
        lays=np.array([_lays(past, animal) for animal in here]),
        eggs=eggs,
        young=tuple(season.counts.young_of(law, one.id) for law, one in zip(eggs, here, strict=True)),
        kinship=answers.descent.kinship(ids),
        shares={line: answers.descent.share_means(line)[nodes] for line in answers.descent.lines},
        size_mean=size_mean,
        size_sd=size_sd,
        genes=GenesOfBeliefs(answers.beliefs, ids),
        breeding=breeding_of(answers, season, past),
        under_way=under_way,
        names={animal.id: named(collection, animal.id) for animal in here},
        why_not={animal.id: why for animal, (_, why) in zip(here, ready, strict=True) if why},
    )


def breeding_of(answers: Answers, season: Season, past: Past) -> Breeding:
    """What is counted on of animals that are not hatched yet."""
    catalogue = season.catalogue
    values = catalogue.reproduction
    additive, environment = _size_spread(answers)
    lives = catalogue.decisions
    per_male = values.get("females_per_male")
    return Breeding(
        eggs=season.counts.eggs(),
        young=season.counts.young(),
        lays_first=_mean_rate(past.first, "", 0.5),
        lays=_mean_rate(past.proven, "", 0.7),
        male_matures=matures(Sex.MALE, catalogue),
        female_matures=matures(Sex.FEMALE, catalogue),
        male_clutches=round(per_male.value) if per_male else 4,
        young_lives=lives["young_lives"].value if "young_lives" in lives else 1.0,
        adult_lives=lives["adult_lives"].value if "adult_lives" in lives else 1.0,
        additive_sd=additive,
        environment_sd=environment,
        horizon=lives["horizon_seasons"].value,
        marks={
            "eggs": season.counts.ground(),
            "lays": _rate_ground(past.proven),
            "lays_first": _rate_ground(past.first),
            **{key: f"{value.value:g} ({value.mark})" for key, value in lives.items() if key.endswith("_lives")},
        },
    )


def _most_clutches(animal: Animal, season: Season) -> int:
    """Clutches in a season: of a male as many females as one male is usually given."""
    value = season.catalogue.reproduction.get("females_per_male")
    return 1 if animal.sex is not Sex.MALE else round(value.value) if value else 4


def _her_eggs(season: Season, animal: Animal) -> CountLaw:
    """Eggs of her next clutch; one still growing is taken at her breeding mass, since she lays no sooner."""
    least = season.catalogue.reproduction.get("female_breeding_mass_g")
    mass = season.counts.mass_of(animal.id)
    if mass is None or least is None or mass >= least.value:
        return season.counts.eggs(animal.id)
    return season.counts.sizes.law(animal.id, mass_g=least.value, first=season.counts.first_of(animal.id))


def _lays(past: Past, animal: Animal) -> float:
    """Chance that a female lays in a season in which she is paired."""
    if animal.sex is Sex.MALE:
        return float("nan")
    return _mean_rate(past.rate_of(animal.id), animal.id, 0.7 if animal.id in past.has_laid else 0.5)


def _mean_rate(rate: Rate | None, dam: str, unknown: float) -> float:
    if rate is None:
        return unknown
    weight, up, down = rate.of(dam)
    return float(weight @ (up / (up + down)))


def _rate_ground(rate: Rate | None) -> str:
    if rate is None:
        return "not known for this species; assumed"
    return f"{rate.n_own} seasons of yours, drawn towards common practice" if rate.n_own else "common practice"


def _sizes(answers: Answers, ids: list[str]) -> tuple[FloatArray, FloatArray]:
    """Breeding values of ln(adult mass / ordinary): mean and standard deviation of each animal."""
    found = [_log_size(answers.sizes.of(one).breeding_value) for one in ids]
    return np.array([mean for mean, _ in found]), np.array([sd for _, sd in found])


def _log_size(percent: Estimate) -> tuple[float, float]:
    """Mean and standard deviation of ln(1 + x / 100) for a deviation in percent with its 90 % range."""
    low, mean, high = (float(np.log1p(max(one, -95.0) / 100)) for one in (percent.low, percent.mean, percent.high))
    return mean, (high - low) / (2 * _Z)


def _size_spread(answers: Answers) -> tuple[float, float]:
    """Genetic and other standard deviation of ln(adult mass) within lines."""
    found = answers.sizes.evaluation.variances
    sd = found.adult_sd or _UNWEIGHED_SD
    share = float(np.clip(found.heritability.mean, 0.0, 1.0))
    return float(sd * share**0.5), float(sd * (1 - share) ** 0.5)


def _under_way(season: Season) -> Iterator[UnderWay]:
    """Crosses of the season that are made and have not hatched."""
    for outlook in season.outlooks:
        if outlook.step in (*ACTIVE, Step.LAID) and outlook.young is not None:
            chance = 1.0 if outlook.step is Step.LAID else outlook.lays.mean / 100
            yield UnderWay(
                dam=outlook.cycle.dam,
                sires=_sires(season, outlook.cycle),
                eggs=_if_laid(_eggs(season, outlook), chance),
                young=_if_laid(outlook.young, chance),
                clutch=outlook.cycle.clutch or "",
            )


def _sires(season: Season, cycle: Cycle) -> tuple[tuple[str, float], ...]:
    """Males of a cycle with their chances: as recorded with the clutch, else those seen to lock, else all alike."""
    clutch = season.collection.clutches.get(cycle.clutch or "")
    if clutch is not None and clutch.sires:
        return tuple((one.animal, one.weight) for one in clutch.sires if one.animal != NO_SIRE)
    locked = [one.sire for one in cycle.together if one.locks]
    males = list(dict.fromkeys(locked or [one.sire for one in cycle.together]))
    return tuple((one, 1 / len(males)) for one in males)


def _eggs(season: Season, outlook: Outlook) -> CountLaw:
    """Eggs of a clutch: as counted, else as foretold."""
    if outlook.eggs is not None:
        return outlook.eggs
    laid = season.clutch(outlook.cycle.clutch or "").laid
    return CountLaw(np.eye(laid + 1)[laid])


def _if_laid(law: CountLaw, chance: float) -> CountLaw:
    """A law of numbers, with the chance that there is no clutch at all."""
    chances = chance * law.chances
    chances[0] += 1 - chance
    return CountLaw(chances)
