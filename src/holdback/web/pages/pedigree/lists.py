"""The drawing as lists by generation: for those who hear it, and for a narrow screen."""

from __future__ import annotations

import uuid
from collections.abc import Container, Mapping

from django.urls import reverse
from django.utils.html import format_html, format_html_join

from holdback.web.pages.components import Column, Table
from holdback.web.pages.pedigree import words
from holdback.web.pages.pedigree.graph import Box, Graph, Kind
from holdback.web.pages.pedigree.shading import Shade
from holdback.web.pages.pedigree.words import Names

NOTHING = "—"


class Lists:
    """Tables of a drawing.

    Parameters
    ----------
    graph : Graph
        What is drawn.
    names : Names
        What the animals are called.
    relations : mapping of int to str
        How each box is related, by first node.
    keys : mapping of int to UUID
        Records of the animals that have a page, by node.
    common : container of int
        Nodes from which both animals descend.
    """

    def __init__(
        self,
        graph: Graph,
        names: Names,
        *,
        relations: Mapping[int, str],
        keys: Mapping[int, uuid.UUID],
        common: Container[int],
    ) -> None:
        self._graph, self._names, self._relations = graph, names, relations
        self._keys, self._common = keys, common

    def tables(self, shades: Mapping[int, Shade], head: str) -> list[tuple[str, Table]]:
        """Head and table of each generation.

        Parameters
        ----------
        shades : mapping of int to Shade
            Fill, by first node.
        head : str
            What the fill is, as the head of its column; empty for no such column.
        """
        columns = [Column("Animal"), Column("Relation", is_full=True), Column("Sex"), Column("Hatched")]
        if head:
            columns.append(Column(head))
        found = []
        for section in words.sections(self._graph):
            rows = [[*self._row(box), told(shades.get(box.node))] for box in section.boxes]
            found.append((section.title, Table(columns, [row[: len(columns)] for row in rows])))
        return found

    def _row(self, box: Box) -> list[str]:
        relation = self._relations[box.node] + (", ancestor of both" if box.node in self._common else "")
        if box.kind is Kind.UNKNOWN:
            return ["Not on record", relation, box.sex.value, NOTHING]
        if box.kind is Kind.MORE:
            linked = format_html_join(", ", "{}", ((self._linked(node),) for node in box.nodes))
            years = sorted({year for node in box.nodes if (year := self._names.year(node))})
            hatched = "–".join(dict.fromkeys([years[0], years[-1]])) if years else "not known"
            return [linked, relation, words.sexes_in_full(self._graph, box.nodes), hatched]
        sex = words.sex_in_words(box.sex)
        return [self._linked(box.node), relation, sex, self._names.year(box.node) or "not known"]

    def _linked(self, node: int) -> str:
        name = self._names.of(node)
        if node not in self._keys:
            return name
        return format_html('<a href="{}">{}</a>', reverse("pages:animal", args=[self._keys[node]]), name)


def told(shade: Shade | None) -> str:
    """Number of a fill with how it is known."""
    if shade is None:
        return NOTHING
    return f"{shade.words}, {shade.basis.value}" if shade.basis else shade.words
