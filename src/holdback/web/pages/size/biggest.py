"""The biggest for their age: animals of each sex in the order of their deviation from ordinary ones."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.core.paginator import Page, Paginator
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.collection.model import Sex
from holdback.web.pages.components import Column, Table
from holdback.web.pages.size.links import AnimalLinks
from holdback.web.pages.size.ranks import Place, places
from holdback.web.pages.size.strips import Scale, strip
from holdback.web.pages.size.words import (
    estimate_cell,
    known_in_words,
    mass_cell,
    plural,
)

if TYPE_CHECKING:
    from holdback.answers.size import Ranked, Sizes

PIECE = 60
"""Animals of a list shown at once."""

OF_LINE = 1 / 8
"""Expected share of a line from which an animal counts as one of it."""

SEXES = (Sex.FEMALE, Sex.MALE)


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of the lists.

    Parameters
    ----------
    is_all : bool
        Whether those that left or died are ranked too.
    line : str
        Line that they are of; empty for any.
    pages : mapping of Sex to str
        Piece shown of each list, as in the address.
    """

    is_all: bool
    line: str
    pages: Mapping[Sex, str]

    @classmethod
    def of(cls, given: Mapping[str, str], lines: Sequence[str]) -> Asked:
        """Question from the parameters of an address; a line that nobody names is left out."""
        line = given.get("line", "")
        pages = {sex: given.get(sex.value, "1") for sex in SEXES}
        return cls(given.get("who") == "all", line if line in lines else "", pages)

    def address(self, sex: Sex, page: int) -> str:
        """Query string of another piece of one list."""
        pages = {one.value: str(page) if one is sex else self.pages[one] for one in SEXES}
        parts = {"who": "all" if self.is_all else "", "line": self.line} | pages
        return urlencode({name: value for name, value in parts.items() if value not in {"", "1"}})


@dataclass(frozen=True)
class BiggestList:
    """One list.

    Parameters
    ----------
    title, said : str
        Whom it ranks, and what the top of it says.
    table : Table or None
        None where nobody is ranked.
    page : Page
        The piece shown.
    back, on : str
        Query strings of the pieces before and after; empty where there is none.
    name : str
        Name of the list in the page.
    """

    title: str
    said: str
    table: Table | None
    page: Page[tuple[Ranked, Place]]
    back: str
    on: str
    name: str


def biggest_lists(sizes: Sizes, asked: Asked) -> list[BiggestList]:
    """Females and males, the biggest for their age first.

    Parameters
    ----------
    sizes : Sizes
        Of the whole collection.
    asked : Asked
        Whom to rank.
    """
    ranked = {sex: _ranked(sizes, sex, asked) for sex in SEXES}
    pieces = {sex: _piece(found, asked.pages[sex]) for sex, found in ranked.items()}
    shown = [one.size.animal for piece in pieces.values() for one, _ in piece]
    links = AnimalLinks(sizes.collection, shown)
    return [_list(sex, pieces[sex], ranked[sex], links, asked) for sex in SEXES]


def _ranked(sizes: Sizes, sex: Sex, asked: Asked) -> list[Ranked]:
    found = sizes.biggest(sex, is_all=asked.is_all)
    if not asked.line:
        return list(found)
    descent = sizes.descent
    shares = descent.share_means(asked.line)
    return [one for one in found if shares[descent.node(one.size.animal)] >= OF_LINE]


def _piece(found: list[Ranked], page: str) -> Page[tuple[Ranked, Place]]:
    at = places([one.size.deviation for one in found])
    return Paginator(list(zip(found, at, strict=True)), PIECE).get_page(page)


def _list(
    sex: Sex, piece: Page[tuple[Ranked, Place]], ranked: list[Ranked], links: AnimalLinks, asked: Asked
) -> BiggestList:
    scale = Scale.holding([one.size.deviation for one in ranked[:PIECE]])
    return BiggestList(
        plural(sex).capitalize(),
        _said(list(places([one.size.deviation for one in ranked[:PIECE]])), ranked, links),
        _table(piece, links, scale) if ranked else None,
        piece,
        asked.address(sex, piece.previous_page_number()) if piece.has_previous() else "",
        asked.address(sex, piece.next_page_number()) if piece.has_next() else "",
        sex.value,
    )


def _said(at: list[Place], ranked: list[Ranked], links: AnimalLinks) -> SafeString:
    """Who leads, or that nobody does."""
    if not ranked:
        return SafeString()
    first = at[0]
    if not first.is_tied:
        return format_html("{} is the biggest for the age.", links(ranked[0].size.animal))
    return format_html("The first {} cannot be told apart: which of them is the biggest is open.", first.last)


def _table(piece: Page[tuple[Ranked, Place]], links: AnimalLinks, scale: Scale) -> Table:
    heads = [
        Column("Rank and animal"),
        Column("Against ordinary", is_full=True),
        Column("Grown, empty"),
        Column("Passed on"),
    ]
    rows = [
        [
            format_html('<span class="rank">{}</span> {}', place, links(one.size.animal)),
            estimate_cell(one.size.deviation) + strip(one.size.deviation, scale),
            mass_cell(one.size.adult_mass_g, "now" if one.size.is_grown else "forecast"),
            format_html(
                '{}<br><span class="third">{}</span>',
                estimate_cell(one.size.breeding_value),
                known_in_words(one.size.reliability),
            ),
        ]
        for one, place in piece
    ]
    return Table(heads, rows)
