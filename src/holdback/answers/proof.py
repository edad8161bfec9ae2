"""Proving an odd animal and test-breeding a possible carrier, from the records of a collection."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from holdback.answers.carried import animals_asked
from holdback.answers.pair import egg_count
from holdback.collection.model import Animal, Sex
from holdback.errors import CollectionError, Fault
from holdback.heredity.beliefs import parents_joint
from holdback.heredity.beliefs.beliefs import BACKGROUND
from holdback.heredity.proving import (
    Assumptions,
    CarrierTests,
    Mate,
    Pairings,
    Trial,
    Verdict,
    carrier_tests,
    next_pairings,
    recessive_proof,
    trials_of,
    weigh,
)
from holdback.heredity.proving.possible_carrier import CLEARED, Copies, JointCopies, Proof
from holdback.species.model import WILD, Allele, pair

if TYPE_CHECKING:
    from holdback.answers.answers import Answers

_LEFT = ("sold", "died", "dead")
_TRIED = 3
"""Mates worked out together with the animal for each that is listed; those left are likely to tell less."""

NOT_LOOKED_AT = (
    "Relationship, age, weight and health are not looked at here: ask for the odds of the pair, with its cautions, "
    "before you put the two together."
)


@dataclass(frozen=True, slots=True)
class OddProof:
    """What the young of an odd animal tell of its look, and what to pair next.

    Parameters
    ----------
    verdict : Verdict
        Probability of each way in which the look may be passed on.
    trials : tuple of Trial
        Clutches that were counted.
    pairings : Pairings
        The most telling pairing first.
    """

    verdict: Verdict
    trials: tuple[Trial, ...]
    pairings: Pairings

    def as_json(self) -> dict[str, Any]:
        """One JSON object: the keys of `holdback prove`, numbers unrounded."""
        return {**self.verdict.as_json(), "clutches": len(self.trials), "next": self.pairings.as_json()}


@dataclass(frozen=True, slots=True)
class CarrierAdvice:
    """Which mates of the collection would tell most of a possible carrier.

    Parameters
    ----------
    animal : Animal
        The possible carrier.
    gene : Allele
        What it may carry.
    copies : tuple of three floats
        Chances of no, one and two copies today, by all records.
    tests : CarrierTests
        Mates, the most telling first.
    n_mates : int
        Mates of the collection that could tell anything.
    notes : tuple of str
        What is not counted.
    """

    animal: Animal
    gene: Allele
    copies: Copies
    tests: CarrierTests
    n_mates: int
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """One JSON object: the keys of `holdback test-breed`, numbers unrounded."""
        return {
            "animal": self.animal.id,
            "gene": self.gene.name,
            "copies": dict(zip("012", self.copies, strict=True)),
            **self.tests.as_json(),
            "n_mates": self.n_mates,
            "notes": list(self.notes),
        }


def odd_proof(
    answers: Answers, animal: str, shown: Sequence[str], stronger: Sequence[str] = (), *, eggs: int | None = None
) -> OddProof:
    """What the recorded young of an odd animal tell of how its look is passed on.

    Parameters
    ----------
    answers : Answers
        Over the collection.
    animal : str
        Id or name of the odd animal.
    shown, stronger : sequence of str
        Ids or names of those that show its look, and of those with a more extreme one; all others are normal.
    eggs : int or None
        Fertile eggs of the next clutch; None takes the species' clutch sizes.

    Raises
    ------
    CollectionError
        BEL-001 for each text that is no animal.
    CrossError
        PRV-010 if a parent shows the look too, and whatever the trials break.
    """
    itself, *others = animals_asked(answers, [animal, *shown, *stronger])
    ids = [one.id for one in others]
    odd, trials = trials_of(answers.collection, itself.id, ids[: len(shown)], ids[len(shown) :])
    given = Assumptions.from_species(answers.catalogue)
    clutch = egg_count(answers.catalogue, eggs=eggs)
    verdict = weigh(odd, trials, given=given)
    return OddProof(verdict, trials, next_pairings(odd, trials, eggs=clutch, given=given))


def carrier_advice(
    answers: Answers, animal: str, gene: str, *, eggs: int | None = None, below: float = CLEARED, top: int = 5
) -> CarrierAdvice:
    """Which mates of the collection would tell most of whether an animal carries a gene.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    animal : str
        Id or name.
    gene : str
        Trade name or key of the gene.
    eggs : int or None
        Fertile eggs of a clutch; None takes the species' clutch sizes.
    below : float
        Chance of carrying, in (0, 1), below which the animal counts as cleared.
    top : int
        Mates to list.

    Raises
    ------
    CollectionError
        BEL-001 if there is no such animal, BEL-003 if there is no such gene, BEL-004 for a bound that cannot be.
    CrossError
        If several animals bear the name, or the number of eggs cannot be.

    Notes
    -----
    A gene that shows with two copies only is proved by one young that shows it, one that shows with one copy by a young
    that shows it from a mate without it. A mate that is related to the animal is weighed together with it.
    """
    (itself,) = animals_asked(answers, [animal])
    allele = _gene(answers, gene)
    if not 0.0 < below < 1.0:
        raise CollectionError(
            Fault("BEL-004", f"A bound of {below} cannot be.", "Give a chance between 0 and 1.", field="below")
        )
    is_hidden = not answers.catalogue.look(allele.locus, pair(WILD, allele.key)).label
    copies = answers.beliefs.copies(itself.id, allele.locus, allele.key)
    clutch = egg_count(answers.catalogue, eggs=eggs)
    proves = _proof(allele, is_hidden=is_hidden)
    mates = list(_mates(answers, itself, allele, is_hidden=is_hidden))
    first = carrier_tests(copies, mates, eggs=clutch, proves=proves, below=below, most=1)
    closest = [one.label for one in first.mates if one.able > 0.0][: _TRIED * top]
    together = [_together(answers, itself, answers.collection.animals[mate], allele) for mate in closest]
    found = carrier_tests(copies, together, eggs=clutch, proves=proves, below=below)
    return CarrierAdvice(
        animal=itself,
        gene=allele,
        copies=copies,
        tests=CarrierTests(found.mates[:top], found.eggs_ground),
        n_mates=sum(one.able > 0.0 for one in first.mates),
        notes=tuple(_notes(itself, allele, is_hidden=is_hidden)),
    )


def _gene(answers: Answers, text: str) -> Allele:
    """Gene by key or trade name, under the name that stands for its equals."""
    catalogue = answers.catalogue
    found = catalogue.alleles.get(text) or catalogue.find(text)
    if not isinstance(found, Allele):
        nearest = catalogue.suggest(text)
        hint = f"Nearest known name: {nearest}." if nearest else "Give a gene as the Almanac names it."
        raise CollectionError(Fault("BEL-003", f"No gene is called {text!r}.", hint, field="gene", value=text))
    return catalogue.alleles[catalogue.stands_for(found.key)]


def _proof(allele: Allele, *, is_hidden: bool) -> Proof:
    """Chance that one young proves the animal, from the copies in it and in the mate."""
    seen = 1.0 - allele.missed

    def hidden(animal: int, mate: int) -> float:
        return seen * recessive_proof(animal, mate)

    def showing(animal: int, mate: int) -> float:
        return seen * animal / 2.0 if mate == 0 else 0.0

    return hidden if is_hidden else showing


def _mates(answers: Answers, itself: Animal, allele: Allele, *, is_hidden: bool) -> Iterator[Mate]:
    """Animals of the other sex that are still here and could tell anything."""
    for other in answers.collection.animals.values():
        status = other.status.casefold()
        if other.sex in {itself.sex, Sex.UNKNOWN} or any(word in status for word in _LEFT):
            continue
        copies = answers.beliefs.copies(other.id, allele.locus, allele.key)
        if other.id != itself.id and (copies[0] < 1.0 - BACKGROUND) == is_hidden:
            yield Mate(other.id, copies)


def _together(answers: Answers, itself: Animal, mate: Animal, allele: Allele) -> Mate:
    """A mate with what it and the animal carry together."""
    sire, dam = (mate, itself) if mate.sex is Sex.MALE else (itself, mate)
    table = [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    for scenario in parents_joint(answers.beliefs, sire.id, dam.id):
        for pairs, chance in scenario.at(allele.locus).items():
            mine, its = pairs if sire is itself else pairs[::-1]
            table[mine.count(allele.key)][its.count(allele.key)] += scenario.weight * chance
    none, one, two = ((row[0], row[1], row[2]) for row in table)
    joint: JointCopies = (none, one, two)
    label = f"{mate.name} {mate.id}".strip()
    return Mate(label, answers.beliefs.copies(mate.id, allele.locus, allele.key), joint)


def _notes(itself: Animal, allele: Allele, *, is_hidden: bool) -> Iterator[str]:
    """What is not counted, in words."""
    name = allele.name
    if itself.sex is Sex.UNKNOWN:
        yield f"The sex of {itself.id} is not recorded; mates of both sexes are listed."
    if allele.missed:
        yield f"Of the young that show {name}, {100.0 * allele.missed:.1f} % are taken to be missed (assumed)."
    if not is_hidden:
        yield f"Mates that may have {name} themselves are left out: a young that shows it could have it from them."
    if allele.imagined:
        yield (
            f"Of the young without it, {100.0 * allele.imagined:.1f} % are taken for {name} (assumed): look twice at "
            "the one that proves it, or wait for a second."
        )
    yield NOT_LOOKED_AT
