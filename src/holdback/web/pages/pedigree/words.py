"""The drawing in words: how each animal is related, what the drawing shows, and the same as lists."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.collection import Collection
from holdback.collection.model import Sex
from holdback.descent.pedigree import Pedigree
from holdback.web.pages.pedigree.graph import Box, Graph, Kind, Role, parents_of
from holdback.web.pages.wording import counted, listed, whole_percent

SPELT = 4
"""Generations up to which an ancestor is named by the way to it: "dam's sire"."""
TOLD_WAYS = 2
"""Ways that are spelt out where several lead to an ancestor."""

_GENERATIONS = {1: "Parents", 2: "Grandparents", 3: "Great-grandparents", -1: "Young", -2: "Young of the young"}
_YOUNG = {Sex.MALE: "son", Sex.FEMALE: "daughter"}


@dataclass(frozen=True, slots=True)
class Ways:
    """Lines that lead up from an animal to an ancestor.

    Parameters
    ----------
    spelt : tuple of str
        The shortest in words: "sire", "dam's sire"; at most `TOLD_WAYS`.
    count : int
        How many there are.
    nearest : int
        Generations of the shortest.
    """

    spelt: tuple[str, ...]
    count: int
    nearest: int

    @property
    def words(self) -> str:
        """The lines in words."""
        if not self.spelt:
            over = f", {self.count} ways" if self.count > 1 else ""
            return f"ancestor {self.nearest} generations up{over}"
        rest = self.count - len(self.spelt)
        return listed([*self.spelt, counted(rest, "more way")] if rest else list(self.spelt))


class Names:
    """What the nodes of a pedigree are called.

    Parameters
    ----------
    pedigree : Pedigree
        Nodes.
    collection : Collection
        Animals on record.
    """

    def __init__(self, pedigree: Pedigree, collection: Collection) -> None:
        self._pedigree = pedigree
        self._animals = collection.animals

    def of(self, node: int) -> str:
        """Name and id."""
        record = self._animals.get(self._pedigree.ids[node])
        return f"{record.name} {record.id}".strip() if record else "an animal that is not on record"

    def short(self, node: int) -> str:
        """Name, the id where it has none."""
        record = self._animals.get(self._pedigree.ids[node])
        return (record.name or record.id) if record else "not on record"

    def id(self, node: int) -> str:
        """Id where there is a name beside it, else empty."""
        record = self._animals.get(self._pedigree.ids[node])
        return record.id if record and record.name else ""

    def year(self, node: int) -> str:
        """Hatch year, empty where it is not known."""
        record = self._animals.get(self._pedigree.ids[node])
        return str(record.hatched.year) if record and record.hatched else ""


def ways_up(graph: Graph, node: int) -> dict[int, Ways]:
    """Drawn lines from an animal to each of its drawn ancestors."""
    drawn = {box.node for box in graph.boxes}
    found: dict[int, Ways] = {}
    front: dict[int, tuple[tuple[str, ...], int]] = {node: (("",), 1)}
    generation = 0
    while front:
        generation += 1
        above: dict[int, tuple[tuple[str, ...], int]] = {}
        for one, (spelt, count) in front.items():
            for parent, chance in parents_of(graph.pedigree, one):
                if parent in drawn:
                    side = _side(graph.pedigree, one, parent, chance)
                    known, times = above.get(parent, ((), 0))
                    fresh = tuple(f"{way}'s {side}" if way else side for way in spelt)
                    above[parent] = ((*known, *fresh)[:TOLD_WAYS], times + count)
        for one, (spelt, count) in above.items():
            before = found.get(one, Ways((), 0, generation))
            told = (*before.spelt, *spelt)[:TOLD_WAYS] if generation <= SPELT else before.spelt
            found[one] = Ways(told, before.count + count, before.nearest)
        front = above
    return found


def _side(pedigree: Pedigree, young: int, parent: int, chance: float) -> str:
    if parent == int(pedigree.parents[young, 1]):
        return "dam"
    return "sire" if chance >= 1 else "possible sire"


def relations(graph: Graph, names: Names) -> dict[int, str]:
    """How each box is related to the animal in question, by its first node."""
    ways = {node: ways_up(graph, node) for node in graph.asked}
    found = {}
    for box in graph.boxes:
        parts = []
        for node, up in ways.items():
            if box.node in up and box.kind is not Kind.MORE:
                of = f" of {names.short(node)}" if len(ways) > 1 else ""
                parts.append(f"{up[box.node].words}{of}")
        if box.role is Role.ASKED:
            parts.insert(0, "the animal in question" if box.node == graph.asked[0] else "set beside it")
        elif box.role is Role.CLUTCH_MATE:
            parts.append(_mates(box))
        elif box.role is Role.DESCENDANT:
            parts.append(_descendant(graph, box, names))
        if mate := _as_parent(graph, box):
            parts.append(mate)
        found[box.node] = ", ".join(parts)
    return found


def _mates(box: Box) -> str:
    if box.kind is Kind.MORE:
        return f"{len(box.nodes)} clutch mates"
    return "clutch mate"


def _descendant(graph: Graph, box: Box, names: Names) -> str:
    """Young of the animal in question, or of one of its young."""
    many = box.kind is Kind.MORE
    word = f"{len(box.nodes)} young" if many else _YOUNG.get(box.sex, "young")
    by_node = {one.node: one for one in graph.boxes}
    kin = [
        (parent, chance)
        for parent, chance in parents_of(graph.pedigree, box.node)
        if parent in by_node and by_node[parent].role in (Role.ASKED, Role.DESCENDANT)
    ]
    doubt = max((chance for _, chance in kin), default=1.0)
    word = f"possibly {word} ({whole_percent(doubt)})" if doubt < 1 else word
    if any(parent == graph.asked[0] for parent, _ in kin):
        return word
    return f"{word} of {listed([names.of(parent) for parent, _ in kin])}"


def _as_parent(graph: Graph, box: Box) -> str:
    """What a box is to drawn descendants, where it is not one of their line."""
    if box.role in (Role.ASKED, Role.DESCENDANT, Role.CLUTCH_MATE):
        return ""
    below = {node for one in graph.boxes if one.role is Role.DESCENDANT for node in one.nodes}
    sizes = {one.node: len(one.nodes) for one in graph.boxes}
    young, chance, is_dam = 0, 1.0, False
    for nest in graph.nests:
        for parent, part in nest.parents:
            if parent == box.node and nest.young[0] in below:
                young += sum(sizes[one] for one in nest.young if one in below)
                chance = min(chance, part)
                is_dam = parent == int(graph.pedigree.parents[nest.young[0], 1])
    if not young:
        return ""
    doubt = f"possible ({whole_percent(chance)}) " if chance < 1 else ""
    return f"{doubt}{'dam' if is_dam else 'sire'} of {young} drawn young"


@dataclass(frozen=True, slots=True)
class Section:
    """Boxes of one generation, under one head."""

    title: str
    boxes: tuple[Box, ...]


def sections(graph: Graph) -> list[Section]:
    """Boxes by generation: the animal in question, upwards, clutch mates, other parents, downwards."""
    found: dict[tuple[int, int], list[Box]] = {}
    titles: dict[tuple[int, int], str] = {}
    for box in sorted(graph.boxes, key=lambda one: graph.asked.index(one.node) if one.node in graph.asked else 0):
        key, title = _section(box)
        found.setdefault(key, []).append(box)
        titles[key] = title
    return [Section(titles[key], tuple(found[key])) for key in sorted(found)]


def _section(box: Box) -> tuple[tuple[int, int], str]:
    """Place and head of the section that a box stands in."""
    if box.role is Role.ASKED:
        return (0, 0), "In question"
    if box.role is Role.ANCESTOR:
        return (1, box.generation), _GENERATIONS.get(box.generation, f"{box.generation} generations up")
    if box.role is Role.CLUTCH_MATE:
        return (2, 0), "Clutch mates"
    if box.role is Role.OTHER_PARENT:
        return (3, 0), "Other parents of the young"
    down = -box.generation
    return (4, down), _GENERATIONS.get(-down, f"{down} generations down")


def repeated(graph: Graph, names: Names) -> str:
    """Ancestors on record to whom several drawn lines lead, in a sentence; empty where there are none."""
    node = graph.asked[0]
    ways = ways_up(graph, node)
    heads = sorted(
        (one for one in ways if graph.pedigree.on_record[one] and len(_on_the_way(graph, one, ways, node)) > 1),
        key=lambda one: (ways[one].nearest, -ways[one].count, one),
    )
    if not heads:
        return ""
    first = heads[0]
    told = f"{names.of(first)} stands in it {_times(ways[first].count)}: {ways[first].words}."
    if len(heads) > 1:
        rest = [names.of(one) for one in heads[1:4]]
        rest += [f"{len(heads) - 4} more"] if len(heads) > 4 else []
        told += f" So {'does' if len(heads) == 2 else 'do'} {listed(rest)}."
    return told


def _on_the_way(graph: Graph, parent: int, ways: Mapping[int, Ways], node: int) -> set[int]:
    """Young of an ancestor over which drawn lines lead down to the animal in question."""
    young = {one for nest in graph.nests for one in nest.young if any(each == parent for each, _ in nest.parents)}
    return {one for one in young if one in ways or one == node}


def _times(count: int) -> str:
    return {2: "twice", 3: "three times"}.get(count, f"{count} times")


def sexes_in_words(graph: Graph, nodes: Sequence[int]) -> str:
    """Animals by sex: "2 males, 3 females"; those of unknown sex are the rest."""
    sexes = [graph.pedigree.sexes[node] for node in nodes]
    counts = {"male": sexes.count(Sex.MALE), "female": sexes.count(Sex.FEMALE)}
    return ", ".join(counted(count, word) for word, count in counts.items() if count) or "sex not known"


def sexes_in_full(graph: Graph, nodes: Sequence[int]) -> str:
    """Animals by sex, those of unknown sex too: "2 males, 3 females, 1 of unknown sex"."""
    unknown = sum(graph.pedigree.sexes[node] is Sex.UNKNOWN for node in nodes)
    rest = f", {unknown} of unknown sex" if 0 < unknown < len(nodes) else ""
    return f"{sexes_in_words(graph, nodes)}{rest}"


def sex_in_words(sex: Sex) -> str:
    """Sex of one animal."""
    return "sex not known" if sex is Sex.UNKNOWN else sex.value


def folded(graph: Graph, box: Box) -> str:
    """What a box of several clutch mates is called: "5 more", or "5 young" where none of them is drawn by itself."""
    alone = any(box.node in nest.young and len(nest.young) == 1 for nest in graph.nests)
    return f"{len(box.nodes)} {'young' if alone else 'more'}"
