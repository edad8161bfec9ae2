"""Sentences of the page: what stands out, what is uncertain, how the drawing is read."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.collection.model import Sex
from holdback.web.pages.pedigree import words
from holdback.web.pages.pedigree.graph import Graph, Kind
from holdback.web.pages.pedigree.words import Names
from holdback.web.pages.wording import counted, listed, percent

COMMON_TOLD = 5
"""Common ancestors that a sentence names."""


def of_one(graph: Graph, names: Names, *, inbreeding: float, up: int) -> str:
    """What stands out in the pedigree of one animal.

    Parameters
    ----------
    graph : Graph
        What is drawn.
    names : Names
        What the animals are called.
    inbreeding : float
        Its inbreeding coefficient.
    up : int
        Generations of ancestors that were asked for.
    """
    told = words.repeated(graph, names)
    if not told and graph.pedigree.is_founder[graph.asked[0]]:
        told = "No parent is on record."
    elif not told and up:
        told = f"No ancestor stands in it twice within {counted(up, 'generation')}."
    return f"{told} Inbreeding {percent(inbreeding)}, by descent.".strip() if inbreeding else told


def of_two(graph: Graph, names: Names, *, common: Sequence[int], kinship: float) -> str:
    """What two animals share.

    Parameters
    ----------
    graph : Graph
        What is drawn; both are asked for.
    names : Names
        What the animals are called.
    common : sequence of int
        Nodes from which both descend, the nearest first; one of the two may be among them.
    kinship : float
        Their kinship: the inbreeding of young of the two.
    """
    if not common:
        return f"{listed([names.of(node) for node in graph.asked])} have no common ancestor on record."
    first, second = graph.asked
    told = []
    if first in common or second in common:
        elder, younger = (first, second) if first in common else (second, first)
        told.append(f"{names.of(elder)} is an ancestor of {names.of(younger)}.")
    shared = [names.of(node) for node in common if node not in graph.asked]
    if len(shared) > COMMON_TOLD:
        shared = [*shared[:COMMON_TOLD], f"{len(shared) - COMMON_TOLD} more"]
    if shared:
        told.append(f"Both go back to {listed(shared)}.")
    sexes = {graph.pedigree.sexes[node] for node in graph.asked}
    is_pair = len(sexes) == 2 or Sex.UNKNOWN in sexes
    what = f"Young of the two would be {percent(kinship)} inbred" if is_pair else f"Their kinship is {percent(kinship)}"
    return " ".join([*told, f"{what}, by descent."])


def doubt(graph: Graph) -> str:
    """What is uncertain, and what is left out; empty where there is nothing."""
    unknown = sum(box.kind is Kind.UNKNOWN for box in graph.boxes)
    broods = sum(any(chance < 1 for _, chance in nest.parents) for nest in graph.nests)
    parts = []
    if broods:
        parts.append(f"The sire of {counted(broods, 'clutch', 'clutches')} is in doubt.")
    if unknown:
        parts.append(f"{counted(unknown, 'parent')} {'is' if unknown == 1 else 'are'} not on record.")
    if graph.left_out:
        are = "is" if graph.left_out == 1 else "are"
        parts.append(
            f"{counted(graph.left_out, 'more animal')} {are} not drawn for want of room; ask for fewer generations."
        )
    return " ".join(parts)


def key(graph: Graph, *, fill: str, has_solid: bool, has_common: bool) -> list[str]:
    """How to read what is drawn; only what occurs.

    Parameters
    ----------
    graph : Graph
        What is drawn.
    fill : str
        What the boxes are filled by; empty for nothing.
    has_solid, has_common : bool
        Whether some fill is solid, and whether a common ancestor is marked.
    """
    occurs = {
        "A number in a diamond: so many of one clutch, none with young on record.": any(
            box.kind is Kind.MORE for box in graph.boxes
        ),
        "A dashed line: perhaps the sire, with the chance.": any(
            chance < 1 for nest in graph.nests for _, chance in nest.parents
        ),
        "Small and open: a parent not on record.": any(box.kind is Kind.UNKNOWN for box in graph.boxes),
        "Two strokes above: has parents on record that are not drawn.": any(box.is_cut for box in graph.boxes),
        "A second outline around: an ancestor of both.": has_common,
        f"Filled from below: {fill[:1].lower()}{fill[1:]}{'; solid is two copies' if has_solid else ''}.": bool(fill),
    }
    return [
        "Squares are males, circles females, diamonds of unknown sex.",
        *(one for one, is_so in occurs.items() if is_so),
    ]
