"""Shapes of what the API gives; they make the OpenAPI document."""

from __future__ import annotations

from typing import Any

from ninja import Schema
from pydantic import ConfigDict, Field


class Open(Schema):
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


class CodedOut(Open):
    """Something doubtful, with a stable code."""

    code: str
    message: str


class CautionOut(CodedOut):
    """A caution: note, think or stop."""

    level: str


class GeneOut(Open):
    """One gene as read, with the probabilities of no, one and two copies; null where no chance was stated."""

    gene: str
    copies: dict[str, float] | None
    shown: bool | None
    source: str = Field(alias="from")


class ReadingOut(Open):
    """A line of trade shorthand as read."""

    sex: str | None
    counts: Any
    origin: str | None
    hatch_year: int | None
    genes: list[GeneOut]
    lines: list[Any]
    unread: list[Any]
    warnings: list[CodedOut]


class HiddenOut(Open):
    """A gene that young of this look may carry unseen."""

    gene: str
    chance: float


class OutcomeOut(Open):
    """One look with its probability per fertile egg."""

    looks: list[str]
    label: str
    probability: float
    hidden: list[HiddenOut]


class WantOut(Open):
    """Odds of the wish; null where no number of eggs can reach the chance."""

    per_egg: float
    per_hatchling: float
    at_least_one: float
    eggs_for: dict[str, int | None]


class OddsOut(Open):
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


class StepOut(Open):
    """One group of records, and how far it moves the chance: left out, alone, and in the chain up to it."""

    kind: str
    words: str
    records: list[str]
    animals: list[str]
    without: float
    alone: float
    after: float
    weight: float


class AnimalGenesOut(Open):
    """What one animal carries by all records, gene by gene: chances by copies, sentence, basis, chain of records."""

    id: str
    genes: dict[str, dict[str, float]]
    grounds: dict[str, str]
    basis: dict[str, str]
    steps: dict[str, list[StepOut]]
    exact: bool
    standard_error: float


class FixOut(Open):
    """One thing that would explain a conflict, and what to correct then."""

    kind: str
    words: str
    what: str
    record: str
    field: str
    instead: str
    chance: float
    settle: str


class ConflictOut(Open):
    """Records that cannot all be true."""

    code: str
    animals: list[str]
    locus: str
    message: str
    chance: float
    fixes: list[FixOut]
    questions: list[str]


class ConflictsOut(Schema):
    """All records that cannot be true together, worst first."""

    conflicts: list[ConflictOut]


class BeliefsOut(Open):
    """What animals carry by all records; conflicts are null where they were not looked for."""

    animals: dict[str, dict[str, dict[str, float]]]
    conflicts: list[ConflictOut] | None
    log_likelihood: float
    exact: bool
    standard_error: float
    grounds: dict[str, dict[str, str]] | None = None


class SireOut(Schema):
    """A candidate sire before and after the genes of the young spoke; ``?`` is one not on record, ``none`` no sire."""

    sire: str
    prior: float
    posterior: float


class SiresOut(Open):
    """Candidate sires of a clutch, and of each of its young."""

    clutch: str
    candidates: list[SireOut]
    young: dict[str, list[SireOut]]
    each_egg: bool


class PairingOut(Open):
    """A pairing of an odd animal, and what its young would tell."""

    label: str
    bits: float
    young_to_settle: int | None
    eggs_to_settle: int | None
    says: str


class PairingsOut(Open):
    """Pairings of an odd animal, the most telling first."""

    pairings: list[PairingOut]
    basis: str
    seed: int


class ProofOut(Open):
    """How the look of an odd animal is passed on, as far as its young tell."""

    animal: str
    posterior: dict[str, float | None]
    prior: dict[str, float | None]
    best: str
    settled: bool
    says: str
    cautions: list[str]
    basis: list[str]
    clutches: int
    next: PairingsOut


class MateOut(Open):
    """A mate, and what its young would tell of a possible carrier."""

    label: str
    carries: float
    able: float
    proves_in_clutch: float
    cleared_below: float
    young_to_clear: int | None
    bits: float
    curve: list[float]
    says: str


class TestBreedingOut(Open):
    """Mates for a possible carrier, the most telling first."""

    animal: str
    gene: str
    copies: dict[str, float]
    mates: list[MateOut]
    n_mates: int
    basis: str
    notes: list[str]


class CheckOut(Open):
    """Outcome of a check of all records; conflicts are null where the records have faults."""

    counts: dict[str, int]
    problems: list[FaultOut]
    doubts: list[dict[str, Any]]
    conflicts: list[ConflictOut] | None


class ShareOut(Open):
    """Share of one line in one animal, from 0 to 1."""

    mean: float
    sd: float
    low: float
    high: float
    bound_low: float
    bound_high: float
    unknown: float
    off_record: float
    basis: str
    ground: str


class SharesOut(Open):
    """Shares by animal and line."""

    animals: dict[str, dict[str, ShareOut]]


class InbreedingOut(Open):
    """Inbreeding of an animal."""

    inbreeding: float


class CommonAncestorOut(Open):
    """An ancestor of both, and the inbreeding of the young that it costs."""

    animal: str
    inbreeding: float


class KinOut(Open):
    """Two animals and their young, or everybody: the keys of one of the two are there."""

    kinship: float | None = None
    offspring_inbreeding: float | None = None
    common_ancestors: list[CommonAncestorOut] | None = None
    shares: dict[str, ShareOut] | None = None
    animals: dict[str, InbreedingOut] | None = None
    founders: dict[str, float] | None = None


class RangeOut(Open):
    """An uncertain number: its middle, 90 % range, and how it is known."""

    mean: float
    low: float
    high: float
    basis: str
    ground: str


class AnimalSizeOut(Open):
    """How big an animal is, will be, and what it passes on."""

    percentile: float | None
    adult_mass_g: RangeOut
    deviation_percent: RangeOut
    breeding_value: RangeOut
    reliability: float


class LineResponseOut(Open):
    """What changed in a line by hatch year, and what keeping the biggest may change."""

    years: list[dict[str, Any]]
    realised: dict[str, Any] | None
    everybody: dict[str, Any] | None
    expected: dict[str, Any] | None
    animals_needed: int | None
    said: list[str]
    assumed: list[str]


class LineEffectOut(Open):
    """How much larger a line is."""

    effect_percent: RangeOut
    owned_percent: RangeOut
    chance_larger: float
    can_tell: bool
    why_not: list[str]
    response: LineResponseOut


class SizesOut(Open):
    """Sizes by animal and line."""

    animals: dict[str, AnimalSizeOut]
    lines: dict[str, LineEffectOut]
    heritability: RangeOut
    left_out: dict[str, int]
    questions: list[dict[str, str]]
    assumptions: list[str]
