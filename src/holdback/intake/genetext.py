"""Genes of a cell through the trade shorthand: what was read, what was not, what cannot be."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from holdback.heredity.shorthand.reading import ReadGene
    from holdback.species.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class GeneReading:
    """A gene cell as read.

    Parameters
    ----------
    words : str
        The genes in words ("Enchi, one copy; Clown, 1 in 2").
    unread : tuple of (str, str)
        Words not read, each with the nearest known name or an empty text.
    impossible : str
        Why no animal can be this; empty if one can.
    remarks : tuple of str
        What was read with a doubt.
    n_read : int
        Number of genes and other words read.
    """

    words: str = ""
    unread: tuple[tuple[str, str], ...] = ()
    impossible: str = ""
    remarks: tuple[str, ...] = ()
    n_read: int = 0


GeneReader = Callable[[str], GeneReading]
"""Reads one gene cell."""


def gene_reader(catalogue: Catalogue) -> GeneReader:
    """Reader of gene cells for a species; equal texts are read once."""
    seen: dict[str, GeneReading] = {}

    def read(text: str) -> GeneReading:
        if text not in seen:
            seen[text] = _read(text, catalogue)
        return seen[text]

    return read


def _read(text: str, catalogue: Catalogue) -> GeneReading:
    """Reading of one text."""
    from holdback.heredity.shorthand import read

    reading = read(text, catalogue)
    faults = [warning.message for warning in reading.warnings if warning.level == "fault"]
    parts = [_gene_words(gene) for gene in reading.genes]
    parts += [f"{line.name} line" for line in reading.lines]
    if not parts and reading.status:
        parts = [", ".join(reading.status)]
    return GeneReading(
        words="; ".join(parts) or "none named",
        unread=tuple((part.text, part.suggestion) for part in reading.unread),
        impossible=" ".join(faults),
        remarks=tuple(w.message for w in reading.warnings if w.level == "ask" and w.code != "unread"),
        n_read=len(reading.genes) + len(reading.status) + len(reading.lines),
    )


_FRACTIONS: Mapping[int, str] = {50: "1 in 2", 66: "2 in 3", 67: "2 in 3", 33: "1 in 3", 25: "1 in 4"}


def _gene_words(gene: ReadGene) -> str:
    """One gene with its copies in words."""
    if gene.copies is None:
        return f"{gene.name}, chance not stated"
    none, one, two = gene.copies
    if one >= 1 - 1e-9:
        return f"{gene.name}, one copy"
    if two >= 1 - 1e-9:
        return f"{gene.name}, two copies"
    if none >= 1 - 1e-9:
        return f"{gene.name}, none"
    if none <= 1e-9:
        return f"{gene.name}, one or two copies"
    carries = round((one + two) * 100)
    return f"{gene.name}, {_FRACTIONS.get(carries, f'{carries} %')} carries it"
