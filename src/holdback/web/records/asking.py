"""Questions: what may be right and looks like a slip. It is written once the keeper says that it is right."""

from __future__ import annotations

from collections.abc import Iterable

from holdback.errors import Fault
from holdback.web.records.rules import refuse

_OF_CLUTCHES = (1, 4, 5, 6, 10, 12, 15, 20, 28, 29)
QUESTIONS = frozenset(
    {
        *(f"SEA-{number:03d}" for number in (*_OF_CLUTCHES, *range(30, 40), 60)),
        *(f"DEC-{number}" for number in (*range(124, 131), 133, 134)),
    }
)
"""Codes that `sure` answers; everything else has to be mended."""


def is_question(fault: Fault) -> bool:
    """Whether a fault only asks, and goes once the keeper is sure."""
    return fault.code in QUESTIONS


def judge(faults: Iterable[Fault], *, sure: bool) -> None:
    """Refuse what cannot be, then ask what looks like a slip.

    Parameters
    ----------
    faults : iterable of Fault
        Everything found, questions among them.
    sure : bool
        Whether the keeper has said that it is right; then no question is asked.

    Raises
    ------
    RecordError
        All that cannot be; else all questions, unless `sure`.
    """
    found = list(faults)
    refuse(fault for fault in found if not is_question(fault))
    if not sure:
        refuse(found)
