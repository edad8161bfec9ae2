"""All places within each other, with who is in them and how many eggs lie there; three queries."""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from django.db.models import Count

from holdback.collection.model import EggOutcome
from holdback.collection.status import is_here
from holdback.web.records.models import Animal, Egg, Place, Stay
from holdback.web.records.queries import DEEPEST_PLACE, present_animals
from holdback.web.records.room import BOXES, INCUBATOR, TUB, order_key


@dataclass(eq=False)
class Node:
    """A place with what stands in it.

    Parameters
    ----------
    place : Place
        The place.
    parts : list of Node
        What stands in it, in the order of the names.
    stays : list of Stay
        Who is in it now, each with its animal.
    own_eggs : int
        Eggs that lie in it and are neither out nor lost.
    larger : Node or None
        What it stands in.
    """

    place: Place
    parts: list[Node] = field(default_factory=list)
    stays: list[Stay] = field(default_factory=list)
    own_eggs: int = 0
    larger: Node | None = None

    @property
    def key(self) -> uuid.UUID:
        """Key of the place."""
        return self.place.pk

    @property
    def chain(self) -> list[Node]:
        """The place and what it stands in, the largest first."""
        found: list[Node] = []
        at: Node | None = self
        while at is not None and len(found) < DEEPEST_PLACE:
            found.append(at)
            at = at.larger
        return found[::-1]

    @property
    def whole(self) -> str:
        """Names from the largest place down."""
        return ", ".join(node.place.name for node in self.chain)

    @property
    def said(self) -> str:
        """Its name with what it is, where the name does not say so."""
        kind, name = self.place.kind, self.place.name
        return name if not kind or kind.split()[-1].casefold() in name.casefold() else f"{kind} {name}"

    @property
    def in_use(self) -> list[Node]:
        """Parts that are in use."""
        return [node for node in self.parts if not node.place.closed]

    @property
    def is_for_eggs(self) -> bool:
        """Whether eggs lie in it and no animals."""
        return self.place.kind in {INCUBATOR, *BOXES}

    @property
    def is_tub(self) -> bool:
        """Whether it is a tub, or a place without parts that somebody is in."""
        return self.place.kind == TUB or (not self.parts and bool(self.stays))

    def below(self) -> Iterator[Node]:
        """The place and everything in it, in order."""
        yield self
        for part in self.parts:
            yield from part.below()

    @cached_property
    def animals(self) -> list[Animal]:
        """Animals in it and in its parts."""
        return [stay.animal for node in self.below() for stay in node.stays]

    @cached_property
    def tubs(self) -> list[Node]:
        """Tubs in use, in order."""
        return [node for node in self.below() if node.is_tub and not node.place.closed]

    @property
    def free(self) -> list[Node]:
        """Tubs with nobody in them."""
        return [node for node in self.tubs if not node.stays]

    @cached_property
    def eggs(self) -> int:
        """Eggs in it and in its parts."""
        return sum(node.own_eggs for node in self.below())

    @property
    def egg_places(self) -> int | None:
        """Places for eggs: its own number, else that of its boxes; None where nobody said."""
        if self.place.capacity is not None:
            return self.place.capacity
        said = [node.place.capacity for node in self.in_use if node.place.capacity is not None]
        return sum(said) if said else None


@dataclass
class Tree:
    """All places.

    Parameters
    ----------
    nodes : dict of UUID to Node
        Every place by its key.
    """

    nodes: dict[uuid.UUID, Node]

    @classmethod
    def now(cls) -> Tree:
        """As recorded; places are read last, so that none is missing that another writer made meanwhile."""
        stays = list(Stay.objects.filter(until__isnull=True).select_related("animal").order_by("since", "id"))
        lying = Egg.objects.filter(box__isnull=False, outcome=EggOutcome.UNKNOWN, clutch__closed__isnull=True)
        eggs = list(lying.values_list("box_id").annotate(count=Count("id")).order_by())
        nodes = {place.pk: Node(place) for place in Place.objects.all()}
        for node in nodes.values():
            if node.place.within_id:
                node.larger = nodes[node.place.within_id]
                node.larger.parts.append(node)
        for node in nodes.values():
            node.parts.sort(key=lambda part: order_key(part.place.name))
        for stay in stays:
            nodes[stay.place_id].stays.append(stay)
        for key, count in eggs:
            nodes[key].own_eggs = count
        return cls(nodes)

    @property
    def tops(self) -> list[Node]:
        """Places that stand in no other, in the order of their names."""
        found = [node for node in self.nodes.values() if node.larger is None]
        return sorted(found, key=lambda node: order_key(node.place.name))

    @cached_property
    def where(self) -> dict[uuid.UUID, Node]:
        """Place of each animal that is in one."""
        return {stay.animal_id: node for node in self.nodes.values() for stay in node.stays}

    def without_place(self) -> list[Animal]:
        """Animals that are here and in no place, by their ids."""
        found = [one for one in present_animals() if is_here(one.status) and one.pk not in self.where]
        return sorted(found, key=lambda one: order_key(one.tag))

    def racks(self) -> list[tuple[Node, list[Node]]]:
        """Places with tubs right in them, each with those in use."""
        found: dict[uuid.UUID, list[Node]] = defaultdict(list)
        loose: list[tuple[Node, list[Node]]] = []
        for top in self.tops:
            for node in top.below():
                if node.is_tub and not node.place.closed:
                    if node.larger is None:
                        loose.append((node, [node]))
                    else:
                        found[node.larger.key].append(node)
        return [(self.nodes[key], tubs) for key, tubs in found.items()] + loose
