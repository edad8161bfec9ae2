"""What the component templates are given: ledger rows, belief rows, odds rows, tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from holdback.collection.estimate import Basis, Estimate
from holdback.web.pages.wording import quantity, span

STROKES = {
    Basis.MEASURED: "",
    Basis.BY_DESCENT: "descent",
    Basis.BY_OFFSPRING: "offspring",
    Basis.CLAIMED: "claimed",
    Basis.ASSUMED: "assumed",
    Basis.REHEARSED: "assumed",
}
"""Class of the stroke that stands for each basis."""


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One number: name, value, range, basis, ground, in that order.

    Parameters
    ----------
    name, value, range : str
        As printed.
    basis : Basis or None
        None for a count or exact arithmetic.
    ground : str
        One sentence.
    word : str
        Sharper word beside the stroke ("seen by you"); empty for the basis itself.
    """

    name: str
    value: str
    range: str = ""
    basis: Basis | None = None
    ground: str = ""
    word: str = ""

    @classmethod
    def of(cls, name: str, estimate: Estimate, *, digits: int = 0) -> LedgerRow:
        """Row that says an estimate."""
        is_point = estimate.low == estimate.high
        return cls(
            name,
            quantity(estimate.mean, estimate.unit, digits),
            "" if is_point else span(estimate.low, estimate.high, digits),
            estimate.basis,
            estimate.ground,
        )


@dataclass(frozen=True, slots=True)
class Step:
    """One step on the way to a chance: the records in words, the chance after them, and by them alone."""

    words: str
    after: str
    alone: str


@dataclass(frozen=True, slots=True)
class BeliefRow:
    """What is believed of one gene.

    Parameters
    ----------
    gene : str
        Name of the gene, or of what the bar is about.
    copies : tuple of three floats
        Probabilities of no, one and two copies.
    odds : str
        The odds in words ("1 in 2").
    verb : str
        What follows them ("carries it").
    label : str
        The trade's label below ("50 % het"); may be empty.
    basis : Basis or None
        How it is known; None where it is exact arithmetic.
    word : str
        Sharper word for the basis.
    why : str
        Ground in one or two sentences.
    url : str
        Page of the gene; may be empty.
    steps : tuple of Step
        How the chance came about; empty where there is nothing to unfold.
    """

    gene: str
    copies: tuple[float, float, float]
    odds: str
    verb: str = ""
    label: str = ""
    basis: Basis | None = None
    word: str = ""
    why: str = ""
    url: str = ""
    steps: tuple[Step, ...] = ()

    def linked(self, url: str) -> BeliefRow:
        """The same row with the page of its gene."""
        return replace(self, url=url)


@dataclass(frozen=True, slots=True)
class Column:
    """Column of a table: its head, and how it sits on a phone."""

    label: str
    is_number: bool = False
    is_full: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table that becomes cards on a phone.

    Parameters
    ----------
    columns : sequence of Column
        Heads.
    rows : sequence of sequences
        Cells (text or safe mark-up), the first is the head of its row.
    caption : str
        What the table says; may be empty.
    is_cards : bool
        False for a short table that stays one on a phone.
    """

    columns: Sequence[Column]
    rows: Sequence[Sequence[str]]
    caption: str = ""
    is_cards: bool = True

    @property
    def lines(self) -> list[list[tuple[Column, str]]]:
        """Rows with each cell beside its column."""
        return [list(zip(self.columns, row, strict=True)) for row in self.rows]
