"""Which labels an address asks for."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from holdback.web.pages.places.tree import Node, Tree
from holdback.web.records.models import Animal, Clutch
from holdback.web.records.queries import present_animals
from holdback.web.records.room import order_key

MOST = 1000
"""Labels that are drawn at once."""


@dataclass
class Chosen:
    """What is to have a label, in its order.

    Parameters
    ----------
    animals, clutches, nodes : list
        Animals, clutches and places.
    about : str
        In words.
    """

    animals: list[Animal] = field(default_factory=list)
    clutches: list[Clutch] = field(default_factory=list)
    nodes: list[Node] = field(default_factory=list)
    about: str = ""

    @property
    def count(self) -> int:
        """How many labels that makes."""
        return len(self.animals) + len(self.clutches) + len(self.nodes)


def chosen(given: Mapping[str, str], tree: Tree) -> Chosen:
    """What an address asks for.

    Parameters
    ----------
    given : mapping of str to str
        ``animals`` (keys between commas), ``clutch`` (key or id), ``rack`` and ``box`` (keys of places) with ``what``
        (``animals`` in it, its ``tubs``, or ``young`` of a clutch).
    tree : Tree
        All places.
    """
    what = given.get("what", "")
    if "animals" in given:
        keys = list(_keys(given["animals"].split(",")))
        known = present_animals().in_bulk(keys)
        return Chosen(animals=[known[key] for key in keys if key in known], about="chosen animals")
    if clutch := _clutch(given.get("clutch", "")):
        if what == "young":
            young = clutch.hatchlings.filter(removed_at__isnull=True, living=True)
            return Chosen(animals=_in_order(young), about=f"the young of clutch {clutch.tag}")
        return Chosen(clutches=[clutch], about=f"clutch {clutch.tag}")
    for node in (tree.nodes.get(key) for key in _keys([given.get("rack", ""), given.get("box", "")])):
        if node is not None and what == "tubs" and node.tubs:
            return Chosen(nodes=node.tubs, about=f"the tubs of {node.whole}")
        if node is not None and node.animals and not given.get("box"):
            return Chosen(animals=node.animals, about=f"the animals in {node.whole}")
        if node is not None:
            return Chosen(nodes=[node, *node.in_use] if node.is_for_eggs else [node], about=node.whole)
    return Chosen()


def _keys(texts: list[str]) -> Iterator[uuid.UUID]:
    """Keys that can be read, each once."""
    seen = set()
    for text in texts[:MOST]:
        try:
            key = uuid.UUID(text.strip())
        except ValueError:
            continue
        if key not in seen:
            seen.add(key)
            yield key


def _clutch(text: str) -> Clutch | None:
    """Clutch by its id or its key."""
    if not text:
        return None
    here = Clutch.objects.filter(removed_at__isnull=True).select_related("dam")
    return here.filter(tag=text).first() or next((one for key in _keys([text]) for one in here.filter(pk=key)), None)


def _in_order(animals: Iterable[Animal]) -> list[Animal]:
    return sorted(animals, key=lambda one: order_key(one.tag))
