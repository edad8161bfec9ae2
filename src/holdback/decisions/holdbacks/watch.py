"""How far a choice has come."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from holdback.heredity.network import Cancelled


@dataclass(frozen=True, slots=True)
class Watch:
    """How far a choice has come: told the share done, and asked whether to stop."""

    progress: Callable[[float], None] | None = None
    cancelled: Callable[[], bool] | None = None

    def step(self, share: float) -> None:
        """Tell the share done.

        Raises
        ------
        Cancelled
            If asked to stop.
        """
        if self.cancelled and self.cancelled():
            raise Cancelled("Asked to stop while hatchlings were compared.")
        if self.progress:
            self.progress(min(share, 1.0))

    def part(self, first: float, last: float) -> Watch:
        """The same for a part of the work, from one share to another."""
        told = self.progress
        return Watch(None if told is None else lambda share: told(first + (last - first) * share), self.cancelled)
