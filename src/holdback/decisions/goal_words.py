"""A goal as a sentence, in parts, so that a page can set what the keeper chose apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal, GoalGene, SizeAim, Target
from holdback.decisions.kind_words import listed, percent
from holdback.decisions.wanting import targets_of
from holdback.species.model import WILD, pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_NUMBERS = ("", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")
_SHARES = {0.25: "a quarter", 0.5: "half", 0.75: "three quarters", 1.0: "all"}


@dataclass(frozen=True, slots=True)
class Piece:
    """Part of a sentence: its text, and whether it is something that the keeper chose."""

    text: str
    is_chosen: bool = False


def goal_sentence(goal: Goal, catalogue: Catalogue) -> tuple[Piece, ...]:
    """Goal as one sentence.

    Parameters
    ----------
    goal : Goal
        What the keeper wants.
    catalogue : Catalogue
        Species.

    Returns
    -------
    tuple of Piece
        Texts joined as they stand give the sentence.

    Raises
    ------
    DecisionError
        If the goal cannot be read; see `targets_of`.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> goal = Goal("Large", "female Clown Enchi", line="Ember", share_at_least=0.5, by=2031)
    >>> "".join(piece.text for piece in goal_sentence(goal, load()))
    'A Clown Enchi female, at least half Ember by pedigree, inbred no more than 12.5 %, by the 2031 season.'
    """
    targets = targets_of(goal, catalogue)
    found = _head(goal, targets, catalogue)
    for part in _parts(goal, targets[0]):
        found += [Piece(", "), *part]
    return (*found, Piece("."))


def goal_limits(goal: Goal) -> tuple[str, ...]:
    """What else a goal says, a sentence each: what a year is worth, and what it rules out."""
    said = []
    if goal.year_worth_eggs > 0.0:
        said.append(f"A year sooner is worth {goal.year_worth_eggs:g} eggs to you.")
    said.append(
        "Nothing lethal, and nothing marked for welfare, but what you have spoken for."
        if goal.accepted
        else "Nothing lethal or marked for welfare."
    )
    return tuple(said)


def _head(goal: Goal, targets: Sequence[Target], catalogue: Catalogue) -> list[Piece]:
    """Number, genes that are asked for in any case, and sex."""
    sure = [gene for gene in targets[0].genes if _is_sure(gene, targets)]
    genes = " ".join(_name(gene, catalogue) for gene in sorted(sure, key=_is_carried))
    noun = {Sex.MALE: "male", Sex.FEMALE: "female", Sex.UNKNOWN: "animal"}[targets[0].sex]
    if goal.number == 1:
        first = (genes or noun)[0].lower()
        return [Piece("An " if first in "aeiou" else "A "), *_chosen(genes, noun)]
    number = _NUMBERS[goal.number] if goal.number < len(_NUMBERS) else str(goal.number)
    return [Piece(number, is_chosen=True), Piece(" "), *_chosen(genes, f"{noun}s")]


def _chosen(genes: str, noun: str) -> list[Piece]:
    return [Piece(genes, is_chosen=True), Piece(f" {noun}")] if genes else [Piece(noun, is_chosen=True)]


def _is_sure(gene: GoalGene, targets: Sequence[Target]) -> bool:
    """Whether a gene is asked for by every choice."""
    return gene.copies > 0 and all(any(one.alleles == gene.alleles for one in each.genes) for each in targets)


def _is_carried(gene: GoalGene) -> bool:
    return gene.is_hidden and gene.copies == 1


def _name(gene: GoalGene, catalogue: Catalogue) -> str:
    if gene.is_hidden:
        return gene.name if gene.copies == 2 else f"het {gene.name}"
    if gene.copies == 1:
        return gene.name
    allele = next(key for key in sorted(gene.alleles) if catalogue.alleles[key].name == gene.name)
    two = catalogue.look(gene.locus, (allele, allele))
    one = catalogue.look(gene.locus, pair(WILD, allele))
    return two.label if two.key != one.key else f"two-copy {gene.name}"


def _parts(goal: Goal, target: Target) -> Iterator[list[Piece]]:
    if goal.some_least < len(goal.some_of):
        number = _NUMBERS[goal.some_least].lower() if goal.some_least < len(_NUMBERS) else str(goal.some_least)
        yield [Piece(f"with at least {number} of "), Piece(listed(goal.some_of), is_chosen=True)]
    refused = [gene.name for gene in target.genes if gene.copies == 0]
    if refused:
        yield [Piece("without "), Piece(listed(refused, last="or"), is_chosen=True)]
    if goal.line:
        yield _line(goal)
    yield from _size(goal)
    if goal.inbreeding_at_most < 1.0:
        yield (
            [Piece("inbred no more than "), Piece(percent(goal.inbreeding_at_most), is_chosen=True)]
            if goal.inbreeding_at_most > 0.0
            else [Piece("not inbred", is_chosen=True)]
        )
    if goal.by:
        yield [Piece("by the "), Piece(str(goal.by), is_chosen=True), Piece(" season")]
    yield from _means(goal)


def _line(goal: Goal) -> list[Piece]:
    if goal.share_at_least <= 0.0:
        return [Piece("of "), Piece(goal.line, is_chosen=True), Piece(" as far as may be")]
    share = _SHARES.get(goal.share_at_least, percent(goal.share_at_least))
    least = "" if goal.share_at_least >= 1.0 else "at least "
    return [Piece(least), Piece(f"{share} {goal.line}", is_chosen=True), Piece(" by pedigree")]


def _size(goal: Goal) -> Iterator[list[Piece]]:
    size = goal.size
    if size.aim is SizeAim.BIGGER:
        yield [Piece("the bigger the better", is_chosen=True)]
    elif size.aim is SizeAim.BAND:
        if size.high_g == float("inf"):
            yield [Piece("at least "), Piece(f"{size.low_g:,.0f} g", is_chosen=True), Piece(" grown")]
        else:
            yield [Piece(f"{size.low_g:,.0f} to {size.high_g:,.0f} g", is_chosen=True), Piece(" grown")]


def _means(goal: Goal) -> Iterator[list[Piece]]:
    budget = goal.budget
    if budget.tubs is not None:
        tubs = "1 tub" if budget.tubs == 1 else f"{budget.tubs} tubs"
        yield [Piece("on "), Piece(tubs, is_chosen=True)]
    if budget.eggs is not None:
        yield [Piece("within "), Piece("1 egg" if budget.eggs == 1 else f"{budget.eggs} eggs", is_chosen=True)]
    if budget.money is not None:
        yield [Piece("for no more than "), Piece(f"{budget.money:,.0f}", is_chosen=True)]
