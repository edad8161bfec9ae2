"""What an animal's page asks of the answers: genes, tests, sires, what does not fit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from holdback.answers import Answers, KnownGenes
from holdback.errors import Fault, HoldbackError
from holdback.species.catalogue import Catalogue
from holdback.web.pages import family
from holdback.web.pages.animal_words import PRONOUN, article, noun
from holdback.web.pages.conflict_words import Misfit, misfits_of
from holdback.web.pages.gene_words import claims_in_words, looks_in_words
from holdback.web.pages.settling import doubtful_alleles, gene_tests
from holdback.web.pages.wording import SURE, WORTH_TELLING
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records.models import Animal


@dataclass(frozen=True)
class Known:
    """What is known of an animal, or why nothing can be said.

    Parameters
    ----------
    name : str
        Its id in the engine.
    answers : Answers or None
        Over the whole collection.
    genes : KnownGenes or None
        What it carries.
    working : Working or None
        The job that works it out.
    faults : tuple of Fault
        Why the records cannot be used.
    """

    name: str
    answers: Answers | None = None
    genes: KnownGenes | None = None
    working: Working | None = None
    faults: tuple[Fault, ...] = ()


def known_of(one: Animal) -> Known:
    """What is known of an animal by all records."""
    name = family.record_id(one)
    try:
        found = answers_or_work(one.species)
        if isinstance(found, Working):
            return Known(name, working=found)
        return Known(name, found, found.genes(name))
    except HoldbackError as error:
        return Known(name, faults=error.faults)


def as_written(one: Animal, catalogue: Catalogue) -> str:
    """What is written of an animal, where what follows from all records is not worked out."""
    shows = looks_in_words(one.looks.all(), catalogue)
    said = claims_in_words(one.claims.filter(none__lt=1), catalogue)
    she = PRONOUN.get(one.sex, "It")
    head = f"{article(noun(one.sex))} {noun(one.sex)}"
    parts = [f"written as {shows}" if shows else "", f"said to be {said}" if said and said != shows else ""]
    words = ", ".join(part for part in parts if part)
    return f"{head}, {words}." if words else f"{head}. {she} has no gene noted."


def carries_gloss(in_play: int, known: int) -> str:
    """How many genes are in play, and that nothing is known of the rest."""
    if not in_play:
        return ""
    return (
        f"{in_play} {'gene' if in_play == 1 else 'genes'} in play, by all records: its own, its kin's and its young's. "
        f"Of the other {known - in_play} in the almanac no record says more than chance would."
    )


def gene_cautions(genes: KnownGenes, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Welfare statements about genes that the animal carries, or may carry."""
    found = []
    for locus in genes.belief.loci:
        for allele in catalogue.loci[locus].alleles:
            none, _, two = genes.belief.copies(locus, allele)
            for flag in catalogue.alleles[allele].flags:
                chance = two if flag.copies == 2 else 1 - none
                if chance >= WORTH_TELLING:
                    name = catalogue.alleles[allele].name
                    word = name if chance >= SURE else f"May carry {name}"
                    found.append((f"{word}: {flag.kind}", f"{flag.text} ({flag.mark})"))
    return found


def settling(known: Known, one: Animal, catalogue: Catalogue, *, is_asked: bool) -> dict[str, Any]:
    """Which mates would settle what the animal may carry; `has_tests` where the page asks for it afterwards.

    Parameters
    ----------
    known : Known
        What is known of the animal.
    one : Animal
        The animal.
    catalogue : Catalogue
        Classes of the genes.
    is_asked : bool
        Whether to work it out now.
    """
    if known.answers is None or known.genes is None:
        return {"has_tests": False}
    alleles = doubtful_alleles(known.genes, one, catalogue)
    if not is_asked:
        return {"has_tests": bool(alleles)}
    return {"has_tests": bool(alleles), "tests": gene_tests(known.answers, known.name, alleles)}


def sire_odds(known: Known, one: Animal) -> dict[str, float]:
    """Chance of each candidate sire by the genes of the clutch; empty where there are not several."""
    if known.answers is None:
        return {}
    brood = known.answers.family.brood_of(known.name)
    if brood is None or not brood.is_uncertain:
        return {}
    odds = known.answers.beliefs.sires_by_egg(brood.key)[known.name]
    return {candidate.sire: candidate.posterior for candidate in odds}


def conflicts_on(known: Known, *, is_asked: bool = False) -> dict[str, Any]:
    """What does not fit this animal; `is_late` where it is not worked out and the page asks for it afterwards.

    Parameters
    ----------
    known : Known
        What is known of the animal.
    is_asked : bool
        True works it out if that can be done at once.
    """
    if known.answers is None:
        return {"misfits": [], "is_late": False}
    answers = known.answers
    if "conflicts" not in vars(answers):
        if not is_asked:
            return {"misfits": [], "is_late": True}
        found = answers_or_work(answers.catalogue.key, conflicts=True)
        if isinstance(found, Working):
            return {"misfits": [], "is_late": False, "working_misfits": found}
        answers = found
    concerned = [conflict for conflict in answers.conflicts if known.name in conflict.animals]
    said: list[Misfit] = misfits_of(concerned, answers)
    return {"misfits": said, "is_late": False}
