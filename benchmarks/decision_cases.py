"""M1: every mate of one animal for a goal, in a collection of 150 animals of which the beliefs are there.

What each two may be together is asked of the beliefs before; the time of that is in the notes.
"""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Iterator

import measuring
import numpy as np
from whole_collection import lines

from holdback.answers.answers import Answers
from holdback.answers.decisions.genes import GenesOfBeliefs
from holdback.collection.collection import Collection
from holdback.collection.model import Sex
from holdback.decisions.accepted import wish_of
from holdback.decisions.goal import Goal
from holdback.decisions.mates import Mate, mates
from holdback.decisions.stock import Breeding, Stock
from holdback.decisions.wanting import targets_of
from holdback.decisions.welfare import PairWelfare
from holdback.heredity.crosses import EggCount, odds_joint
from holdback.heredity.genotype import GenotypeBelief
from holdback.season.outlook import CountLaw
from holdback.species import load

ANIMALS = 150
GOAL = Goal("Harbour", "Clown Enchi", by=2033)
LAYS = 0.7
AGREE = 1e-9


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """The one case."""
    records = lines(ANIMALS)
    collection = Collection.from_records(records)
    answers = Answers(collection, load())
    beliefs = answers.beliefs
    assert len(beliefs.evidence.loci) > 1
    male = _breeder(collection)
    targets = targets_of(GOAL, load())
    seconds, couples = [], []
    for _ in range(3 if short else 7):
        stock = _stock(answers)
        welfare = PairWelfare(stock, load())
        start = time.perf_counter()
        for place in stock.of_sex(Sex.FEMALE):
            stock.genes.couple(male, stock.animals[place], targets[0].loci)
        couples.append(time.perf_counter() - start)
        start = time.perf_counter()
        found = mates(stock, male, targets, GOAL, load(), welfare=welfare)
        seconds.append(time.perf_counter() - start)
        _check(stock, found)
    what = f"every mate of one of {ANIMALS} animals, two generations on"
    yield measuring.alone("M1", what, seconds, limit=0.1, couples_seconds=statistics.median(couples))


def _breeder(collection: Collection) -> str:
    """The last male that is described."""
    return [one.id for one in collection.animals.values() if one.sex is Sex.MALE and one.genes][-1]


def _stock(answers: Answers) -> Stock:
    """All animals, all of them ready; nothing kept of what pairs may be together."""
    animals = list(answers.collection.animals.values())
    ids = [animal.id for animal in animals]
    is_male = [animal.sex is Sex.MALE for animal in animals]
    eggs, young, none = CountLaw(np.ones(8) / 8), CountLaw(np.ones(7) / 7), CountLaw(np.ones(1))
    return Stock(
        year=2027,
        animals=tuple(ids),
        sexes=tuple(animal.sex for animal in animals),
        ready=np.zeros(len(ids), np.int64),
        clutches=np.where(is_male, 4, 1).astype(np.int64),
        lays=np.where(is_male, np.nan, LAYS),
        eggs=tuple(none if male else eggs for male in is_male),
        young=tuple(none if male else young for male in is_male),
        kinship=answers.descent.kinship(ids),
        shares={},
        size_mean=np.full(len(ids), np.nan),
        size_sd=np.full(len(ids), np.nan),
        genes=GenesOfBeliefs(answers.beliefs, ids),
        breeding=Breeding(eggs=eggs, young=young, lays_first=LAYS, lays=LAYS),
    )


def _check(stock: Stock, found: tuple[Mate, ...]) -> None:
    """Refuse chances of this season that are not those of the odds of the same two animals."""
    (target,) = targets_of(GOAL, load())
    for mate in found[:: max(1, len(found) // 5)]:
        joint = stock.genes.couple(mate.sire, mate.dam, target.loci)
        sire, dam = (
            GenotypeBelief(sex=sex, loci={locus: stock.genes.at(animal, locus) for locus in target.loci})
            for animal, sex in ((mate.sire, Sex.MALE), (mate.dam, Sex.FEMALE))
        )
        law = stock.young[stock.index(mate.dam)].chances
        eggs = EggCount(tuple((n, float(chance)) for n, chance in enumerate(law)))
        want = odds_joint(joint, load(), sire=sire, dam=dam, want=wish_of(target, load()), eggs=eggs).want
        if want is None or not math.isclose(mate.at_least_one.mean, 100 * LAYS * want.at_least_one, abs_tol=AGREE):
            raise measuring.WrongError(f"M1: {mate.sire} with {mate.dam} is not as the odds of the pair")
