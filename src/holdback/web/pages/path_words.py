"""Ways over which an animal is inbred, in words: "25 % through Mortar 16-01: sire, and dam's sire"."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from holdback.answers.descent.names import named, percent
from holdback.web.pages.wording import counted

if TYPE_CHECKING:
    from holdback.answers.descent import Descent
    from holdback.descent.paths import Path, Paths
    from holdback.descent.pedigree import Pedigree

PATHS = 5
"""Ways that a page lists."""
SPELT = 4
"""Generations up to which an ancestor is named by the way to it."""


def path_words(descent: Descent, paths: Paths) -> list[str]:
    """The costliest ways: what each costs, through whom, and where that ancestor stands on either side.

    Parameters
    ----------
    descent : Descent
        Answers over the pedigree of the paths.
    paths : Paths
        Of one animal.
    """
    if not paths.paths:
        return []
    shown = paths.paths[:PATHS]
    words = [_path(descent, paths, one) for one in shown]
    left = paths.total - sum(one.contribution for one in shown)
    if left > 1e-9:
        more = "many more ways" if paths.rest > 1e-9 else counted(len(paths.paths) - PATHS, "more way")
        words.append(f"{percent(left)} over {more}.")
    return words


def _path(descent: Descent, paths: Paths, path: Path) -> str:
    top = path.chain.index(path.ancestor)
    sire_side = side_words(descent.pedigree, path.chain[: top + 1], "sire")
    dam_side = side_words(descent.pedigree, path.chain[: top - len(path.chain) - 1 : -1], "dam")
    name = named(descent.collection, paths.ids[path.ancestor])
    return f"{percent(path.contribution)} through {name}: {sire_side}, and {dam_side}."


def side_words(pedigree: Pedigree, way: Sequence[int], side: str) -> str:
    """Where an ancestor stands: "dam's sire".

    Parameters
    ----------
    pedigree : Pedigree
        With the nodes of the way.
    way : sequence of int
        Nodes from a parent up to the ancestor; a node that stands for one of several sires is no step.
    side : str
        What the first of them is.
    """
    steps: list[str] = []
    step = side
    for node, above in zip(way, (*way[1:], None), strict=True):
        if node in pedigree.candidates:
            step = f"possible {step}"
            continue
        steps.append(step)
        step = "dam" if above is not None and above == int(pedigree.parents[node, 1]) else "sire"
    if len(steps) > SPELT:
        return f"{len(steps)} generations up on the {side}'s side"
    return "'s ".join(steps)
