"""What was doubtful in reading a gene text, each with a stable code."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from holdback.heredity.shorthand import Reading


def doubts(reading: Reading) -> tuple[tuple[str, str], ...]:
    """Code and message of every warning of a reading, words not read among them, in reading order.

    Parameters
    ----------
    reading : Reading
        A gene text as read.

    Returns
    -------
    tuple of (str, str)
        Empty where all was read without doubt.
    """
    return tuple((warning.code, warning.message) for warning in reading.warnings)
