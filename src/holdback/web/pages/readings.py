"""What was read of typed shorthand, in words, for the line under a field."""

from __future__ import annotations

from dataclasses import dataclass

from holdback.collection.model import Sex
from holdback.heredity.shorthand import Reading, read
from holdback.species.catalogue import Catalogue
from holdback.web.pages.wording import about, day, listed, quantity


@dataclass(frozen=True, slots=True)
class ReadBack:
    """Reading of a line, told back.

    Parameters
    ----------
    genes : tuple of (str, str)
        Name of each gene and what was taken from the text ("two copies", "2 in 3 carries it").
    beside : str
        Sex, hatch date, weight and lines that were read as well.
    unread : tuple of (str, str)
        Words that were not read and the nearest known name, empty if none.
    remarks : tuple of str
        What is doubtful.
    """

    genes: tuple[tuple[str, str], ...]
    beside: str
    unread: tuple[tuple[str, str], ...]
    remarks: tuple[str, ...]


def read_back(text: str, catalogue: Catalogue) -> ReadBack:
    """What a line of shorthand says, told back word by word."""
    reading = read(text, catalogue)
    return ReadBack(
        genes=tuple((gene.name, copies_in_words(gene.copies)) for gene in reading.genes),
        beside=_beside(reading),
        unread=tuple((part.text, part.suggestion) for part in reading.unread),
        remarks=tuple(warning.message for warning in reading.warnings),
    )


def copies_in_words(copies: tuple[float, float, float] | None) -> str:
    """Chances of no, one and two copies as the shortest true sentence.

    Examples
    --------
    >>> copies_in_words((0.0, 1.0, 0.0)), copies_in_words((1 / 3, 2 / 3, 0.0))
    ('one copy', 'one copy, 2 in 3')
    >>> copies_in_words((0.0, 2 / 3, 1 / 3))
    'one copy or two, two 1 in 3'
    """
    if copies is None:
        return "no chance stated"
    none, one, two = copies
    if max(copies) > 1 - 1e-9:
        return ("no copy", "one copy", "two copies")[copies.index(max(copies))]
    if two == 0:
        return f"one copy, {about(one)}"
    if none == 0:
        return f"one copy or two, two {about(two)}"
    return f"at least one copy, {about(one + two)}"


def _beside(reading: Reading) -> str:
    parts = [
        str(reading.sex) if reading.sex is not Sex.UNKNOWN else "",
        f"hatched {day(reading.hatched)}" if reading.hatched else "",
        str(reading.origin) if reading.origin else "",
        quantity(reading.mass[0], reading.mass[1], 1) if reading.mass else "",
        *(f"line {line.name}" for line in reading.lines),
        *reading.status,
    ]
    return listed([part for part in parts if part])
