"""Conflicts of single records, put into words: looks, claims and sexes that the relatives speak against."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from holdback.answers.conflicts.conflict import Conflict, Explanation, Kind
from holdback.answers.conflicts.screening import OddRecord, OddSex
from holdback.answers.conflicts.wording import listed, named, percent, verb
from holdback.collection.collection import Collection
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import RecordKind
from holdback.heredity.beliefs.texts import text_genes
from holdback.species.catalogue import Catalogue
from holdback.species.model import WILD, Allele, pair

_SETTLED = 0.9
_NOT_NAMED = "not named"
"""Words by which the species file marks a gene of a group whose line is not said."""


def record_conflict(odd: OddRecord, collection: Collection, catalogue: Catalogue, beliefs: Beliefs) -> Conflict:
    """Conflict of a look or a claim that is probably wrong."""
    animal, record = odd.record.animal, odd.record
    name = named(collection, animal)
    is_look = record.kind is RecordKind.LOOK
    against = [] if record.wrong[0, 0] else _relatives_showing(beliefs, animal, odd.locus)
    now = _likeliest(beliefs, catalogue, odd) or f"without {_gene(odd, catalogue, beliefs)}"
    chance = percent(odd.wrong)
    is_told = record.words.startswith(("described", "said"))
    message = f"{name} is {record.words}" if is_told else f"{name} {record.words}"
    message += f", which does not fit its relatives: by all records it is {now} ({chance})"
    message += f"; {listed(against)} {verb(len(against), 'shows', 'show')} it." if against else "."
    gene = now if against else _gene(odd, catalogue, beliefs)
    look_again = f"Look at {name} again for {gene}, in daylight, beside one that surely has it."
    if is_look:
        words = f"The look of {name} was written down wrongly."
        fix = f"After looking again write {now} in the genes of {animal}."
        found = Explanation(Kind.LOOK, words, odd.wrong, fix, f"animal {animal}", "genes", now, look_again)
    else:
        words = f"The claim on {name} does not fit."
        fix = f"Write the claim as not confirmed, or take it out of the genes of {animal}."
        settle = f"Breeding {name} to one that shows the gene, or a shed test, settles it."
        found = Explanation(Kind.CLAIM, words, odd.wrong, fix, f"animal {animal}", "genes", "", settle)
    code = "CNF-010" if is_look else "CNF-011"
    return Conflict(code, (animal, *against), odd.locus, message, odd.wrong, (found,), (f"First: {found.settles}",))


def sex_conflict(odd: OddSex, collection: Collection, catalogue: Catalogue) -> Conflict:
    """Conflict of a recorded sex."""
    animal = collection.animals[odd.animal]
    name, gene = named(collection, odd.animal), catalogue.loci[odd.locus].name
    other = "female" if animal.sex == "male" else "male"
    message = (
        f"{name} is written as {animal.sex}; by what it shows of the {gene}, which goes with sex, it is {other} with a "
        f"chance of {percent(odd.wrong)}."
    )
    settle = f"Probe {name} again, or look at the shed."
    words = f"{name} is {other}."
    fix = f"After probing again write {other} as the sex of {odd.animal}."
    found = Explanation(Kind.SEX, words, odd.wrong, fix, f"animal {odd.animal}", "sex", other, settle)
    return Conflict("CNF-012", (odd.animal,), odd.locus, message, odd.wrong, (found,), (f"First: {settle}",))


def line_conflicts(collection: Collection, catalogue: Catalogue, beliefs: Beliefs) -> Iterator[Conflict]:
    """Animals whose text leaves out the line of a gene, and whose relatives tell it."""
    for animal in collection.animals.values():
        text = text_genes(animal.genes, catalogue)
        for locus, here in text.loci.items():
            for allele in _unnamed(locus, catalogue):
                if any(claim.gene.allele == allele for claim in here.claims):
                    yield from _line(animal.id, allele, collection, catalogue, beliefs)


def _unnamed(locus: str, catalogue: Catalogue) -> list[str]:
    alleles = catalogue.loci[locus].alleles if locus in catalogue.loci else ()
    return [key for key in alleles if _NOT_NAMED in catalogue.alleles[key].name]


def _line(
    animal: str, allele: str, collection: Collection, catalogue: Catalogue, beliefs: Beliefs
) -> Iterator[Conflict]:
    for other in catalogue.alleles.values():
        is_line = _is_line_of(other, allele, catalogue) and other.locus in beliefs.evidence.loci
        if is_line and other.key in beliefs.evidence.loci[other.locus].alleles:
            chance = sum(beliefs.copies(animal, other.locus, other.key)[1:])
            if chance >= _SETTLED:
                name = named(collection, animal)
                young = _relatives_showing(beliefs, animal, other.locus)
                message = f"{name} is written without the line; {listed(young) if young else 'its relatives'} "
                message += f"{verb(len(young), 'shows', 'show')} {other.name}, so it carries {other.name}."
                fix = f"Write {other.name} in the genes of {animal}."
                words = f"{name} carries {other.name} ({percent(chance)})."
                settle = "Ask whoever bred it for the line."
                found = Explanation(Kind.CARRIER, words, chance, fix, f"animal {animal}", "genes", other.name, settle)
                yield Conflict("CNF-013", (animal, *young), other.locus, message, chance, (found,))


def _is_line_of(other: Allele, allele: str, catalogue: Catalogue) -> bool:
    """Whether the last word of a gene's name means, alone, the gene whose line is not named."""
    found = catalogue.find(other.name.split()[-1])
    return other.key != allele and isinstance(found, Allele) and found.key == allele


def _relatives_showing(beliefs: Beliefs, animal: str, locus: str) -> list[str]:
    """Young of an animal, else clutch mates, that are written with a gene of a locus."""
    family, records = beliefs.family, beliefs.evidence.loci[locus].records
    young = [one for brood in family.broods_of_parent.get(animal, ()) for one in brood.young]
    brood = family.brood_of(animal)
    mates = [one for one in brood.young if one != animal] if brood else []
    for group in (young, mates):
        found = [
            one
            for one in group
            if any(each.kind is RecordKind.LOOK and each.wrong[0, 0] for each in records.get(one, ()))
        ]
        if found:
            return found
    return []


def _gene(odd: OddRecord, catalogue: Catalogue, beliefs: Beliefs) -> str:
    """Gene that a record names; the locus where it names none."""
    locus = beliefs.evidence.loci[odd.locus]
    place = np.unravel_index(int(np.argmax(odd.record.likelihood)), odd.record.likelihood.shape)
    names = [catalogue.alleles[locus.alleles[number]].name for number in place if number]
    return names[0] if names else catalogue.loci[odd.locus].name


def _likeliest(beliefs: Beliefs, catalogue: Catalogue, odd: OddRecord) -> str:
    """What the animal is if the record is wrong: its look, else what it carries; empty for the wild type."""
    number = {allele: index for index, allele in enumerate(beliefs.evidence.loci[odd.locus].alleles)}
    odds = beliefs.at(odd.record.animal, odd.locus)
    best = max(odds, key=lambda each: odds[each] * odd.record.wrong[number[each[0]], number[each[1]]])
    look = catalogue.look(odd.locus, best)
    if look.label:
        return look.label
    named_alleles = [catalogue.alleles[key].name for key in best if key != WILD]
    return f"het {named_alleles[0]}" if named_alleles and best != pair(WILD, WILD) else ""
