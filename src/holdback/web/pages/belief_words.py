"""What an animal carries as belief rows: bars, odds, the trade's label, and why step by step."""

from __future__ import annotations

from collections.abc import Iterator

from holdback.answers import KnownGenes
from holdback.collection.estimate import Basis
from holdback.species.catalogue import Catalogue
from holdback.species.model import Inheritance
from holdback.web.pages.components import BeliefRow, Step
from holdback.web.pages.wording import SURE, WORTH_TELLING, about, het_percent, percent

NUMBER_SETTLED = 0.98
"""Chance from which the number of copies is said plainly, once it is sure that the gene is there."""

Copies = tuple[float, float, float]


def belief_rows(genes: KnownGenes, catalogue: Catalogue, gene_url: str) -> list[BeliefRow]:
    """What the animal carries, surest first.

    Parameters
    ----------
    genes : KnownGenes
        Belief and reasons.
    catalogue : Catalogue
        Names and classes.
    gene_url : str
        Address of a gene's page with ``KEY`` for the key.
    """
    rows = [
        _row(genes, allele, catalogue, copies).linked(gene_url.replace("KEY", allele))
        for allele, copies in told_alleles(genes, catalogue)
    ]
    return sorted(rows, key=lambda row: row.copies[0])


def told_alleles(genes: KnownGenes, catalogue: Catalogue) -> Iterator[tuple[str, Copies]]:
    """Alleles that the animal carries with a chance worth telling, with the chances of no, one and two copies."""
    for locus in genes.belief.loci:
        for allele in catalogue.loci[locus].alleles:
            copies = genes.belief.copies(locus, allele)
            if 1 - copies[0] >= WORTH_TELLING:
                yield allele, copies


def _row(genes: KnownGenes, allele: str, catalogue: Catalogue, copies: Copies) -> BeliefRow:
    entry = catalogue.alleles[allele]
    reason = genes.reasons.get(entry.locus)
    is_told = reason is not None and reason.allele == allele
    basis = reason.basis if reason else Basis.ASSUMED
    is_recessive = entry.inheritance is Inheritance.RECESSIVE
    odds, verb = _odds(copies, is_recessive=is_recessive)
    return BeliefRow(
        entry.name,
        copies,
        odds,
        verb,
        label=_label(copies, basis, is_recessive=is_recessive),
        basis=basis,
        word="seen" if basis is Basis.MEASURED else "",
        why=reason.sentence if reason and is_told else f"Shares its place with {reason.name}." if reason else "",
        steps=_steps(genes, entry.locus) if is_told else (),
    )


def _odds(copies: Copies, *, is_recessive: bool) -> tuple[str, str]:
    """Odds and verb; a thing counts as sure from `SURE`, since no record is beyond error."""
    some = copies[1] + copies[2]
    verb = "carries it" if is_recessive else "has it"
    if some >= SURE:
        return _number(copies) or "one copy or two", ""
    return ("all but certain", "") if some >= NUMBER_SETTLED else (about(some), verb)


def _number(copies: Copies) -> str:
    """The number of copies where it is settled, given that there are any; else empty."""
    if copies[2] >= NUMBER_SETTLED:
        return "two copies"
    return "one copy" if copies[1] >= NUMBER_SETTLED else ""


def _label(copies: Copies, basis: Basis, *, is_recessive: bool) -> str:
    """The trade's label; what rests on a claim alone says so."""
    tail = ", as claimed" if basis is Basis.CLAIMED else ""
    some = copies[1] + copies[2]
    if some >= SURE and not _number(copies):
        return f"two copies {about(copies[2])}{tail}"
    if is_recessive and copies[2] <= copies[1]:
        return f"{het_percent(some)} het{tail}"
    return tail.removeprefix(", ")


def _steps(genes: KnownGenes, locus: str) -> tuple[Step, ...]:
    """How the chance came about, from an animal of which nothing is known to all records together."""
    reason = genes.reasons[locus]
    what = "has two copies" if reason.n_asked == 2 else "carries it"
    first = Step(f"Of an animal of which nothing is known: {percent(reason.population)} {what}.", "", "")
    told = [
        Step(f"{step.words[:1].upper()}{step.words[1:]}.", percent(step.after), percent(step.alone))
        for step in reason.steps
    ]
    return (first, *told) if told else ()
