"""Everything that the page of a pedigree shows."""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.descent.paths import common_ancestors
from holdback.errors import Fault, HoldbackError
from holdback.web.pages.components import STROKES, Table
from holdback.web.pages.pedigree import telling, words
from holdback.web.pages.pedigree.asked import Asked
from holdback.web.pages.pedigree.graph import Box, Kind, graph_of
from holdback.web.pages.pedigree.keys import keys_by_id
from holdback.web.pages.pedigree.lists import Lists, told
from holdback.web.pages.pedigree.shading import Choice, choices, shade_of, shading_of
from holdback.web.pages.pedigree.svg import Caption, Drawing, drawing
from holdback.web.pages.wording import day

if TYPE_CHECKING:
    from holdback.answers import Answers

PHONE, DESK = 358, 936
"""Pixels that a phone and a desk have for a drawing; a phone shows the list instead of a wider one."""

_LOOKS = {
    Basis.MEASURED: "Solid",
    Basis.BY_DESCENT: "Dashed",
    Basis.BY_OFFSPRING: "Double",
    Basis.CLAIMED: "Dotted",
    Basis.ASSUMED: "Wavy",
    Basis.REHEARSED: "Wavy",
}


@dataclass(frozen=True)
class Shown:
    """The page of a pedigree.

    Parameters
    ----------
    name : str
        Name and id of the animal in question.
    beside : str
        Name and id of the animal that it is set beside; may be empty.
    plain, doubt : str
        Title sentences: what stands out, and what is uncertain or left out.
    drawing : Drawing
        The drawing.
    is_wide, is_wider : bool
        Whether it is wider than a phone, and than a desk.
    lists : list of (str, Table)
        The same as lists, by generation.
    key : list of str
        How to read the drawing.
    strokes : list of (str, str)
        Class and word of each basis stroke that occurs.
    choices : list of Choice
        Ways to shade.
    pair : str
        Address of the pair that the two would be; empty where they are none.
    """

    name: str
    beside: str
    plain: str
    doubt: str
    drawing: Drawing
    is_wide: bool
    is_wider: bool
    lists: list[tuple[str, Table]]
    key: list[str]
    strokes: list[tuple[str, str]]
    choices: list[Choice]
    pair: str


