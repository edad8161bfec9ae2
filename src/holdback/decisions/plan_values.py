"""A plan as plain values that JSON knows, and back, so that what a keeper was told can be kept and held against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.steps import Kind, Plan, Side, Step
from holdback.errors import DecisionError, Fault

FORMAT = 1
"""Number of the form; a plan kept in another is not read."""


def plan_values(plan: Plan) -> dict[str, Any]:
    """A plan in plain values."""
    target = {
        "genes": [{**asdict(gene), "alleles": sorted(gene.alleles)} for gene in plan.target.genes],
        "sex": str(plan.target.sex),
        "line": plan.target.line,
        "share": plan.target.share,
    }
    numbers = {
        name: getattr(plan, name) for name in ("seasons", "inbreeding", "largest_inbreeding", "share", "is_best")
    }
    return {
        "format": FORMAT,
        "target": target,
        "steps": [_step_values(step) for step in plan.steps],
        "by_season": [float(chance) for chance in plan.by_season],
        "notes": list(plan.notes),
        **numbers,
    }


def plan_from(values: Mapping[str, Any]) -> Plan:
    """The plan that `plan_values` wrote.

    Raises
    ------
    DecisionError
        DEC-147 if the values are of no plan, or of another form.
    """
    try:
        if values["format"] != FORMAT:
            raise KeyError("format")
        return Plan(
            target=_target(values["target"]),
            steps=tuple(_step(one) for one in values["steps"]),
            by_season=tuple(values["by_season"]),
            seasons=values["seasons"],
            inbreeding=values["inbreeding"],
            largest_inbreeding=values["largest_inbreeding"],
            share=values["share"],
            is_best=values["is_best"],
            notes=tuple(values["notes"]),
        )
    except (KeyError, TypeError, ValueError) as error:
        what = "The plan that was kept cannot be read by this version."
        raise DecisionError(Fault("DEC-147", what, "Plan anew; what was kept stays on record.")) from error


def _target(values: Mapping[str, Any]) -> Target:
    genes = tuple(GoalGene(**{**one, "alleles": frozenset(one["alleles"])}) for one in values["genes"])
    return Target(genes, Sex(values["sex"]), values["line"], values["share"])


def _step_values(step: Step) -> dict[str, Any]:
    return {
        "number": step.number,
        "sire": _side_values(step.sire),
        "dam": _side_values(step.dam),
        "keep": _kind_values(step.keep),
        "count": step.count,
        "first_season": step.first_season,
        "per_hatchling": float(step.per_hatchling),
        "per_season": float(step.per_season),
        "is_goal": step.is_goal,
        "also": [_kind_values(one) for one in step.also],
    }


def _step(values: Mapping[str, Any]) -> Step:
    return Step(
        **{
            **values,
            "sire": _side(values["sire"]),
            "dam": _side(values["dam"]),
            "keep": _kind(values["keep"]),
            "also": tuple(_kind(one) for one in values["also"]),
        }
    )


def _side_values(side: Side) -> dict[str, Any]:
    return {"kind": _kind_values(side.kind), "animals": list(side.animals), "step": side.step}


def _side(values: Mapping[str, Any]) -> Side:
    return Side(_kind(values["kind"]), tuple(values["animals"]), values["step"])


def _kind_values(kind: Kind) -> dict[str, Any]:
    genes = [[float(some), float(two)] for some, two in kind.genes]
    return {"genes": genes, "sex": str(kind.sex), "share": float(kind.share)}


def _kind(values: Mapping[str, Any]) -> Kind:
    return Kind(tuple((some, two) for some, two in values["genes"]), Sex(values["sex"]), values["share"])
