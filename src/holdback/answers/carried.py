"""What animals carry, gene by gene under the trade names: what the command `beliefs` and the API give."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from holdback.errors import CollectionError, Fault
from holdback.heredity.beliefs.beliefs import BACKGROUND, is_worth_telling
from holdback.heredity.genotype import WILD_PAIR
from holdback.species.model import WILD

if TYPE_CHECKING:
    from holdback.answers.answers import Answers
    from holdback.answers.grounds import Ground, Grounds
    from holdback.collection.model import Animal

Copies = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class CarriedGene:
    """One gene of one animal.

    Parameters
    ----------
    locus, allele : str
        Keys; the allele under the key that stands for it.
    name : str
        Trade name.
    copies : tuple of three floats
        Chances of no, one and two copies, summing to 1.
    """

    locus: str
    allele: str
    name: str
    copies: Copies

    @property
    def chance(self) -> float:
        """Chance of at least one copy."""
        return self.copies[1] + self.copies[2]

    def as_json(self) -> dict[str, float]:
        """Chances by number of copies."""
        return dict(zip("012", self.copies, strict=True))


def animals_asked(answers: Answers, texts: Sequence[str]) -> tuple[Animal, ...]:
    """Animals by id or name.

    Raises
    ------
    CollectionError
        BEL-001 for each text that is no animal, all together.
    CrossError
        If several animals bear a name.
    """
    found = [(text, answers.find(text)) for text in texts]
    faults = [
        Fault("BEL-001", f"There is no animal {text.strip()!r}.", "Give an id, or a name on record.", value=text)
        for text, animal in found
        if animal is None
    ]
    if faults:
        raise CollectionError(faults)
    return tuple(animal for _, animal in found if animal is not None)


def carried(answers: Answers, animal: str) -> tuple[CarriedGene, ...]:
    """Genes for which something on record speaks in an animal, in the order of the species file.

    Genes that it may carry no more than any animal of unknown descent are left out.

    Raises
    ------
    KeyError
        If there is no such animal.
    """
    return tuple(
        gene
        for key, locus in answers.beliefs.evidence.loci.items()
        for gene in _genes_at(answers, animal, key)
        if is_worth_telling(locus, gene.allele, gene.chance)
    )


def _genes_at(answers: Answers, animal: str, locus: str) -> Iterator[CarriedGene]:
    pairs = answers.beliefs.at(animal, locus)
    if pairs.get(WILD_PAIR, 0.0) > 1.0 - BACKGROUND:
        return
    for allele in answers.beliefs.evidence.loci[locus].alleles:
        if allele != WILD:
            odds = [0.0, 0.0, 0.0]
            for pair, chance in pairs.items():
                odds[pair.count(allele)] += chance
            name = answers.names.get((animal, allele)) or answers.catalogue.alleles[allele].name
            yield CarriedGene(locus, allele, name, (odds[0], odds[1], odds[2]))


def grounds_of_genes(answers: Answers, animal: str) -> Iterator[tuple[CarriedGene, Grounds]]:
    """Each gene that an animal may carry, with the records that moved the belief."""
    for gene in carried(answers, animal):
        yield gene, answers.grounds(animal, gene.locus, allele=gene.allele)


def animal_as_json(answers: Answers, animal: str) -> dict[str, Any]:
    """One animal: ``genes``, the sentence on each (``grounds``) and the chain behind it (``steps``)."""
    found = list(grounds_of_genes(answers, animal))
    return {
        "id": animal,
        "genes": {gene.name: gene.as_json() for gene, _ in found},
        "grounds": {gene.name: why.sentence for gene, why in found},
        "basis": {gene.name: str(why.basis) for gene, why in found},
        "steps": {gene.name: [_step(step) for step in why.steps] for gene, why in found},
        "exact": answers.beliefs.exact,
        "standard_error": answers.beliefs.standard_error,
    }


def _step(step: Ground) -> dict[str, Any]:
    """One group of records in the chain."""
    names = ("kind", "words", "records", "animals", "without", "alone", "after", "weight")
    values = {name: getattr(step, name) for name in names}
    return {name: list(value) if isinstance(value, tuple) else value for name, value in values.items()}


def beliefs_as_json(
    answers: Answers, animals: Sequence[str] = (), *, why: bool = False, conflicts: bool = True
) -> dict[str, Any]:
    """What animals carry by all records: the keys of `holdback beliefs`, numbers unrounded.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    animals : sequence of str
        Ids or names; all animals where there are none.
    why : bool
        Also say why, gene by gene, where no animal is named; it always does for those that are.
    conflicts : bool
        Whether to look for records that cannot be true together, which takes far longer than the rest; ``conflicts`` is
        null where it is not.

    Raises
    ------
    CollectionError
        BEL-001 for each text that is no animal.
    CrossError
        If several animals bear a name.

    Notes
    -----
    With animals named, the conflicts are those that concern one of them.
    """
    asked = [animal.id for animal in animals_asked(answers, animals)]
    ids = asked or list(answers.collection.animals)
    answer: dict[str, Any] = {
        "animals": {one: {gene.name: gene.as_json() for gene in carried(answers, one)} for one in ids},
        "conflicts": conflicts_as_json(answers, asked) if conflicts else None,
        "log_likelihood": answers.beliefs.log_likelihood,
        "exact": answers.beliefs.exact,
        "standard_error": answers.beliefs.standard_error,
    }
    if asked or why:
        answer["grounds"] = {
            one: {gene.name: reason.sentence for gene, reason in grounds_of_genes(answers, one)} for one in ids
        }
    return answer


def conflicts_as_json(answers: Answers, animals: Sequence[str] = ()) -> list[dict[str, Any]]:
    """Records that cannot all be true, worst first; of some animals only, where they are named."""
    wanted = set(animals)
    return [one.as_json() for one in answers.conflicts if not wanted or wanted & set(one.animals)]
