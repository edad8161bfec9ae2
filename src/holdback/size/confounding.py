"""Whether a line can be told from the way its animals were kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.size.separating import best_swap
from holdback.size.share_information import LEVEL_SD, NOT_KNOWN, information_left

FloatArray = npt.NDArray[np.float64]

ENOUGH = 0.6
"""Where this much of the information is left, nothing is advised (assumed)."""

FACTORS = {
    "room": ("room", "rooms"),
    "keeper": ("keeper", "keepers"),
    "feeding": ("way of feeding", "ways of feeding"),
    "rearing": ("way of rearing", "ways of rearing"),
    "year of hatching": ("year of hatching", "years of hatching"),
    "sex": ("sex", "sexes"),
}
"""What one level of each factor is called, and several."""

WITHIN = {
    "room": "in one room",
    "keeper": "with one keeper",
    "feeding": "fed in one way",
    "rearing": "reared in one way",
}
"""Of the factors whose level the keeper chooses for each animal."""


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


def design(
    shares: Sequence[float] | FloatArray,
    levels: Sequence[str],
    factor: str,
    weights: Sequence[float] | FloatArray | None = None,
) -> Design:
    """How share of a line and one way of keeping hang together, among the animals that were weighed.

    Parameters
    ----------
    shares : float array, shape (n_animals,)
        Expected share of the line, in [0, 1].
    levels : sequence of str, length n_animals
        Where or how each animal grew up; "" where it is not known, such an animal tells nothing here.
    factor : str
        What the levels are: one of `FACTORS`.
    weights : float array, shape (n_animals,), optional
        How much each animal tells, in any unit; alike where left out.

    Returns
    -------
    Design
        The same whatever the order of the animals and the names of the levels.

    Raises
    ------
    KeyError
        If the factor is none of `FACTORS`.

    Examples
    --------
    >>> apart = design([1, 1, 0, 0], ["B", "B", "A", "A"], "room")
    >>> apart.is_connected, apart.information_left
    (False, 0.0)
    """
    share = np.asarray(shares, dtype=np.float64)
    left = information_left(share, [levels], weights=weights)
    partly = information_left(share, [levels], weights=weights, level_sd=LEVEL_SD)
    is_connected = any(len(set(one.tolist())) > 1 for one in _by_level(share, levels).values())
    said = _said(factor, share, levels, left, partly)
    advice = _advice(factor, share, levels, weights) if left < ENOUGH and _has_spread(share) else ()
    return Design(factor, _counted(share, levels), is_connected, left, said, advice)


def designs(
    shares: Sequence[float] | FloatArray,
    factors: Mapping[str, Sequence[str]],
    weights: Sequence[float] | FloatArray | None = None,
) -> tuple[Design, ...]:
    """How share of a line hangs together with each of several ways of keeping, and with all of them at once.

    Parameters
    ----------
    shares, weights
        As in `design`.
    factors : mapping of str to sequence of str
        Levels of each animal, by factor.

    Returns
    -------
    tuple of Design
        One for each factor; with two or more factors a last one whose levels are their filled combinations, with what
        is left where each factor adds its own part. It may be connected where no combination holds different shares,
        and advises nothing of its own.
    """
    found = [design(shares, levels, factor, weights) for factor, levels in factors.items()]
    if len(factors) > 1:
        share = np.asarray(shares, dtype=np.float64)
        left = information_left(share, list(factors.values()), weights=weights)
        columns = zip(*factors.values(), strict=True)
        cells = [NOT_KNOWN if NOT_KNOWN in one else ", ".join(one) for one in columns]
        plurals = _listed([FACTORS[one][1] for one in factors]).capitalize()
        said = f"{plurals} together leave {_percent(left)} of what sizes can tell of the line."
        found.append(Design(_listed(list(factors)), _counted(share, cells), left > 0, left, said))
    return tuple(found)


def _has_spread(share: FloatArray) -> bool:
    """Whether there are animals of different shares."""
    return len(share) > 1 and float(np.ptp(share)) > 1e-9


def _by_level(share: FloatArray, levels: Sequence[str]) -> dict[str, FloatArray]:
    """Shares of the animals of each known level."""
    at = np.array(levels)
    return {name: share[at == name] for name in sorted(set(levels) - {NOT_KNOWN})}


def _counted(share: FloatArray, levels: Sequence[str]) -> tuple[tuple[str, int, float], ...]:
    """Known levels with animals and mean share, the most animals first."""
    found = [(name, len(one), float(one.mean())) for name, one in _by_level(share, levels).items()]
    return tuple(sorted(found, key=lambda one: (-one[1], one[0])))


def _said(factor: str, share: FloatArray, levels: Sequence[str], left: float, partly: float) -> str:
    """What is left, in one sentence."""
    singular, plural = FACTORS[factor]
    by_level = _by_level(share, levels)
    n_unknown = sum(one == NOT_KNOWN for one in levels)
    if not _has_spread(share):
        return "All animals that were weighed have the same share of the line, so nothing tells its effect."
    if not by_level:
        return f"The {singular} of no animal is known, so the line cannot be told from the {plural}."
    if len(by_level) == 1 and not n_unknown:
        return f"There is one {singular} only, which cannot be taken for the line."
    if left == 0:
        return (
            f"No {singular} holds animals of different shares, so the line cannot be told from the {plural}: had these "
            f"differed by no more than about {_percent(LEVEL_SD)} of mass (assumed), {_percent(partly)} of what sizes "
            "can tell of it would be left."
        )
    unknown = f"; {n_unknown} animals whose {singular} is not known tell nothing of it" if n_unknown else ""
    return (
        f"If the {plural} may differ by anything, {_percent(left)} of what sizes can tell of the line is left, and "
        f"{_percent(partly)} if they differ by about {_percent(LEVEL_SD)} of mass (assumed){unknown}."
    )


def _advice(
    factor: str, share: FloatArray, levels: Sequence[str], weights: Sequence[float] | FloatArray | None
) -> tuple[str, ...]:
    """What would tell line and factor apart, in sentences."""
    if factor == "sex":
        return ("Keep and weigh young of both sexes from each mating.",)
    if factor == "year of hatching":
        return (
            "Make a mating with much of the line and one with little of it in the same season, and weigh the young of "
            "both: only what hatches in one year can be compared whatever the year was like.",
        )
    clutches = (
        "All young of one clutch expect the same share, so one clutch tells nothing by itself: raise clutches of "
        f"different shares {WITHIN[factor]}, or split each clutch between several."
    )
    swap = best_swap(share, levels, weights=weights)
    if swap is None:
        return (clutches,)
    animals = "animal" if swap.n_animals == 1 else "animals"
    changed = (
        f"Had {swap.n_animals} {animals} with the most of the line in {swap.first!r} and {swap.n_animals} with the "
        f"least of it in {swap.second!r} grown up in each other's place, {_percent(swap.left_then)} would be left (now "
        f"{_percent(swap.left_now)}): place the next young so, after quarantine."
    )
    return (changed, clutches)


def _percent(part: float) -> str:
    """A part in percent, never quite none and never quite all unless it is."""
    if 0 < part < 0.005:
        return "less than 1 %"
    return "more than 99 %" if 0.995 < part < 1 else f"{100 * part:.0f} %"


def _listed(words: Sequence[str]) -> str:
    """Words with commas and an "and"."""
    return f"{', '.join(words[:-1])} and {words[-1]}"