class View:
    """A pedigree as an address asks for it.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    animal : str
        Id of the animal in question.
    asked : Asked
        Options.

    Raises
    ------
    HoldbackError
        PED-010 if there is no such animal, PED-011 or PAGE-002 if it cannot be shaded so, PAGE-003 if nobody is called
        what it is to be set beside.
    """

    def __init__(self, answers: Answers, animal: str, asked: Asked) -> None:
        self.answers, self.asked = answers, asked
        descent = answers.descent
        self.pedigree = descent.pedigree
        beside = descent.node(_found(answers, asked.beside)) if asked.beside else None
        self.graph = graph_of(
            self.pedigree,
            descent.node(animal),
            up=asked.up,
            down=asked.down,
            is_folded=asked.is_folded,
            beside=beside,
        )
        self.names = words.Names(self.pedigree, answers.collection)
        by_size = sorted(self.graph.boxes, key=lambda box: len(box.nodes))
        self.shading = shading_of(asked.shade, answers, [one for box in by_size for one in box.nodes])
        found = {box.node: shade_of(self.shading, box.nodes) for box in self.graph.boxes}
        self.shades = {node: shade for node, shade in found.items() if shade}
        self.relations = words.relations(self.graph, self.names)
        shared = common_ancestors(self.pedigree, *self.graph.asked) if len(self.graph.asked) == 2 else ()
        self.common = [one for one in shared if self.pedigree.on_record[one]]

    def page(self) -> Shown:
        """Everything that the page shows."""
        drawn = self._drawing(self._addresses())
        lists = Lists(self.graph, self.names, relations=self.relations, keys=self._keys, common=self.common)
        others = [box.node for box in self.graph.singles() if box.node not in self.graph.asked]
        return Shown(
            self.names.of(self.graph.asked[0]),
            self.names.of(self.graph.asked[1]) if len(self.graph.asked) == 2 else "",
            self.plain,
            telling.doubt(self.graph),
            drawn,
            drawn.width > PHONE,
            drawn.width > DESK,
            lists.tables(self.shades, self.shading.name),
            self._key(),
            [(STROKES[basis], basis.value) for basis in self._bases()],
            choices(self.answers, self._ids([*self.graph.asked, *others])),
            self._pair(),
        )

    def file(self, *, keeper: str, today: date) -> str:
        """The drawing as a file that stands alone."""
        title = f"Pedigree of {self.names.of(self.graph.asked[0])}"
        if len(self.graph.asked) == 2:
            title += f" beside {self.names.of(self.graph.asked[1])}"
        strokes = [f"{_LOOKS[basis]} outline: {basis.value}." for basis in self._bases()]
        head = [title, ", ".join(part for part in (day(today), keeper) if part)]
        return str(self._drawing({}, head=head, foot=[*self._key(), *strokes]).svg)

    @cached_property
    def plain(self) -> str:
        """What stands out."""
        if len(self.graph.asked) == 1:
            inbreeding = float(self.answers.descent.inbreeding[self.graph.asked[0]])
            return telling.of_one(self.graph, self.names, inbreeding=inbreeding, up=self.asked.up)
        ids = self._ids(self.graph.asked)
        kinship = float(self.answers.descent.kinship(ids[:1], ids[1:])[0, 0])
        return telling.of_two(self.graph, self.names, common=self.common, kinship=kinship)

    def _drawing(self, addresses: Mapping[int, str], *, head: Sequence[str] = (), foot: Sequence[str] = ()) -> Drawing:
        return drawing(
            self.graph,
            {box.node: self._caption(box, addresses.get(box.node, "")) for box in self.graph.boxes},
            self.shades,
            said=f"Pedigree of {self.names.of(self.graph.asked[0])}. {self.plain}",
            common=frozenset(self.common),
            head=head,
            foot=foot,
        )

    def _ids(self, nodes: Iterable[int]) -> list[str]:
        return [self.pedigree.ids[node] for node in nodes]

    @cached_property
    def _keys(self) -> dict[int, uuid.UUID]:
        """Records of the animals drawn, by node."""
        nodes = [node for box in self.graph.boxes for node in box.nodes if self.pedigree.on_record[node]]
        found = keys_by_id(self._ids(nodes))
        return {node: found[name] for node in nodes if (name := self.pedigree.ids[node]) in found}

    def _addresses(self) -> dict[int, str]:
        """Where each box leads: the drawing of that animal, or the same drawing with every clutch mate by itself."""
        query = self.asked.alone().address()
        found = {node: f"{reverse('pages:pedigree', args=[key])}{query}" for node, key in self._keys.items()}
        unfolded = self.asked.unfolded().address()
        return found | {box.node: unfolded for box in self.graph.boxes if box.kind is Kind.MORE}

    def _caption(self, box: Box, address: str) -> Caption:
        shade, relation = self.shades.get(box.node), self.relations[box.node]
        known = f"{self.shading.name}: {told(shade)}" if shade else ""
        if box.kind is Kind.UNKNOWN:
            return Caption("not on record", "", f"{relation}, not on record")
        if box.kind is Kind.MORE:
            name, sexes = words.folded(self.graph, box), words.sexes_in_full(self.graph, box.nodes)
            said = [name, sexes, relation, known, "show each" if address else ""]
            return Caption(name, words.sexes_in_words(self.graph, box.nodes), _joined(said), address)
        year = self.names.year(box.node)
        said = [self.names.of(box.node), relation, words.sex_in_words(box.sex)]
        said += [f"hatched {year}" if year else "hatch year not known", known]
        said += ["ancestor of both"] if box.node in self.common else []
        line = " · ".join(part for part in (self.names.id(box.node), year) if part)
        return Caption(self.names.short(box.node), line, _joined(said), address)

    def _key(self) -> list[str]:
        return telling.key(
            self.graph,
            fill=self.shading.name,
            has_solid=any(shade.solid for shade in self.shades.values()),
            has_common=bool(self.common),
        )

    def _pair(self) -> str:
        """Address of the pair that the two animals would be."""
        by_sex = {self.pedigree.sexes[node]: self.pedigree.ids[node] for node in self.graph.asked}
        if by_sex.keys() != {Sex.MALE, Sex.FEMALE}:
            return ""
        return f"{reverse('pages:pair')}?{urlencode({'sire': by_sex[Sex.MALE], 'dam': by_sex[Sex.FEMALE]})}"

    def _bases(self) -> list[Basis]:
        """How the numbers drawn are known, in the order of the strokes."""
        found = {shade.basis for shade in self.shades.values()}
        return [basis for basis in Basis if basis in found]


def _found(answers: Answers, text: str) -> str:
    """Id of an animal by id or name."""
    animal = answers.find(text)
    if animal is None:
        hint = "Give an id, or a name that only one bears."
        raise HoldbackError(Fault("PAGE-003", f"No animal is called {text!r}.", hint, field="with"))
    return animal.id


def _joined(parts: Iterable[str]) -> str:
    return ", ".join(part for part in parts if part)
