"""Carrying genes into a line with the animals of a collection."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from holdback.answers.season.as_json import estimate_as_json
from holdback.errors import DecisionError, Fault

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions
    from holdback.decisions.backcross_result import BackcrossPlan, BackcrossWay, Generation
    from holdback.heredity.crosses.result import Caution

_KEY = "carried into the line"


def carried_into_line(
    decisions: Decisions,
    genes: str,
    line: str,
    *,
    backcrosses: int = 4,
    inbreeding_at_most: float = 0.125,
    accepted: frozenset[str] = frozenset(),
) -> BackcrossPlan:
    """How to carry genes into a line.

    Parameters
    ----------
    decisions : Decisions
        Animals at hand on a day.
    genes : str
        What is to be carried, in trade shorthand.
    line : str
        Line, whatever the case of the letters.
    backcrosses : int
        Crosses back to the line looked at, at least 1.
    inbreeding_at_most : float
        Ways with more are proposed last.
    accepted : frozenset of str
        Cautions that the keeper has spoken for.

    Raises
    ------
    DecisionError
        As reading a goal raises, DEC-142 where the keeper has not spoken for what the genes bring, and as
        `holdback.decisions.backcross_plan.backcross_plan`.
    """
    from holdback.decisions.backcross_plan import backcross_plan

    asked = _asked(decisions, genes, inbreeding_at_most, accepted)
    target = asked.targets(asked.goals[_KEY])[0]
    stops = asked.unspoken(_KEY)
    if stops:
        codes = ", ".join(one.code for one in stops)
        what = f"{genes.strip()} is not planned before you have spoken for this: {stops[0].message}"
        raise DecisionError(Fault("DEC-142", what, f"Speak for it with --accept {codes}, or carry another gene."))
    known = {one.casefold(): one for one in asked.stock.shares}
    return backcross_plan(
        asked.stock,
        target,
        known.get(line.strip().casefold(), line.strip()),
        genome=decisions.answers.descent.genome,
        backcrosses=backcrosses,
        inbreeding_at_most=inbreeding_at_most,
    )


def unspoken_for(decisions: Decisions, genes: str, accepted: frozenset[str] = frozenset()) -> tuple[Caution, ...]:
    """What the keeper has to speak for before genes are carried into a line.

    Raises
    ------
    DecisionError
        As reading a goal raises.
    """
    return _asked(decisions, genes, 1.0, accepted).unspoken(_KEY)


def _asked(decisions: Decisions, genes: str, inbreeding_at_most: float, accepted: frozenset[str]) -> Decisions:
    """The same animals with what is to be carried as their only goal."""
    from holdback.decisions.goal import Goal

    goal = Goal(name=genes.strip(), want=genes, inbreeding_at_most=inbreeding_at_most, accepted=accepted)
    return decisions.with_goals({_KEY: goal})


def backcross_as_json(plan: BackcrossPlan) -> dict[str, Any]:
    """The keys of `holdback backcross` with a gene and a line."""
    return {
        "line": plan.line,
        "donor": plan.donor,
        "donor_carries": plan.donor_carries,
        "sources": list(plan.sources),
        "ways": [_way(one) for one in plan.ways],
        "notes": list(plan.notes),
    }


def _way(one: BackcrossWay) -> dict[str, Any]:
    return {
        "through": str(one.through),
        "handling": str(one.handling),
        "generations": [_generation(each) for each in one.made],
        "eggs_95": one.eggs_95,
        "notes": list(one.notes),
    }


def _generation(one: Generation) -> dict[str, Any]:
    return {
        "cross": str(one.cross),
        "backcrosses": one.backcrosses,
        "sire": one.sire or None,
        "dam": one.dam or None,
        "year": one.year,
        "expected_year": one.expected_year,
        "share": one.share.mean,
        "share_range": [one.share.low, one.share.high],
        "size_percent": None if one.size is None else estimate_as_json(one.size),
        "inbreeding": one.inbreeding,
        "per_hatchling": one.per_hatchling,
        "young_95": one.young_95,
        "young_99": one.young_99,
        "eggs_95": one.eggs_95,
        "chance": one.chance,
        "keep": one.keep,
        "said": one.said,
    }
