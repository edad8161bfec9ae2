"""What a pedigree drawing shows: boxes, and a nest between the parents and the young of each brood.

Every animal is one box, however many lines lead to it. Generations count upwards: the animal in question has 0, its
parents 1, its young -1.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import Enum

from holdback.collection.model import Sex
from holdback.descent.pedigree import UNKNOWN, Pedigree

MOST = 150
"""Boxes that one drawing holds; what is beyond is counted, not drawn."""

FOLDED_FROM = 2
"""Clutch mates without young from which they share one box."""


class Kind(Enum):
    """What a box stands for."""

    ANIMAL = "animal"
    UNKNOWN = "parent not on record"
    MORE = "several clutch mates"


class Role(Enum):
    """Why a box is drawn."""

    ASKED = "asked"
    ANCESTOR = "ancestor"
    CLUTCH_MATE = "clutch mate"
    DESCENDANT = "descendant"
    OTHER_PARENT = "other parent"


@dataclass(frozen=True, slots=True)
class Box:
    """One box of the drawing.

    Parameters
    ----------
    nodes : tuple of int
        Indices in the pedigree; several only where clutch mates share the box.
    kind : Kind
        Animal, unknown parent, or clutch mates.
    role : Role
        Why it is drawn.
    generation : int
        Generations above the animal in question, by the shortest way.
    sex : Sex
        Sex; unknown for clutch mates.
    is_cut : bool
        Whether it has a parent on record that is not drawn.
    """

    nodes: tuple[int, ...]
    kind: Kind
    role: Role
    generation: int
    sex: Sex
    is_cut: bool = False

    @property
    def node(self) -> int:
        """Its first node."""
        return self.nodes[0]


@dataclass(frozen=True, slots=True)
class Nest:
    """The parents and the young of one brood, as far as they are drawn.

    Parameters
    ----------
    parents : tuple of (int, float)
        First node of each parent's box, with the chance that it is the parent.
    young : tuple of int
        First node of each young's box.
    is_without_sire : bool
        Whether the young are known to have no sire.
    """

    parents: tuple[tuple[int, float], ...]
    young: tuple[int, ...]
    is_without_sire: bool = False


@dataclass(frozen=True)
class Graph:
    """A drawing before it is laid out.

    Parameters
    ----------
    pedigree : Pedigree
        Who descends from whom.
    asked : tuple of int
        The animal in question, and the one that it is set beside.
    boxes : tuple of Box
        In pedigree order of their first nodes.
    nests : tuple of Nest
        Broods.
    left_out : int
        Animals that were asked for but are not drawn.
    """

    pedigree: Pedigree
    asked: tuple[int, ...]
    boxes: tuple[Box, ...]
    nests: tuple[Nest, ...]
    left_out: int = 0

    def singles(self) -> list[Box]:
        """Boxes of one animal."""
        return [box for box in self.boxes if box.kind is Kind.ANIMAL]


def parents_of(pedigree: Pedigree, node: int) -> list[tuple[int, float]]:
    """Possible parents of an animal with the chance of each: sires, then the dam; the dam alone where there is no sire.

    Examples
    --------
    >>> one = Pedigree.from_parents({"K": ("S", "D")})
    >>> parents_of(one, one.index["K"])
    [(0, 1.0), (1, 1.0)]
    """
    sire, dam = (int(one) for one in pedigree.parents[node])
    found = [] if sire in (UNKNOWN, dam) else list(pedigree.candidates.get(sire, ((sire, 1.0),)))
    return found if dam == UNKNOWN else [*found, (dam, 1.0)]


def young_of(pedigree: Pedigree, node: int) -> list[int]:
    """Animals of which one is, or may be, a parent."""
    found: list[int] = []
    for one in pedigree.young[node]:
        found += pedigree.young[one] if one in pedigree.candidates else [one]
    return found


def generations_above(pedigree: Pedigree, node: int, most: int | None = None) -> list[list[int]]:
    """The animal and its possible ancestors, generation by generation, each in its nearest only.

    Parameters
    ----------
    pedigree : Pedigree
        Who descends from whom.
    node : int
        The animal.
    most : int, optional
        Generations; all if left out.
    """
    levels, seen = [[node]], {node}
    while levels[-1] and (most is None or len(levels) <= most):
        level: list[int] = []
        for one in levels[-1]:
            for parent, _ in parents_of(pedigree, one):
                if parent not in seen:
                    seen.add(parent)
                    level.append(parent)
        levels.append(level)
    return levels if levels[-1] else levels[:-1]


def graph_of(
    pedigree: Pedigree, node: int, *, up: int = 3, down: int = 1, is_folded: bool = True, beside: int | None = None
) -> Graph:
    """What to draw of an animal.

    Parameters
    ----------
    pedigree : Pedigree
        Who descends from whom.
    node : int
        The animal in question.
    up, down : int
        Generations of ancestors and of descendants.
    is_folded : bool
        Whether clutch mates without young share one box.
    beside : int, optional
        Another animal; both are then drawn with all their ancestors.
    """
    asked = (node,) if beside is None or beside == node else (node, beside)
    draft = _Draft(pedigree, asked, is_folded)
    draft.climb(up if len(asked) == 1 else None)
    draft.add_clutch_mates(node)
    draft.descend(node, down)
    return draft.graph()


@dataclass
class _Draft:
    """Boxes gathered so far, by their first node."""

    pedigree: Pedigree
    asked: tuple[int, ...]
    is_folded: bool
    boxes: dict[int, Box] = field(default_factory=dict)
    placed: set[int] = field(default_factory=set)
    left_out: int = 0

    def climb(self, most: int | None) -> None:
        """Add the animals asked for and their ancestors, the nearest generations first, as far as there is room."""
        ways = [generations_above(self.pedigree, node, most) for node in self.asked]
        for node in self.asked:
            self._add(node, Role.ASKED, 0)
        for generation in range(1, max(len(way) for way in ways)):
            level = dict.fromkeys(one for way in ways if generation < len(way) for one in way[generation])
            for one in level:
                if one not in self.placed and len(self.boxes) < MOST:
                    self._add(one, Role.ANCESTOR, generation)
        every = {one for way in ways for level in way for one in level}
        self.left_out += sum(bool(self.pedigree.on_record[one]) for one in every - self.placed)

    def add_clutch_mates(self, node: int) -> None:
        """Add the clutch mates of an animal whose parents are drawn."""
        drawn = [parent for parent, _ in parents_of(self.pedigree, node) if parent in self.boxes]
        if drawn:
            nest = _nest_key(self.pedigree, node)
            mates = [one for one in young_of(self.pedigree, drawn[-1]) if _nest_key(self.pedigree, one) == nest]
            self._add_young([one for one in mates if one != node], Role.CLUTCH_MATE, 0)

    def descend(self, node: int, most: int) -> None:
        """Add descendants with their other parents, brood by brood."""
        front = [node]
        for generation in range(1, most + 1):
            nests: dict[tuple[int, int, int], list[int]] = {}
            for one in front:
                for young in young_of(self.pedigree, one):
                    members = nests.setdefault(_nest_key(self.pedigree, young), [])
                    if young not in members:
                        members.append(young)
            front = []
            for young_ones in nests.values():
                front += self._add_brood(young_ones, generation)

    def _add_brood(self, young: list[int], generation: int) -> list[int]:
        """Add a brood under its parents where there is room; the young with young of their own are given back."""
        if len(self.boxes) + FOLDED_FROM >= MOST:
            self.left_out += len([one for one in young if one not in self.placed])
            return []
        for parent, _ in parents_of(self.pedigree, young[0]):
            if parent not in self.placed:
                self._add(parent, Role.OTHER_PARENT, 1 - generation)
        self._add_young(young, Role.DESCENDANT, -generation)
        return [one for one in young if one in self.boxes and self.pedigree.young[one]]

    def _add_young(self, young: list[int], role: Role, generation: int) -> None:
        """Add clutch mates: those with young on record each by itself, the others in one box where they are folded."""
        fresh = [one for one in young if one not in self.placed]
        is_folded = self.is_folded or len(self.boxes) + len(fresh) > MOST
        single = [one for one in fresh if not is_folded or self.pedigree.young[one]]
        rest = [one for one in fresh if one not in single]
        if len(rest) < FOLDED_FROM:
            single, rest = single + rest, []
        for one in single:
            if len(self.boxes) < MOST:
                self._add(one, role, generation)
            else:
                self.left_out += 1
        if rest:
            self.placed.update(rest)
            self.boxes[rest[0]] = Box(tuple(rest), Kind.MORE, role, generation, Sex.UNKNOWN)

    def _add(self, node: int, role: Role, generation: int) -> None:
        kind = Kind.ANIMAL if self.pedigree.on_record[node] else Kind.UNKNOWN
        self.placed.add(node)
        self.boxes[node] = Box((node,), kind, role, generation, self.pedigree.sexes[node])

    def graph(self) -> Graph:
        """The drawing, with a nest for each brood of which a parent and a young are drawn."""
        gathered: dict[tuple[int, int, int], list[int]] = {}
        boxes = []
        for first in sorted(self.boxes):
            box = self.boxes[first]
            parents = parents_of(self.pedigree, first)
            hidden = [parent for parent, _ in parents if parent not in self.boxes and self.pedigree.on_record[parent]]
            boxes.append(replace(box, is_cut=bool(hidden)))
            if any(parent in self.boxes for parent, _ in parents):
                gathered.setdefault(_nest_key(self.pedigree, first), []).append(first)
        return Graph(
            self.pedigree, self.asked, tuple(boxes), tuple(self._nest(one) for one in gathered.values()), self.left_out
        )

    def _nest(self, young: Sequence[int]) -> Nest:
        parents = tuple(
            (parent, chance) for parent, chance in parents_of(self.pedigree, young[0]) if parent in self.boxes
        )
        return Nest(parents, tuple(young), bool(self.pedigree.without_sire[young[0]]))


def _nest_key(pedigree: Pedigree, node: int) -> tuple[int, int, int]:
    """What the young of one brood have in common: sire (or the node of its candidates), dam, brood."""
    sire, dam = (int(one) for one in pedigree.parents[node])
    return sire, dam, int(pedigree.mates[node])
