"""Trade shorthand: the language of ads, tub labels and record sheets, read and written."""

from holdback.heredity.shorthand.codes import CODES
from holdback.heredity.shorthand.parent import read_parent
from holdback.heredity.shorthand.reader import read
from holdback.heredity.shorthand.reading import (
    ReadGene,
    Reading,
    ReadLine,
    ReadWarning,
    SexCounts,
    Span,
    Unread,
)
from holdback.heredity.shorthand.wish import read_wish
from holdback.heredity.shorthand.writer import write

__all__ = [
    "CODES",
    "ReadGene",
    "ReadLine",
    "ReadWarning",
    "Reading",
    "SexCounts",
    "Span",
    "Unread",
    "read",
    "read_parent",
    "read_wish",
    "write",
]
