"""Parts of pages that need the sizes of all animals: said at once, asked for afterwards, or being worked out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar

from holdback.errors import Fault, HoldbackError
from holdback.web.pages.worked_out import Working, answers_or_work

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.size import Sizes

Said = TypeVar("Said")


@dataclass(frozen=True)
class Part(Generic[Said]):
    """A part of a page that tells of sizes.

    Parameters
    ----------
    said : object or None
        What it tells; None where it is not worked out or there is nothing to tell.
    is_late : bool
        Whether the page asks for it afterwards.
    working : Working or None
        The job that works it out.
    faults : tuple of Fault
        Why it cannot be told.
    """

    said: Said | None = None
    is_late: bool = False
    working: Working | None = None
    faults: tuple[Fault, ...] = ()


def part(answers: Answers, say: Callable[[Sizes], Said | None], *, is_asked: bool) -> Part[Said]:
    """What is said of sizes if they are worked out, or are to be now.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    say : callable
        Tells it by the sizes.
    is_asked : bool
        True works the sizes out if that can be done at once, else begins the job.
    """
    if "evaluation" in vars(answers.sizes):
        return _said(answers, say)
    return asked_part(answers.catalogue.key, say) if is_asked else Part(is_late=True)


def asked_part(species: str, say: Callable[[Sizes], Said | None]) -> Part[Said]:
    """What is said of sizes, or the job that works them out.

    Parameters
    ----------
    species : str
        Key of the species.
    say : callable
        Tells it by the sizes.
    """
    try:
        found = answers_or_work(species, sizes=True)
    except HoldbackError as error:
        return Part(faults=error.faults)
    return Part(working=found) if isinstance(found, Working) else _said(found, say)


def _said(answers: Answers, say: Callable[[Sizes], Said | None]) -> Part[Said]:
    try:
        return Part(say(answers.sizes))
    except HoldbackError as error:
        return Part(faults=error.faults)
