"""Could it be of the line: odds by size for an animal of which no parent is on record; never yes or no."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.collection.estimate import Basis
from holdback.errors import Fault, HoldbackError
from holdback.web.pages.components import LedgerRow
from holdback.web.pages.wording import GAP, listed, number, span, whole_percent

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.size import Sizes
    from holdback.answers.size.line_odds import LineOdds

PRIOR = 20
"""Chance before its size, in percent, until the keeper says another (assumed)."""

WOULD_CHANGE = (
    "An import paper, an invoice that names the line, or a breeder's word on its parents outweighs any weight. Write "
    "it down as a claim of the line.",
    "Parents that can be named settle it by descent: change the parents.",
    "Young that were weighed beside others of the same room and year show half of what it carries.",
)
"""What would move the odds more than its size does."""

_Z90 = 1.6448536269514722


@dataclass(frozen=True, slots=True)
class Asking:
    """What is asked of the odds.

    Parameters
    ----------
    lines : tuple of str
        Lines on record.
    line : str
        The one asked about.
    prior : str
        Chance before its size, in percent, as typed.
    is_asked : bool
        Whether the page is to answer.
    """

    lines: tuple[str, ...]
    line: str
    prior: str
    is_asked: bool

    @property
    def chance(self) -> float:
        """Chance before its size, in (0, 1).

        Raises
        ------
        HoldbackError
            PAGE-004 if it is no number between 0 and 100.
        """
        try:
            found = float(self.prior) / 100
        except ValueError:
            found = -1.0
        if not 0 < found < 1:
            hint = "Give a number above 0 and below 100."
            raise HoldbackError(Fault("PAGE-004", f"{self.prior!r} is no chance in percent.", hint, field="prior"))
        return found


@dataclass(frozen=True)
class OddsShown:
    """Odds as the page shows them.

    Parameters
    ----------
    said : str
        What they mean.
    rows : list of LedgerRow
        The numbers.
    cautions : tuple of str
        Why the line itself is not well known.
    would_change : tuple of str
        What would move them more.
    """

    said: str
    rows: list[LedgerRow]
    cautions: tuple[str, ...]
    would_change: tuple[str, ...]


def asking(answers: Answers, animal: str, given: Mapping[str, str]) -> Asking | None:
    """What can be asked of an animal; None where its parents are on record or no line is.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    animal : str
        Id.
    given : mapping of str to str
        Parameters of the address: ``line``, ``prior``.
    """
    descent = answers.descent
    if not descent.lines or not descent.pedigree.is_founder[descent.node(animal)]:
        return None
    claimed = [one.line for one in answers.collection.records.lines if one.animal == animal]
    usual = claimed[0] if claimed else descent.lines[0]
    line = given.get("line", "")
    is_known = line in descent.lines
    prior = given.get("prior", "").strip().removesuffix("%").strip() or str(PRIOR)
    return Asking(descent.lines, line if is_known else usual, prior, is_known)


def odds_shown(sizes: Sizes, animal: str, asked: Asking) -> OddsShown:
    """Odds that an animal is of a line.

    Parameters
    ----------
    sizes : Sizes
        Of the whole collection.
    animal : str
        Id.
    asked : Asking
        Line and chance before.

    Raises
    ------
    HoldbackError
        If the chance before cannot be read, or its size tells nothing.
    """
    return shown(sizes.of_line(animal, asked.line, asked.chance), asked.line)


def shown(found: LineOdds, line: str) -> OddsShown:
    """Odds in a ledger."""
    by = listed(list(found.traits))
    low, high = (min(1.0, max(0.0, found.share_mean + sign * _Z90 * found.share_sd)) for sign in (-1, 1))
    rows = [
        LedgerRow("Before its size", _in_hundred(found.prior), "", Basis.ASSUMED, "As you set it below."),
        LedgerRow(
            "With its size",
            _in_hundred(found.posterior),
            "",
            Basis.ASSUMED,
            f"By {by}, with the doubt about the line's own size in it.",
            "from an assumed start",
        ),
        LedgerRow(
            "Its size is",
            _times(found.likelihood_ratio),
            "",
            Basis.MEASURED,
            f"So many times as likely among animals of {line} as among others.",
        ),
        LedgerRow(
            "Right at best",
            _in_hundred(found.best_correct),
            "",
            Basis.ASSUMED,
            "Of 100 animals, half of them of the line, so many can be told by size; 50 is guessing. Of one of each, "
            f"the right one is picked {_in_hundred(found.auc)} times.",
        ),
        LedgerRow(
            "Share to expect",
            whole_percent(found.share_mean),
            f"{span(round(100 * low), round(100 * high))}{GAP}%",
            Basis.ASSUMED,
            f"Of {line}, if it may be any part of it.",
            "from an assumed start",
        ),
    ]
    return OddsShown(found.said, rows, found.cautions, WOULD_CHANGE)


def _in_hundred(chance: float) -> str:
    """Chance as a number of a hundred; never none, never all."""
    if chance < 0.01:
        return "under 1 in 100"
    return "over 99 in 100" if chance > 0.99 else f"{100 * chance:.0f} in 100"


LEAST_RATIO = 0.001
"""Below, a likelihood ratio is not told in figures."""


def _times(ratio: float) -> str:
    """Likelihood ratio in words."""
    if ratio >= 10:
        return f"{number(ratio)} times"
    if ratio < LEAST_RATIO:
        return f"under {LEAST_RATIO} times"
    return f"{ratio:.1f} times" if ratio >= 1 else f"{ratio:.2g} times"
