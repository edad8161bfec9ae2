"""Tokens that start with a number: counts, percentages, weights, years and dates."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from holdback.collection.model import PartialDate
from holdback.heredity.shorthand.reading import SexCounts
from holdback.heredity.shorthand.tokens import Token
from holdback.heredity.shorthand.words import MONTHS, Entry, squashed

_FIRST_YEAR, _LAST_YEAR = 1980, 2079
_BARE_PERCENTS = {"25", "33", "50", "57", "60", "66", "67", "75", "100"}


class ReadDate(NamedTuple):
    """A date, and whether its day and month could be swapped."""

    date: PartialDate
    either_way: bool = False


def number(pieces: list[Token], at: int, words: Mapping[str, Entry]) -> tuple[Token, int] | None:
    """Token of the number at a piece and how many pieces it takes; None if it is a bare number.

    Parameters
    ----------
    pieces : list of Token
        Cut text.
    at : int
        Place of a piece of digits.
    words : mapping of str to Entry
        Vocabulary, for units.
    """
    digits = pieces[at].text
    ahead = _ahead(pieces, at)
    unit, used = ahead[0] if ahead else (None, 0)
    entry = words.get(_unit_key(unit)) if unit and unit.kind != "space" else None
    if unit and (unit.text == "%" or (entry and entry[0] == "PERCENT")) and _is_decimal(digits):
        return _token("PCT", pieces, at, used, digits)
    if entry and entry[0] == "HET" and digits in _BARE_PERCENTS:
        return _token("PCT", pieces, at, 1, digits)
    if entry and entry[0] == "MASSUNIT" and (value := _mass(digits)) is not None:
        return _token("MASS", pieces, at, used, (value, entry[1]))
    date = _date(digits) or _date_in_words(pieces, at)
    if date:
        return _token("DATE", pieces, at, date[1], date[0])
    if (counts := _counts(digits)) is not None:
        return _token("COUNTS", pieces, at, 1, counts)
    if digits.isdigit() and len(digits) == 4 and _FIRST_YEAR <= int(digits) <= _LAST_YEAR:
        return _token("DATE", pieces, at, 1, ReadDate(PartialDate(int(digits))))
    return None


def _token(kind: str, pieces: list[Token], at: int, used: int, carried: object) -> tuple[Token, int]:
    run = pieces[at : at + used]
    return Token(kind, "".join(piece.text for piece in run), run[0].start, run[-1].end, carried), used


def _ahead(pieces: list[Token], at: int, most: int = 3) -> list[tuple[Token, int]]:
    """Next pieces that are no spaces, each with the number of pieces up to and with it."""
    found = []
    for place in range(at + 1, len(pieces)):
        if pieces[place].kind != "space":
            found.append((pieces[place], place - at + 1))
            if len(found) == most:
                break
    return found


def _unit_key(unit: Token) -> str:
    key = squashed(unit.text)
    return key.removesuffix("s") if len(key) > 3 else key


def _is_decimal(digits: str) -> bool:
    return digits.replace(",", ".").count(".") <= 1 and "/" not in digits and "-" not in digits


def _mass(digits: str) -> float | None:
    """Number of a weight: 1,250 is a thousand and more, 1,2 is a decimal comma; None if it is no number."""
    whole, comma, rest = digits.partition(",")
    if comma and len(rest) == 3 and whole != "0":
        digits = whole + rest
    try:
        value = float(digits.replace(",", "."))
    except ValueError:
        return None
    return value if value > 0 else None


def _counts(digits: str) -> SexCounts | None:
    parts = digits.split(".")
    if not 2 <= len(parts) <= 3 or not all(part.isdigit() and len(part) <= 3 for part in parts):
        return None
    counts = SexCounts(*(int(part) for part in parts))
    return counts if counts.total else None


def year_of(digits: str) -> int:
    """Year of two or four digits; two digits up to 79 are of this century.

    Examples
    --------
    >>> year_of("24"), year_of("98"), year_of("2019")
    (2024, 1998, 2019)
    """
    value = int(digits)
    if len(digits) == 4:
        return value
    return value + (2000 if value < _LAST_YEAR % 100 + 1 else 1900)


def _date(digits: str) -> tuple[ReadDate, int] | None:
    for sign in "-./":
        parts = digits.split(sign)
        if len(parts) in (2, 3) and all(part.isdigit() for part in parts):
            date = _date_of_parts(parts, sign)
            return (date, 1) if date else None
    return None


def _date_of_parts(parts: list[str], sign: str) -> ReadDate | None:
    if len(parts[0]) == 4:
        return _calendar(int(parts[0]), *(int(part) for part in parts[1:]))
    if len(parts[-1]) not in (2, 4) or (sign == "." and len(parts[-1]) != 4):
        return None
    year = year_of(parts[-1])
    if len(parts) == 2:
        return _calendar(year, int(parts[0])) if len(parts[-1]) == 4 else None
    first, second = int(parts[0]), int(parts[1])
    either = first <= 12 and second <= 12 and first != second
    if either:
        # Dots are the custom of day.month.year; slashes and hyphens are used both ways round.
        return _calendar(year, second, first) if sign == "." else ReadDate(PartialDate(year), either_way=True)
    return _calendar(year, second, first) if first > 12 else _calendar(year, first, second)


def _calendar(year: int, month: int = 0, day: int = 0) -> ReadDate | None:
    if not _FIRST_YEAR <= year <= _LAST_YEAR or (day and not month):
        return None
    try:
        return ReadDate(PartialDate(year, month, day))
    except ValueError:
        return None


def _date_in_words(pieces: list[Token], at: int) -> tuple[ReadDate, int] | None:
    """Date such as ``18 Jul 2024`` that starts with its day."""
    ahead = [pair for pair in _ahead(pieces, at, most=4) if pair[0].text not in (",", ".")]
    if len(ahead) < 2 or squashed(ahead[0][0].text) not in MONTHS or not pieces[at].text.isdigit():
        return None
    digits, used = ahead[1][0].text, ahead[1][1]
    if not digits.isdigit() or len(digits) not in (2, 4):
        return None
    date = _calendar(year_of(digits), MONTHS[squashed(ahead[0][0].text)], int(pieces[at].text))
    return (date, used) if date else None


def month_first(pieces: list[Token], at: int) -> tuple[Token, int] | None:
    """Token of a date that starts with a month's name (``July 2024``, ``Jul 18, 2024``), and its pieces; else None."""
    month = MONTHS.get(squashed(pieces[at].text))
    if not month:
        return None
    ahead = [pair for pair in _ahead(pieces, at, most=4) if pair[0].text not in (",", ".")]
    numbers = []
    for piece, used in ahead:
        if not piece.text.isdigit():
            break
        numbers.append((piece.text, used))
    if len(numbers) >= 2 and len(numbers[0][0]) <= 2 and len(numbers[1][0]) in (2, 4):
        date, used = _calendar(year_of(numbers[1][0]), month, int(numbers[0][0])), numbers[1][1]
    elif numbers and len(numbers[0][0]) == 4:
        date, used = _calendar(int(numbers[0][0]), month), numbers[0][1]
    else:
        return None
    return _token("DATE", pieces, at, used, date) if date else None
