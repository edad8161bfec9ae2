"""What a goal asks for, read from trade shorthand into targets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import comb
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.decisions.contradictions import clashes, limit_faults
from holdback.decisions.goal import Goal, GoalGene, Target
from holdback.errors import DecisionError, Fault, ShorthandError
from holdback.heredity.shorthand.reader import read
from holdback.heredity.shorthand.wish import read_wish
from holdback.species.model import WILD, Inheritance, pair

if TYPE_CHECKING:
    from holdback.heredity.shorthand.reading import ReadGene
    from holdback.species.catalogue import Catalogue

MOST_ALTERNATIVES = 64
"""Most targets that one goal may leave to choose from."""
MOSTLY_DIE = 0.5
"""Chance of dying of two copies from which no plan counts on such young."""


def targets_of(
    goal: Goal, catalogue: Catalogue, *, lines: Sequence[str] | None = None, this_season: int = 0
) -> tuple[Target, ...]:
    """Targets of a goal: one, or one for each choice that `Goal.some_of` leaves.

    Parameters
    ----------
    goal : Goal
        What the keeper wants.
    catalogue : Catalogue
        Species.
    lines : sequence of str, optional
        Lines that animals at hand are said to be of; None leaves the goal's line unchecked.
    this_season : int
        Year of the season that is planned; 0 leaves `Goal.by` unchecked.

    Returns
    -------
    tuple of Target
        Each can be bred as far as its genes go. Names held to be the same gene stand together. Choices that
        contradict themselves are left out as long as one does not.

    Raises
    ------
    DecisionError
        With every fault found. DEC-001 for words that were not read, DEC-002 for text that can be read in more than
        one way, DEC-003 where nothing is wished, DEC-004 for a gene both wanted and refused, DEC-005 for more than two
        copies at one place, DEC-006 and DEC-007 where young would not live, DEC-015 and DEC-016 for choices,
        DEC-017 for a refused two-copy form; DEC-008 to DEC-014 for limits, see `contradictions.limit_faults`.

    Examples
    --------
    >>> from holdback.species.catalogue import load
    >>> target, = targets_of(Goal("Large", "female Clown Enchi"), load())
    >>> [(gene.name, gene.copies, gene.is_hidden) for gene in target.genes], str(target.sex)
    ([('Clown', 2, True), ('Enchi', 1, False)], 'female')
    """
    faults: list[Fault] = []
    wanted = _read(goal.want, "want", catalogue, faults) if goal.want.strip() else _Read((), Sex.UNKNOWN)
    refused = _refused(goal.none_of, catalogue, faults) if goal.none_of.strip() else ()
    some = [_read(text, "some_of", catalogue, faults) for text in goal.some_of]
    faults += _choice_faults(goal)
    faults += limit_faults(goal, lines=lines, this_season=this_season)
    if not (goal.want.strip() or goal.some_of or goal.line):
        faults.append(Fault("DEC-003", "The goal wishes for nothing.", "Name a gene or a line.", field="want"))
    if faults:
        raise DecisionError(faults)
    line = next((one for one in lines or () if one.casefold() == goal.line.casefold()), goal.line)
    found: list[Target] = []
    for chosen in combinations(some, goal.some_least):
        target, wrong = _target([wanted, *chosen], refused, catalogue)
        if wrong:
            faults += [fault for fault in wrong if fault not in faults]
        else:
            target = replace(target, line=line, share=goal.share_at_least if line else 0.0)
            found += [target] if target not in found else []
    if not found:
        raise DecisionError(faults)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Read:
    """Genes and sex that one text asks for."""

    genes: tuple[GoalGene, ...]
    sex: Sex


def _read(text: str, field: str, catalogue: Catalogue, faults: list[Fault]) -> _Read:
    """Genes of one text; faults of its words are told as the goal's."""
    try:
        wish = read_wish(text, catalogue)
    except ShorthandError as error:
        faults += [
            Fault("DEC-001" if fault.code == "SHO-101" else "DEC-002", fault.what, fault.hint, field=field, value=text)
            for fault in error.faults
        ]
        return _Read((), Sex.UNKNOWN)
    genes = [_goal_gene(gene, catalogue) for gene in read(text, catalogue).genes if gene.allele and gene.copies]
    return _Read(_together(genes, are_summed=True), wish.sex)


