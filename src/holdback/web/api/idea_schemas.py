"""Shapes of what the API gives of ideas."""

from __future__ import annotations

from holdback.web.api.schemas import CautionOut, Open


class HolderOut(Open):
    """A mate that has a gene; `inbreeding` is that of the young; it and `proven` are null where nobody knows."""

    id: str
    name: str
    chance: float
    shows: float
    per_hatchling: float
    first_clutch: float
    inbreeding: float | None
    proven: bool | None
    hatched: str | None


class BroughtOut(Open):
    """A gene to bring, and who has it."""

    gene: str
    key: str
    notes: list[str]
    at_hand: list[HolderOut]
    on_offer: list[HolderOut]


class NamedComboOut(Open):
    """A trade name that an idea leads to."""

    name: str
    lacks: list[str]
    generations: int
    mark: str


class IdeaOut(Open):
    """What to bring, why, and what comes of it."""

    label: str
    score: float
    same_recessive: bool
    genes: list[BroughtOut]
    why: list[str]
    combos: list[NamedComboOut]
    aim: str
    seen_in_first_clutch: bool
    per_hatchling: float
    first_clutch: float
    generations: int
    consequences: list[str]
    cautions: list[str]


class NotBroughtOut(Open):
    """A gene that is not brought; never, where no caution could be allowed."""

    gene: str
    key: str
    reasons: list[str]
    allowed_by: list[str]


class IdeasOut(Open):
    """What an animal should be bred to, cautions and nevers first."""

    cautions: list[CautionOut]
    never: list[NotBroughtOut]
    ideas: list[IdeaOut]
    notes: list[str]
    doubts: list[str]
    """What is not read, or in doubt, in genes as typed."""
