"""What to mind with the hatchlings chosen: kinship between them, one sex only, genes with a burden."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from holdback.collection.model import Sex
from holdback.decisions.holdbacks.result import Mind
from holdback.decisions.holdbacks.words import name
from holdback.decisions.holdbacks.worths import Worths
from holdback.decisions.steps import Plan

_SAME = 1e-9


def minding(worths: Worths, kept: Sequence[str], plans: Sequence[Plan]) -> tuple[Mind, ...]:
    """Cautions on a choice.

    Parameters
    ----------
    worths : Worths
        Candidates.
    kept : sequence of str
        Ids of those to hold back.
    plans : sequence of Plan
        Plans that they serve.
    """
    return (*_akin(worths, kept, plans), *_one_sex(worths, kept), *_burdens(worths, kept))


def _akin(worths: Worths, kept: Sequence[str], plans: Sequence[Plan]) -> Iterator[Mind]:
    limit = min((project.goal.inbreeding_at_most for project in worths.projects), default=1.0)
    for first, second in combinations(kept, 2):
        one, other = worths.candidates[first], worths.candidates[second]
        kin = _kinship(worths, first, second)
        if kin <= limit + _SAME or (one.sex is other.sex and one.sex is not Sex.UNKNOWN):
            continue
        head = "Both come from one clutch" if one.clutch and one.clutch == other.clutch else "They are near kin"
        text = (
            f"Paired with each other their young would be inbred {100 * kin:.3g} %; the limit is {100 * limit:.3g} %."
        )
        partner = _partner(worths, first, plans) or _partner(worths, second, plans)
        yield Mind(
            f"{head}: {name(worths.stock, first)} and {name(worths.stock, second)}", f"{text}{partner}", (first, second)
        )


def _partner(worths: Worths, animal: str, plans: Sequence[Plan]) -> str:
    """The mate at hand that a plan names for a hatchling, and how inbred their young would be."""
    for plan in plans:
        for step in plan.steps:
            for mine, theirs in ((step.sire, step.dam), (step.dam, step.sire)):
                if animal in mine.animals and theirs.animals and theirs.animals[0] in worths.stock.animals:
                    mate = theirs.animals[0]
                    kin = 100 * _kinship(worths, animal, mate)
                    with_whom = f"{name(worths.stock, animal)} with {name(worths.stock, mate)}"
                    return (
                        f" The plan pairs {with_whom}: {kin:.3g} %." if kin else f" The plan pairs {with_whom}, no kin."
                    )
    return ""


def _kinship(worths: Worths, first: str, second: str) -> float:
    return float(worths.stock.kinship[worths.stock.index(first), worths.stock.index(second)])


def _one_sex(worths: Worths, kept: Sequence[str]) -> Iterator[Mind]:
    found = {worths.candidates[one].sex for one in kept}
    if len(kept) > 1 and len(found) == 1 and Sex.UNKNOWN not in found:
        sex = found.pop()
        other = Sex.MALE if sex is Sex.FEMALE else Sex.FEMALE
        text = f"If a later cross needs a {other} of this year, none is left."
        yield Mind(f"All kept are {sex}s", text, tuple(kept))


def _burdens(worths: Worths, kept: Sequence[str]) -> Iterator[Mind]:
    for one in kept:
        for text in worths.candidates[one].flags:
            yield Mind(f"{name(worths.stock, one)} carries a burden", text, (one,))
