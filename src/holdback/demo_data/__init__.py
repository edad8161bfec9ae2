"""The invented collection of the demo, and where an installed package keeps it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

LAST_DAY = dt.date(2026, 5, 14)
"""Day on which the records of the demo end."""


def folder() -> Path:
    """Folder of the demo: ``collection/`` (a collection folder), ``truth/``, ``messy.xlsx``, ``messy.csv``.

    Examples
    --------
    >>> (folder() / "collection" / "animals.csv").is_file()
    True
    """
    return Path(__file__).parent
