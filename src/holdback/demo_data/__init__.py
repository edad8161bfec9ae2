"""The invented collection of the demo, and where an installed package keeps it."""

from __future__ import annotations

from pathlib import Path


def folder() -> Path:
    """Folder of the demo: ``collection/`` (a collection folder), ``truth/``, ``messy.xlsx``, ``messy.csv``.

    Examples
    --------
    >>> (folder() / "collection" / "animals.csv").is_file()
    True
    """
    return Path(__file__).parent
