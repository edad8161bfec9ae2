"""Whether a line can be told from the way its animals were kept."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Design:
    """How share of a line and a way of keeping hang together.

    Parameters
    ----------
    factor : str
        "room", "keeper", "year of hatching", "feeding".
    levels : tuple of (str, int, float)
        Each level with the animals weighed in it and their mean share of the line, the most animals first.
    is_connected : bool
        Whether some level holds animals of different shares.
    information_left : float
        Part of the information on the line effect that is left once the levels may differ freely, in [0, 1].
    said : str
        What that means, in one sentence.
    advice : tuple of str
        Matings or moves that would separate the two, in sentences; empty where they are separate enough.
    """

    factor: str
    levels: tuple[tuple[str, int, float], ...]
    is_connected: bool
    information_left: float
    said: str
    advice: tuple[str, ...] = ()
