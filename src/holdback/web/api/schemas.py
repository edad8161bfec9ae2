"""Shapes of what the API gives; they make the OpenAPI document."""

from __future__ import annotations

from typing import Any

from ninja import Schema
from pydantic import ConfigDict, Field


class _Open(Schema):
    """Answer whose named keys are promised; more may be added."""

    model_config = ConfigDict(extra="allow", populate_by_name=True)


class FaultOut(Schema):
    """One thing that is wrong: what, where, what to do."""

    code: str
    message: str
    hint: str = ""
    file: str = ""
    line: int = 0
    field: str = ""
    value: str = ""
    animal: str = ""


class ErrorOut(Schema):
    """Everything that is wrong with a request."""

    error: list[FaultOut]


class CodedOut(_Open):
    """Something doubtful, with a stable code."""

    code: str
    message: str


class CautionOut(CodedOut):
    """A caution: note, think or stop."""

    level: str


class GeneOut(_Open):
    """One gene as read, with the probabilities of no, one and two copies; null where no chance was stated."""

    gene: str
    copies: dict[str, float] | None
    shown: bool | None
    source: str = Field(alias="from")


class ReadingOut(_Open):
    """A line of trade shorthand as read."""

    sex: str | None
    counts: Any
    origin: str | None
    hatch_year: int | None
    genes: list[GeneOut]
    lines: list[Any]
    unread: list[Any]
    warnings: list[CodedOut]


class HiddenOut(_Open):
    """A gene that young of this look may carry unseen."""

    gene: str
    chance: float


class OutcomeOut(_Open):
    """One look with its probability per fertile egg."""

    looks: list[str]
    label: str
    probability: float
    hidden: list[HiddenOut]


class WantOut(_Open):
    """Odds of the wish; null where no number of eggs can reach the chance."""

    per_egg: float
    per_hatchling: float
    at_least_one: float
    eggs_for: dict[str, int | None]


class OddsOut(_Open):
    """What a pair gives."""

    outcomes: list[OutcomeOut]
    listed: float
    lost: float
    want: WantOut | None
    cautions: list[CautionOut]
    exact: bool


class AnimalOut(Schema):
    """One animal as recorded; candidate sires with weights, ``none`` for no sire."""

    id: str
    name: str
    sex: str
    hatched: str
    origin: str
    sires: list[dict[str, Any]]
    dam: str | None
    clutch: str | None
    genes: str
    status: str
    notes: str


class BeliefsOut(Schema):
    """What an animal carries by its record and its recorded parents."""

    id: str
    genes: dict[str, dict[str, float]]
    grounds: dict[str, str]


class CheckOut(_Open):
    """Outcome of a check of all records."""

    counts: dict[str, int]
    problems: list[FaultOut]
    doubts: list[dict[str, Any]]
