"""Why a belief is what it is: how far it moves when records are left out, group by group.

Every number is the exact posterior with those records withheld. Contributions do not add up (two records that say the
same are each worth little alone), so each group is told in three ways: without it, by it alone, and in the chain.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdback.answers.grounds_asked import SURE, Asked, asked_of
from holdback.answers.grounds_kin import Group, Kin, groups_of, known_parents
from holdback.answers.grounds_sentence import sentence_of
from holdback.answers.grounds_telling import Telling, said
from holdback.answers.grounds_weighed import ABOVE, ALL, NOTHING, PARENTS, Copies, Question, SireCase, by_sire, weighed
from holdback.answers.grounds_words import group_words, sires_words, told_animals
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import RecordKind
from holdback.heredity.beliefs.unit import Unit
from holdback.species.catalogue import Catalogue

LEAST_POINTS, LEAST_LOG_ODDS = 0.002, 0.05
"""A step that moves the chance by less than both is left out."""

SAMPLED = "by sampling; the pedigree is too entangled to say which records that rests on"
"""Why there is no chain where beliefs are sampled."""

_TINY = 1e-15


@dataclass(frozen=True, slots=True)
class Ground:
    """One group of records, and what it does to a chance.

    Parameters
    ----------
    kind : str
        "parents" (all that stands above), "relatives" (other kin), "sires" (which candidate is the sire), "look",
        "claim", "sibs" (clutch mates and other full sibs), "young" (by one mate).
    words : str
        What it is, as a breeder would say it.
    records : tuple of str
        Keys of the records.
    animals : tuple of str
        Ids of the animals that the words speak of.
    without : float
        The chance if these records were not there.
    alone : float
        The chance if no other record were there.
    after : float
        The chance by this step of the chain: these records and those of all steps before it.
    weight : float
        Natural log odds by which these records move the chance, against leaving them out.
    """

    kind: str
    words: str
    records: tuple[str, ...]
    animals: tuple[str, ...]
    without: float
    alone: float
    after: float
    weight: float


@dataclass(frozen=True, slots=True)
class Grounds:
    """Why an animal is believed to carry an allele, or not to.

    Parameters
    ----------
    animal, locus, allele : str
        Id and keys; the allele under the key that stands for it.
    name : str
        Trade name of the allele.
    copies : tuple of three floats
        Chances of no, one and two copies.
    n_asked : int
        1 where the chance is that of carrying it at all, 2 where it is that of two copies.
    chance : float
        The chance that is explained: of at least `n_asked` copies.
    population : float
        The same chance in an animal of which nothing is known.
    steps : tuple of Ground
        The chain, from what the parents give to what the young tell; steps that move nothing are left out.
    sires : tuple of SireCase
        What it carries by each candidate sire; empty where the sire is not in doubt.
    basis : Basis
        How the chance is known.
    sentence : str
        All of it in one sentence or two.
    """

    animal: str
    locus: str
    allele: str
    name: str
    copies: Copies
    n_asked: int
    chance: float
    population: float
    steps: tuple[Ground, ...]
    sires: tuple[SireCase, ...]
    basis: Basis
    sentence: str

    def step(self, kind: str) -> Ground | None:
        """First step of a kind, None where there is none."""
        return next((step for step in self.steps if step.kind == kind), None)


def grounds_of(
    beliefs: Beliefs,
    collection: Collection,
    catalogue: Catalogue,
    animal: str,
    locus: str,
    *,
    allele: str = "",
    names: Mapping[tuple[str, str], str] | None = None,
) -> Grounds:
    """Why an animal is believed to carry what it does at a locus.

    Parameters
    ----------
    beliefs : Beliefs
        Posterior of the collection.
    collection : Collection
        Names of the animals.
    catalogue : Catalogue
        Names and looks of the genes.
    animal, locus : str
        Whom and where.
    allele : str
        Standing allele key; by default the one that the animal likeliest carries.
    names : mapping of (animal, allele) to str, optional
        Trade names to use for equivalent alleles.

    Returns
    -------
    Grounds
        Chain, basis and sentence.

    Raises
    ------
    KeyError
        If there is no such animal, or nobody said anything of the locus or the allele.

    Examples
    --------
    >>> from holdback.descent.family import Family
    >>> from holdback.heredity.beliefs.inference import infer
    >>> from holdback.heredity.beliefs.reading import evidence_of
    >>> from holdback.species.catalogue import load
    >>> rows = [{"id": "S", "genes": "Clown"}, {"id": "D", "genes": "Clown"}, {"id": "K", "sire": "S", "dam": "D"}]
    >>> records = Collection.from_frames({"animals": rows})
    >>> family = Family.from_collection(records)
    >>> found = infer(family, evidence_of(records, load(), family))
    >>> grounds_of(found, records, load(), "K", "clown").sentence
    'Both parents show Clown: two copies.'
    """
    asked = asked_of(beliefs, catalogue, animal, locus, allele=allele, names=names)
    if not isinstance(beliefs.unit_of(animal), Unit):
        return _of_sampled(beliefs, asked)
    kin = Kin(beliefs.family, animal)
    groups = groups_of(kin, beliefs.evidence.loci[locus])
    found = weighed(beliefs, animal, locus, _questions(kin, groups, asked))
    cases = by_sire(beliefs, animal, locus, asked.allele)
    telling = Telling(asked, kin, collection, found, groups, cases)
    kept = _kept(telling)
    steps = _with_sires(telling, [_ground(telling, number) for number in kept])
    chance = asked.chance(asked.copies)
    return Grounds(
        animal=animal,
        locus=locus,
        allele=asked.allele,
        name=asked.name,
        copies=asked.copies,
        n_asked=asked.n_copies,
        chance=chance,
        population=telling.chance(NOTHING),
        steps=steps,
        sires=cases,
        basis=_basis(telling, steps, chance),
        sentence=sentence_of(telling, kept),
    )


def _of_sampled(beliefs: Beliefs, asked: Asked) -> Grounds:
    """Grounds of a sampled belief: the chance alone, because no record can be left out exactly."""
    chance = asked.chance(asked.copies)
    share = float(beliefs.evidence.loci[asked.locus.key].frequencies[asked.locus.alleles.index(asked.allele)])
    what = "Two copies of " if asked.n_copies == 2 else ""
    is_born = beliefs.family.brood_of(asked.animal) is not None
    records = [one for one in asked.locus.records.get(asked.animal, ()) if one.counted]
    is_claimed = any(one.kind is RecordKind.CLAIM and asked.is_named(one) for one in records)
    other = Basis.BY_DESCENT if is_born else Basis.CLAIMED if is_claimed else Basis.ASSUMED
    return Grounds(
        animal=asked.animal,
        locus=asked.locus.key,
        allele=asked.allele,
        name=asked.name,
        copies=asked.copies,
        n_asked=asked.n_copies,
        chance=chance,
        population=share**2 if asked.n_copies == 2 else 1.0 - (1.0 - share) ** 2,
        steps=(),
        sires=(),
        basis=Basis.MEASURED if asked.shows(asked.animal) else other,
        sentence=f"{what}{asked.name}: {said(chance)}, {SAMPLED}.",
    )


def chances_without(
    beliefs: Beliefs, animal: str, locus: str, allele: str, sets: Sequence[frozenset[str]]
) -> tuple[Copies, ...]:
    """Chances of no, one and two copies with sets of records left out, one for each set.

    Parameters
    ----------
    beliefs : Beliefs
        Posterior of the collection.
    animal, locus, allele : str
        Whom, where and which.
    sets : sequence of frozenset of str
        Keys of the records at the locus to leave out.
    """
    found = weighed(beliefs, animal, locus, {("set", number): keys for number, keys in enumerate(sets)})
    return tuple(found.copies(("set", number), animal, allele) for number in range(len(sets)))


def _questions(kin: Kin, groups: Sequence[Group], asked: Asked) -> dict[Question, frozenset[str]]:
    """Everything to be asked of one locus, by the records left out."""
    every = frozenset(key for group in groups for key in group.keys)
    questions: dict[Question, frozenset[str]] = {ALL: frozenset(), NOTHING: every}
    so_far: frozenset[str] = frozenset()
    for number, group in enumerate(groups):
        so_far |= group.keys
        questions["without", number] = group.keys
        questions["alone", number] = every - group.keys
        questions["chain", number] = every - so_far
    own = frozenset(key for group in groups if group.kind in ("look", "claim", "young") for key in group.keys)
    beside = frozenset(key for group in groups if group.kind != "parents" for key in group.keys)
    questions[PARENTS], questions[ABOVE] = own, beside
    claims: dict[str, frozenset[str]] = {}
    for record in (record for group in groups for record in group.records):
        if record.kind is RecordKind.CLAIM and asked.is_named(record):
            claims[record.animal] = claims.get(record.animal, frozenset()) | {record.key}
    parents = {parent for _, parent in known_parents(kin)}
    for animal in claims.keys() & kin.ancestors:
        questions["claim", animal] = claims[animal]
        if animal in parents:
            questions["claim of parent", animal] = own | claims[animal]
            questions["claim of parent above", animal] = beside | claims[animal]
    return questions


def _kept(telling: Telling) -> tuple[int, ...]:
    """Numbers of the groups that move the chance, where they come in the chain or if they are left out at the end.

    Other kin count in the chain only: left out at the end they would take with them what is known of the mates, which
    speaks through the young.
    """
    kept = []
    before, chance = telling.chance(NOTHING), telling.chance(ALL)
    for number, group in enumerate(telling.groups):
        after = telling.chance(("chain", number))
        is_missed = group.kind != "relatives" and is_moved(telling.chance(("without", number)), chance)
        if is_missed or is_moved(before, after):
            kept.append(number)
        before = after
    return tuple(kept)


def _ground(telling: Telling, number: int) -> Ground:
    group = telling.groups[number]
    without = telling.chance(("without", number))
    return Ground(
        kind=group.kind,
        words=group_words(telling, number),
        records=tuple(record.key for record in group.records),
        animals=told_animals(telling, number),
        without=without,
        alone=telling.chance(("alone", number)),
        after=telling.chance(("chain", number)),
        weight=log_odds(telling.chance(ALL)) - log_odds(without),
    )


def _with_sires(telling: Telling, steps: Sequence[Ground]) -> tuple[Ground, ...]:
    """Chain with what other genes say of the sire put after what the parents give, where it moves the chance."""
    chance = telling.chance(ALL)
    without = sum(case.by_locus * telling.asked.chance(case.copies) for case in telling.cases)
    if not telling.cases or not is_moved(without, chance):
        return tuple(steps)
    before = [step for step in steps if step.kind in ("parents", "relatives")]
    ground = Ground(
        kind="sires",
        words=sires_words(telling),
        records=(),
        animals=tuple(case.sire for case in telling.cases if case.sire in telling.collection.animals),
        without=without,
        alone=telling.chance(NOTHING),
        after=before[-1].after if before else telling.chance(NOTHING),
        weight=log_odds(chance) - log_odds(without),
    )
    return (*before, ground, *steps[len(before) :])


def log_odds(chance: float) -> float:
    """Natural log odds of a chance, cut where it is as good as 0 or 1."""
    return math.log(max(chance, _TINY)) - math.log(max(1.0 - chance, _TINY))


def is_moved(before: float, after: float) -> bool:
    """Whether two chances differ by anything worth telling."""
    return abs(after - before) >= LEAST_POINTS or abs(log_odds(after) - log_odds(before)) >= LEAST_LOG_ODDS


def _basis(telling: Telling, steps: Sequence[Ground], chance: float) -> Basis:
    """How the chance is known; what halves the doubt, or the chance, carries it."""
    kinds = {step.kind for step in steps}
    if telling.is_settled_by_look:
        return Basis.MEASURED
    if telling.is_carried_by_claim:
        return Basis.CLAIMED
    if "young" in kinds:
        before = telling.before_young
        if before <= SURE and (chance < before / 2.0 or 1.0 - chance < (1.0 - before) / 2.0):
            return Basis.BY_OFFSPRING
    is_born_of = telling.kin.brood is not None and kinds & {"parents", "relatives", "sibs"}
    return Basis.BY_DESCENT if is_born_of else _last(kinds)


def _last(kinds: set[str]) -> Basis:
    """Basis where neither descent nor claim carries the chance."""
    if "young" in kinds:
        return Basis.BY_OFFSPRING
    return Basis.CLAIMED if "claim" in kinds else Basis.MEASURED if "look" in kinds else Basis.ASSUMED
