"""What in a goal cannot be had, and which limit to relax."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from holdback.decisions.goal import Goal, GoalGene, SizeAim
from holdback.errors import Fault

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue


def clashes(wanted: Sequence[GoalGene], refused: Sequence[GoalGene], catalogue: Catalogue) -> tuple[Fault, ...]:
    """Genes that no living animal has together.

    Parameters
    ----------
    wanted, refused : sequence of GoalGene
        Genes asked for, each once, and refused.
    catalogue : Catalogue
        Species.

    Returns
    -------
    tuple of Fault
        DEC-004 wanted and refused, DEC-005 more than two copies at one place, DEC-006 a deadly pair, DEC-007 a deadly
        combination.
    """
    return (*_refused(wanted, refused), *_too_many(wanted, catalogue), *_deadly(wanted, catalogue))


def _refused(wanted: Sequence[GoalGene], refused: Sequence[GoalGene]) -> list[Fault]:
    never = {gene.alleles for gene in refused}
    return [
        Fault(
            "DEC-004",
            f"{gene.name} is wanted and refused at once.",
            f"Take {gene.name} out of one of them.",
            field="none_of",
            value=gene.name,
        )
        for gene in wanted
        if gene.alleles in never
    ]


def _too_many(wanted: Sequence[GoalGene], catalogue: Catalogue) -> list[Fault]:
    copies: dict[str, int] = {}
    for gene in wanted:
        copies[gene.locus] = copies.get(gene.locus, 0) + gene.copies
    return [
        Fault(
            "DEC-005",
            f"{_list(_asked(wanted, locus))}: an animal has two copies at one place ({catalogue.loci[locus].name}), "
            f"and {count} are asked for.",
            "Ask for two copies at most: one gene twice, or one copy each of two.",
            field="want",
            value=locus,
        )
        for locus, count in copies.items()
        if count > 2
    ]


def _asked(wanted: Sequence[GoalGene], locus: str) -> list[str]:
    return [f"two {gene.name}" if gene.copies == 2 else gene.name for gene in wanted if gene.locus == locus]


def _deadly(wanted: Sequence[GoalGene], catalogue: Catalogue) -> list[Fault]:
    faults = []
    for gene in wanted:
        allele = min(gene.alleles)
        if gene.copies == 2 and catalogue.lethality(gene.locus, (allele, allele)) >= 1.0:
            what = f"Young with two copies of {gene.name} are not expected to live."
            faults.append(Fault("DEC-006", what, f"Ask for one copy of {gene.name}.", field="want", value=gene.name))
    for rule in catalogue.together:
        held = [gene for allele in rule.alleles for gene in wanted if allele in gene.alleles]
        if rule.lethal >= 1.0 and len(held) == len(rule.alleles):
            names = [gene.name for gene in held]
            hint = f"Ask for {' or '.join(names)}, not for all of them."
            faults.append(Fault("DEC-007", rule.text, hint, field="want", value=" ".join(names)))
    return faults


def limit_faults(goal: Goal, *, lines: Sequence[str] | None = None, this_season: int = 0) -> tuple[Fault, ...]:
    """Limits of a goal that nothing can meet.

    Parameters
    ----------
    goal : Goal
        What the keeper wants.
    lines : sequence of str, optional
        Lines that animals at hand are said to be of; None is not known.
    this_season : int
        Year of the season that is planned; 0 is not known.

    Returns
    -------
    tuple of Fault
        DEC-008 a share that is none, DEC-009 a line that is not there, DEC-010 a season that is past, DEC-011 fewer
        than one animal, DEC-012 no coefficient of inbreeding, DEC-013 a band of weights upside down, DEC-014 a budget
        of nothing, DEC-018 a worth below nothing.
    """
    return (*_line_faults(goal, lines), *_number_faults(goal, this_season), *_size_faults(goal), *_means_faults(goal))


def _line_faults(goal: Goal, lines: Sequence[str] | None) -> list[Fault]:
    faults = []
    if not 0.0 <= goal.share_at_least <= 1.0:
        what = f"{goal.share_at_least:g} is no share of a line."
        faults.append(Fault("DEC-008", what, "Give a share from 0 to 1.", field="share_at_least"))
    if goal.share_at_least > 0.0 and not goal.line:
        what = f"A share of {goal.share_at_least:g} is asked for, but of no line."
        faults.append(Fault("DEC-009", what, "Name the line, or ask for no share.", field="line"))
    known = None if lines is None else {one.casefold() for one in lines}
    if goal.line and known is not None and goal.line.casefold() not in known:
        hint = f"Lines at hand: {', '.join(lines or ())}." if lines else "Say first which animals are of the line."
        faults.append(Fault("DEC-009", f"No animal is said to be of {goal.line}.", hint, field="line", value=goal.line))
    return faults


def _number_faults(goal: Goal, this_season: int) -> list[Fault]:
    faults = []
    if goal.by and this_season and goal.by < this_season:
        what = f"{goal.by} is past: the season that is planned is {this_season}."
        hint = f"Give {this_season} or later, or no year."
        faults.append(Fault("DEC-010", what, hint, field="by", value=str(goal.by)))
    if goal.number < 1:
        what = f"{goal.number} animals are wanted."
        faults.append(Fault("DEC-011", what, "Ask for one or more.", field="number", value=str(goal.number)))
    if not 0.0 <= goal.inbreeding_at_most <= 1.0:
        what = f"{goal.inbreeding_at_most:g} is no coefficient of inbreeding."
        hint = "Give a number from 0 (none at all) to 1 (no limit)."
        faults.append(Fault("DEC-012", what, hint, field="inbreeding_at_most"))
    return faults


def _size_faults(goal: Goal) -> list[Fault]:
    size = goal.size
    if size.aim is SizeAim.BAND and not 0.0 <= size.low_g < size.high_g:
        what = f"No adult weighs from {size.low_g:g} to {size.high_g:g} g."
        return [Fault("DEC-013", what, "Give the lower weight first.", field="size")]
    return []


def _means_faults(goal: Goal) -> list[Fault]:
    budget = goal.budget
    limits = {"eggs": (budget.eggs, 1), "tubs": (budget.tubs, 1), "money": (budget.money, 0)}
    faults = [
        Fault("DEC-014", f"{given:g} {name} are not enough for any plan.", "Give more, or no limit.", field=name)
        for name, (given, least) in limits.items()
        if given is not None and given < least
    ]
    worths = {"worth_eggs": goal.worth_eggs, "year_worth_eggs": goal.year_worth_eggs}
    return faults + [
        Fault("DEC-018", f"{worth:g} eggs is no worth.", "Give 0 or more.", field=name)
        for name, worth in worths.items()
        if not worth >= 0.0
    ]


def _list(words: Sequence[str]) -> str:
    """Words as a list in a sentence."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
