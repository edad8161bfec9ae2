"""Where an ancestor stands, in words."""

from __future__ import annotations

from holdback.descent.pedigree import Pedigree
from holdback.web.pages.path_words import side_words


def line_of_dams(generations: int) -> Pedigree:
    """A0 over A1, each the dam of the next."""
    return Pedigree.from_parents({f"A{n + 1}": (f"S{n}", f"A{n}") for n in range(generations)})


def way(pedigree: Pedigree, *names: str) -> list[int]:
    return [pedigree.index[name] for name in names]


def test_side__names_each_step() -> None:
    family = Pedigree.from_parents({"T": ("M", "Q"), "U": ("M", "T")})
    assert side_words(family, way(family, "M"), "sire") == "sire"
    assert side_words(family, way(family, "T", "M"), "dam") == "dam's sire"
    assert side_words(family, way(family, "T", "Q"), "dam") == "dam's dam"


def test_side__counts_generations_where_the_way_is_long() -> None:
    family = line_of_dams(5)
    assert side_words(family, way(family, "A4", "A3", "A2", "A1"), "dam") == "dam's dam's dam's dam"
    assert side_words(family, way(family, "A4", "A3", "A2", "A1", "A0"), "dam") == "5 generations up on the dam's side"
