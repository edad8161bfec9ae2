"""What stands before a plan: records at odds that touch an animal it counts on, and cautions to be spoken for."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.answers import Answers
from holdback.collection.model import PartialDate
from holdback.heredity.crosses.result import Caution
from holdback.web.pages.conflict_words import SUGGESTED, TALLY, Misfit, misfits_of
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import day, listed
from holdback.web.records.models import Decision

if TYPE_CHECKING:
    from holdback.answers.conflicts import Conflict

OF_ONE_GENE = frozenset({"CNF-003", "CNF-010", "CNF-011", "CNF-012"})
"""Codes of conflicts that are about one gene alone."""


@dataclass(frozen=True, slots=True)
class ToSettle:
    """A conflict in the records, and which animals of the way it touches."""

    who: str
    misfit: Misfit


def to_settle(
    answers: Answers, counted_on: Sequence[str], genes: Collection[str], names: Names
) -> tuple[list[ToSettle], list[ToSettle]]:
    """Conflicts that touch an animal counted on, worst first: those that a goal hangs on, and those about other genes.

    Parameters
    ----------
    answers : Answers
        With the conflicts worked out.
    counted_on : sequence of str
        Animals that the way and the season's pairings count on.
    genes : collection of str
        Names of the genes that the goal speaks of.
    names : Names
        Of the animals.
    """
    found = [one for one in answers.conflicts if _is_open(one.code) and _touched(one.animals, counted_on)]
    first: list[ToSettle] = []
    others: list[ToSettle] = []
    for conflict, shown in zip(found, misfits_of(found, answers), strict=True):
        who = listed([names.short(one) for one in _touched(conflict.animals, counted_on)])
        (first if _matters(conflict, genes) else others).append(ToSettle(who, shown))
    return first, others


def _matters(conflict: Conflict, genes: Collection[str]) -> bool:
    """Whether a goal hangs on it: any doubt about parents, and what is said of a gene that the goal speaks of."""
    return conflict.code not in OF_ONE_GENE or any(gene in conflict.message for gene in genes)


def _is_open(code: str) -> bool:
    return code != TALLY and code not in SUGGESTED


def _touched(animals: Collection[str], counted_on: Sequence[str]) -> list[str]:
    return [one for one in counted_on if one in animals]


@dataclass(frozen=True, slots=True)
class Spoken:
    """A caution that was spoken for: what it says, and the record of the word."""

    message: str
    record: Decision
    day: str


def spoken_for(records: Iterable[Decision], cautions: Iterable[Caution]) -> list[Spoken]:
    """Words on record beside what the cautions say; the code where a goal brings the caution no longer.

    Parameters
    ----------
    records : iterable of Decision
        Of one project.
    cautions : iterable of Caution
        All that its goal brings.
    """
    told = list(cautions)
    found = []
    for one in records:
        messages = [each.message for each in told if one.code in (each.code, each.code.partition(":")[0])]
        found.append(Spoken(" ".join(messages) or one.code, one, day(PartialDate.parse(one.date)) if one.date else ""))
    return found
