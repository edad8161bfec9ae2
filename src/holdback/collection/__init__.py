"""The boundary: records, estimates and their checks; the engine takes nothing else.

`Collection` and `CODES` are loaded when they are first asked for, so that a command which needs only an `Estimate` does
not wait for readers and checks.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from holdback.collection.estimate import Basis, Estimate

if TYPE_CHECKING:
    from holdback.collection.codes import CODES
    from holdback.collection.collection import Collection

__all__ = ["CODES", "Basis", "Collection", "Estimate"]


def __getattr__(name: str) -> Any:
    """Give a public name whose module is loaded on first use."""
    if name not in ("CODES", "Collection"):
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{name.casefold()}"), name)