def _refused(text: str, catalogue: Catalogue, faults: list[Fault]) -> tuple[GoalGene, ...]:
    """Genes of a text of what is refused, written with or without "no"."""
    genes = _read(text, "none_of", catalogue, faults).genes
    for gene in genes:
        if gene.copies == 2 and gene.tells_two and not gene.is_hidden:
            what = f"Two copies of {gene.name} cannot be refused while one is let in."
            faults.append(Fault("DEC-017", what, f"Refuse {gene.name}, or leave it out.", field="none_of", value=text))
    return tuple(replace(gene, copies=0) for gene in genes)


def _goal_gene(gene: ReadGene, catalogue: Catalogue) -> GoalGene:
    """Gene of a reading, with the names held to be the same."""
    assert gene.copies is not None
    return goal_gene(gene.allele, gene.copies.index(1.0), catalogue)


def goal_gene(allele: str, copies: int, catalogue: Catalogue) -> GoalGene:
    """Gene that a goal asks for in so many copies, or refuses (0).

    Parameters
    ----------
    allele : str
        Allele key.
    copies : int
        0, 1 or 2.
    catalogue : Catalogue
        Species.

    Raises
    ------
    KeyError
        If there is no such allele.
    """
    locus = catalogue.locus_of(allele)
    same = catalogue.stands_for(allele)
    one = catalogue.look(locus.key, pair(WILD, allele))
    return GoalGene(
        locus=locus.key,
        alleles=frozenset(key for key in locus.alleles if catalogue.stands_for(key) == same),
        copies=copies,
        name=catalogue.alleles[allele].name,
        is_hidden=catalogue.alleles[same].inheritance is Inheritance.RECESSIVE,
        tells_two=catalogue.look(locus.key, (allele, allele)).key != one.key,
        two_die=catalogue.alleles[same].lethal >= MOSTLY_DIE,
    )


def _together(genes: Iterable[GoalGene], *, are_summed: bool) -> tuple[GoalGene, ...]:
    """Genes, each once: copies under two names of one gene are summed within a text, else the most is asked for."""
    found: dict[frozenset[str], GoalGene] = {}
    for gene in genes:
        known = found.get(gene.alleles)
        if known is None:
            found[gene.alleles] = gene
        else:
            copies = min(2, known.copies + gene.copies) if are_summed else max(known.copies, gene.copies)
            found[gene.alleles] = replace(known, copies=copies)
    return tuple(found.values())


def _target(
    parts: Sequence[_Read], refused: Sequence[GoalGene], catalogue: Catalogue
) -> tuple[Target, tuple[Fault, ...]]:
    """Target of everything asked for together, and what is wrong with it."""
    wanted = [gene for part in parts for gene in part.genes if gene.copies]
    never = [*refused, *(gene for part in parts for gene in part.genes if not gene.copies)]
    sexes = {part.sex for part in parts} - {Sex.UNKNOWN}
    genes = _together(wanted, are_summed=False)
    target = Target(
        genes=(*genes, *_together([gene for gene in never if gene.alleles not in _named(genes)], are_summed=False)),
        sex=sexes.pop() if len(sexes) == 1 else Sex.UNKNOWN,
    )
    faults = list(clashes(genes, never, catalogue))
    if sexes:
        what = "Male and female are wished for at once."
        faults.append(Fault("DEC-004", what, "Leave one sex out.", field="want"))
    return target, tuple(faults)


def _named(genes: Iterable[GoalGene]) -> set[frozenset[str]]:
    return {gene.alleles for gene in genes}


def _choice_faults(goal: Goal) -> list[Fault]:
    """What is wrong with the choice that a goal leaves."""
    n, least = len(goal.some_of), goal.some_least
    if not 0 <= least <= n or (n and not least):
        what = f"At least {least} of {n} genes are asked for."
        hint = f"Ask for 1 to {n} of them." if n else "Name the genes to choose from, or ask for 0."
        return [Fault("DEC-016", what, hint, field="some_least", value=str(least))]
    if comb(n, least) > MOST_ALTERNATIVES:
        what = f"{least} of {n} genes leave {comb(n, least)} choices; at most {MOST_ALTERNATIVES} are looked at."
        return [Fault("DEC-015", what, "Name fewer genes to choose from.", field="some_of", value=str(n))]
    return []
