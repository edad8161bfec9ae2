"""What an animal carries by its own record and by its recorded parents.

One pass from the oldest ancestor down, locus by locus: the parents' beliefs give the prior, the animal's own look and
the claims on it come on top, what is stated of single genes over the genes as typed. Offspring and clutch mates are not
counted here, and two parents are taken as independent; both are said as assumptions wherever such a belief is used.

Notation: a belief at a locus is a mapping of unordered pair to probability.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from holdback.answers.gametes import child_pairs, y_phase
from holdback.answers.statements import (
    Told,
    absence_in_words,
    claims_in_words,
    missed_chance,
    shown_in_words,
    told_by_locus,
    variants,
    with_statements,
)
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.collection.model import NO_SIRE, Animal, Sex
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief
from holdback.heredity.shorthand import ReadGene, Reading
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Ease, Pair

PairOddsAt = Mapping[Pair, float]

UNREMARKABLE = 1e-9
"""Chance below which a locus is taken as wild type and not listed."""


@dataclass(frozen=True, slots=True)
class RecordedGenes:
    """What is known of one animal from its own record and its recorded ancestors.

    Parameters
    ----------
    belief : GenotypeBelief
        Probabilities at every locus where something is known or inherited.
    grounds : mapping of str to str
        Locus key to one sentence that says why.
    reading : Reading
        The animal's own gene text as read.
    """

    belief: GenotypeBelief
    grounds: Mapping[str, str]
    reading: Reading


def recorded_genes(
    collection: Collection, catalogue: Catalogue, animal_id: str, known: dict[str, RecordedGenes]
) -> RecordedGenes:
    """Genes of one animal by record and by descent.

    Parameters
    ----------
    collection : Collection
        Records; only the animal and its ancestors are read.
    catalogue : Catalogue
        Species with the keeper's own genes.
    animal_id : str
        Id of an animal of the collection.
    known : dict of str to RecordedGenes
        Answers so far; ancestors worked out on the way are added.

    Returns
    -------
    RecordedGenes
        Belief, grounds and reading.

    Raises
    ------
    KeyError
        If the animal is not in the collection.

    Notes
    -----
    Candidate sires are mixed by weight, the rest of the weight is an unknown wild-type sire. Exact for one animal with
    unrelated parents and no young; an approximation under inbreeding (parents are taken as independent).
    """
    for each in _ancestors_first(collection, animal_id, known):
        told = told_by_locus(collection.statements_of(each), catalogue)
        known[each] = _from_parents(collection.animals[each], catalogue, known, told=told)
    return known[animal_id]


def _ancestors_first(collection: Collection, animal_id: str, known: Mapping[str, RecordedGenes]) -> list[str]:
    """Ids of the animal and its ancestors not yet known, parents before offspring."""
    order: list[str] = []
    done: set[str] = set(known)
    stack = [(animal_id, False)]
    while stack:
        current, parents_done = stack.pop()
        if parents_done:
            order.append(current)
        elif current not in done:
            done.add(current)
            stack.append((current, True))
            stack.extend((parent, False) for parent in _parents(collection.animals[current]) if parent not in done)
    return order


def _parents(animal: Animal) -> list[str]:
    """Ids of all recorded parents, candidates included."""
    sires = [candidate.animal for candidate in animal.sires if candidate.animal != NO_SIRE]
    return sires + ([animal.dam] if animal.dam else [])


def _from_parents(
    animal: Animal, catalogue: Catalogue, known: Mapping[str, RecordedGenes], *, told: Mapping[str, Sequence[Told]]
) -> RecordedGenes:
    """Belief of one animal whose recorded parents are known."""
    from holdback.heredity.shorthand import read

    reading = read(animal.genes, catalogue)
    own = reading.belief(catalogue)
    loci = dict.fromkeys([*own.loci, *told, *_inheritable(animal, known)])
    sex = animal.sex if animal.sex is not Sex.UNKNOWN else own.sex
    pairs: dict[str, PairOddsAt] = {}
    phase: dict[str, float] = {}
    basis: dict[str, Basis] = {}
    grounds: dict[str, str] = {}
    for locus in loci:
        descent = _by_descent(animal, locus, sex, catalogue, known)
        answer = _as_told(locus, reading, told.get(locus, ()), descent, catalogue)
        if answer.pairs.get(WILD_PAIR, 0.0) >= 1.0 - UNREMARKABLE:
            continue
        pairs[locus], basis[locus] = answer.pairs, answer.basis
        ground = answer.ground or _parents_in_words(animal, locus, catalogue, known)
        grounds[locus] = f"{ground} {absence_in_words(told.get(locus, ()))}".strip()
        if catalogue.loci[locus].sex_linkage and catalogue.is_heterogametic(sex):
            phase[locus] = own.phase.get(locus, y_phase(animal, locus, catalogue, known))
    belief = GenotypeBelief(sex=sex, loci=pairs, phase=phase, basis=basis)
    return RecordedGenes(belief=belief, grounds=grounds, reading=reading)


def _described(reading: Reading) -> bool:
    """Whether somebody wrote what the animal looks like, so that a look not named counts as not seen."""
    return any(gene.shown for gene in reading.genes) or "normal" in reading.status


def _inheritable(animal: Animal, known: Mapping[str, RecordedGenes]) -> list[str]:
    """Loci at which some recorded parent may carry something."""
    return [locus for parent in _parents(animal) for locus in known[parent].belief.loci]


def _by_descent(
    animal: Animal, locus: str, sex: Sex, catalogue: Catalogue, known: Mapping[str, RecordedGenes]
) -> PairOddsAt | None:
    """Prior by the recorded parents, None where no parent is recorded; an unrecorded parent counts as wild type."""
    if not _parents(animal) or any(candidate.animal == NO_SIRE for candidate in animal.sires):
        return None
    dam = known[animal.dam].belief if animal.dam else GenotypeBelief(sex=Sex.FEMALE)
    weighted = [(candidate.weight, known[candidate.animal].belief) for candidate in animal.sires]
    rest = 1.0 - sum(weight for weight, _ in weighted)
    if rest > UNREMARKABLE:
        weighted.append((rest, GenotypeBelief(sex=Sex.MALE)))
    mixed: dict[Pair, float] = {}
    for weight, sire in weighted:
        for alleles, probability in child_pairs(sire, dam, locus, sex, catalogue).items():
            mixed[alleles] = mixed.get(alleles, 0.0) + weight * probability
    return _scaled(mixed, lambda alleles: 1.0 - catalogue.lethality(locus, alleles)) or mixed


@dataclass(frozen=True, slots=True)
class _LocusAnswer:
    pairs: PairOddsAt
    basis: Basis
    ground: str


def _as_told(
    locus: str, reading: Reading, told: Sequence[Told], descent: PairOddsAt | None, catalogue: Catalogue
) -> _LocusAnswer:
    """Belief at one locus, mixed over the statements that may hold; basis and ground are those of all of them."""
    answers = [
        (weight, _with_told(locus, reading, kept, descent, catalogue=catalogue)) for weight, kept in variants(told)
    ]
    first = answers[0][1]
    if len(answers) == 1:
        return first
    mixed: dict[Pair, float] = {}
    for weight, answer in answers:
        for alleles, probability in answer.pairs.items():
            mixed[alleles] = mixed.get(alleles, 0.0) + weight * probability
    return _LocusAnswer(mixed, first.basis, first.ground)


def _with_told(
    locus: str, reading: Reading, told: Sequence[Told], descent: PairOddsAt | None, *, catalogue: Catalogue
) -> _LocusAnswer:
    """Belief at one locus if all these statements hold."""
    full = with_statements(reading, told, catalogue) if told else reading
    own = full.belief(catalogue)
    said = [gene for gene in full.genes if catalogue.alleles[gene.allele].locus == locus]
    unseen = _scaled(descent or {}, lambda alleles: missed_chance(locus, alleles, told, catalogue)) or descent
    return _at_locus(locus, own, said, unseen, catalogue, described=_described(reading))


def _at_locus(
    locus: str,
    own: GenotypeBelief,
    said: list[ReadGene],
    descent: PairOddsAt | None,
    catalogue: Catalogue,
    *,
    described: bool,
) -> _LocusAnswer:
    """Belief at one locus: the look seen, then what descent says, then what is claimed."""
    written = own.at(locus)
    shown = [gene for gene in said if gene.shown]
    if shown:
        words = shown_in_words(shown)
        looks = {catalogue.look(locus, alleles).key for alleles, odds in written.items() if odds > 0}
        narrowed = _scaled(descent or {}, lambda alleles: float(catalogue.look(locus, alleles).key in looks))
        if descent is not None and narrowed is None:
            return _LocusAnswer(written, Basis.MEASURED, f"{words}; the recorded parents cannot give it.")
        return _LocusAnswer(narrowed or written, Basis.MEASURED, f"{words}.")
    certain = said and written.get(WILD_PAIR, 0.0) <= UNREMARKABLE
    unseen = _scaled(descent or {}, lambda alleles: _not_seen(locus, alleles, catalogue) if described else 1.0)
    inherited = unseen is not None and unseen.get(WILD_PAIR, 0.0) < 1.0 - UNREMARKABLE
    sure_by_descent = unseen is not None and unseen.get(WILD_PAIR, 0.0) <= UNREMARKABLE
    if inherited and unseen is not None and (sure_by_descent or not certain):
        return _LocusAnswer(unseen, Basis.BY_DESCENT, "")
    return _LocusAnswer(written, Basis.CLAIMED, claims_in_words(said))


def _not_seen(locus: str, alleles: Pair, catalogue: Catalogue) -> float:
    """Chance that a pair's look goes without mention in a described animal.

    1 where nothing shows; 0 where a plain look shows, which nobody leaves out; the rate at which it is missed where the
    look is subtle or hard to tell.
    """
    look = catalogue.look(locus, alleles)
    if not look.label:
        return 1.0
    if look.ease is Ease.PLAIN:
        return 0.0
    return max((catalogue.alleles[allele].missed for allele in alleles if allele != WILD), default=0.0)


def _scaled(odds: PairOddsAt, weight: Callable[[Pair], float]) -> PairOddsAt | None:
    """Odds reweighted and brought to sum 1; None where nothing is left."""
    weighted = {alleles: probability * weight(alleles) for alleles, probability in odds.items()}
    total = sum(weighted.values())
    if total <= 0.0:
        return None
    return {alleles: probability / total for alleles, probability in weighted.items() if probability > 0.0}


def _parents_in_words(animal: Animal, locus: str, catalogue: Catalogue, known: Mapping[str, RecordedGenes]) -> str:
    """One sentence that names what the recorded parents bring at a locus."""
    parts = []
    for role, parent in [("sire", each.animal) for each in animal.sires] + (
        [("dam", animal.dam)] if animal.dam else []
    ):
        if parent == NO_SIRE or parent not in known:
            continue
        odds = known[parent].belief.at(locus)
        carried = 1.0 - odds.get(WILD_PAIR, 0.0)
        if carried <= UNREMARKABLE:
            continue
        shows = sum(share for alleles, share in odds.items() if catalogue.look(locus, alleles).label)
        verb = (
            "shows it" if shows > 1 - UNREMARKABLE else "carries it" if carried > 1 - UNREMARKABLE else "may carry it"
        )
        parts.append(f"{role} {parent} {verb}")
    text = " and ".join(parts)
    return f"{text[:1].upper()}{text[1:]}." if text else ""
