"""From text to tokens: the longest known name at every place, then each token tagged by its neighbours.

Three passes. `_pieces` cuts the text into runs of letters, digits and single signs. `_matched` joins pieces into the
longest known name or trade word, and numbers with what follows them. `context.tagged` settles what depends on
neighbours. Every character ends in exactly one token; ignorable ones have the kind ``GAP``.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.heredity.shorthand import numbers
from holdback.heredity.shorthand.context import tagged
from holdback.heredity.shorthand.tokens import Token, vocabulary
from holdback.heredity.shorthand.words import Entry, squashed

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_PIECE = re.compile(
    r"(?P<space>[^\S\n]+)"
    r"|(?P<initials>(?:[^\W\d_]\.){2,}(?:[^\W\d_]\b)?)"
    r"|(?P<digits>\d+(?:[.,/-]\d+)*)"
    r"|(?P<letters>[^\W\d_]+(?:['’][^\W\d_]+)*)"
    r"|(?P<sign>.)",
    re.DOTALL,
)
_MOST_WORDS = 6
_JOINTS = {"-", "‐", "‑", "'", "’"}
_STOPS = set(",;|/&+()[]{}\n.·•")
_SIGNS: dict[str, Entry] = {
    "♂": ("SEX", Sex.MALE),
    "♀": ("SEX", Sex.FEMALE),
    "%": ("PERCENT", None),
    "?": ("QUESTION", None),
    "×": ("TIMES", None),
    "&": ("SEP", None),
}


def scanned(text: str, catalogue: Catalogue, lines: Collection[str] = ()) -> list[Token]:
    """Tokens of a line in order, covering every character of it once.

    Parameters
    ----------
    text : str
        Trade shorthand.
    catalogue : Catalogue
        Names to look for.
    lines : collection of str
        Line names known to the keeper.

    Returns
    -------
    list of Token
        Ignorable tokens have the kind ``GAP``.
    """
    words = vocabulary(catalogue, lines)
    return tagged(_matched(_pieces(text), words))


def _pieces(text: str) -> list[Token]:
    return [Token(match.lastgroup or "", match.group(), match.start(), match.end()) for match in _PIECE.finditer(text)]


def _matched(pieces: list[Token], words: Mapping[str, Entry]) -> list[Token]:
    tokens: list[Token] = []
    at = 0
    while at < len(pieces):
        token, used = _longest(pieces, at, words)
        tokens.append(token)
        at += used
    return tokens


def _longest(pieces: list[Token], at: int, words: Mapping[str, Entry]) -> tuple[Token, int]:
    """Token that starts at a piece, and how many pieces it takes."""
    piece = pieces[at]
    if piece.kind == "space":
        return _joined("GAP", pieces[at : at + 1]), 1
    number = numbers.number(pieces, at, words) if piece.kind == "digits" else numbers.month_first(pieces, at)
    name = _name(pieces, at, words) if piece.kind != "sign" else None
    if name and (not number or name[1] > number[1]):
        return name
    if number:
        return number
    if piece.kind == "sign":
        return _sign(pieces, at)
    return _joined("WORD", pieces[at : at + 1]), 1


def _name(pieces: list[Token], at: int, words: Mapping[str, Entry]) -> tuple[Token, int] | None:
    found: tuple[Token, int] | None = None
    taken, n_words, has_comma = 0, 0, False
    for piece in pieces[at:]:
        taken += 1
        if piece.kind == "space":
            continue
        if piece.text == "(":
            return _bracketed(pieces, at, taken, words) or found
        if piece.text == ",":
            has_comma = True
            continue
        if piece.kind == "sign":
            around = pieces[at + taken - 2], *pieces[at + taken : at + taken + 1]
            if piece.text not in _JOINTS or all(part.kind == "space" for part in around):
                break
            continue
        n_words += 1
        if n_words > _MOST_WORDS:
            break
        run = pieces[at : at + taken]
        entry = _entry("".join(part.text for part in run), words)
        # A lone number is a number, whatever name it could be short for.
        is_number = n_words == 1 and run[0].kind == "digits"
        # A comma parts two names, save in a name that is written with one.
        if entry and not is_number and (not has_comma or "," in getattr(entry[1], "name", "")):
            found = _joined(entry[0], run, entry[1]), taken
    return found


def _bracketed(pieces: list[Token], at: int, taken: int, words: Mapping[str, Entry]) -> tuple[Token, int] | None:
    """Name with its line in brackets ("Axanthic (VPI)"), where the brackets alone name the same gene."""
    inside = pieces[at + taken : at + taken + 2]
    if len(inside) < 2 or inside[1].text != ")":
        return None
    run = pieces[at : at + taken + 2]
    entry = _entry("".join(part.text for part in run), words)
    if entry is None or entry != _entry(inside[0].text, words):
        return None
    return _joined(entry[0], run, entry[1]), taken + 2


def _entry(text: str, words: Mapping[str, Entry]) -> Entry | None:
    """Meaning of a name in singular or plural; None if it is not known."""
    key = squashed(text)
    entry = words.get(key)
    if entry is None and len(key) > 3 and key.endswith("s"):
        entry = words.get(key[:-1]) or words.get(key.removesuffix("es"))
    return entry


def _sign(pieces: list[Token], at: int) -> tuple[Token, int]:
    piece = pieces[at]
    if piece.text in _SIGNS:
        kind, carried = _SIGNS[piece.text]
        return _joined(kind, [piece], carried), 1
    if piece.text == "/" and at + 1 < len(pieces) and pieces[at + 1].text == "+":
        return _joined("WILD", pieces[at : at + 2]), 2
    if piece.text in "$€£" and at + 1 < len(pieces) and pieces[at + 1].kind == "digits":
        return _joined("WORD", pieces[at : at + 2]), 2
    if piece.text in _STOPS:
        return _joined("SEP", [piece]), 1
    ignorable = not piece.text.isalnum() and not piece.text.isnumeric() and piece.text not in "$€£@<>={}\\^"
    return _joined("GAP" if ignorable else "WORD", [piece]), 1


def _joined(kind: str, pieces: list[Token], carried: object = None) -> Token:
    return Token(kind, "".join(piece.text for piece in pieces), pieces[0].start, pieces[-1].end, carried)
