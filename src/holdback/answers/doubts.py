"""What was doubtful in reading a gene text, each with a stable code."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from holdback.heredity.shorthand import Reading


def doubts(reading: Reading) -> tuple[tuple[str, str], ...]:
    """Code and message of every word not read and of every warning, in reading order.

    Parameters
    ----------
    reading : Reading
        A gene text as read.

    Returns
    -------
    tuple of (str, str)
        Empty where all was read without doubt; words not read have the code ``UNREAD``.
    """
    unread = tuple(
        ("UNREAD", f"Not read: {word.text!r}." + (f" Did you mean {word.suggestion}?" if word.suggestion else ""))
        for word in reading.unread
    )
    return unread + tuple((warning.code, warning.message) for warning in reading.warnings)
