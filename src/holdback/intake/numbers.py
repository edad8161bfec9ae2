"""Numbers and units as keepers type them: ``3,010``, ``106.2 oz``, ``1 lb 4 oz``, ``1 204``, ``~850g``.

A comma before exactly three figures can be a thousands mark or a decimal comma; that is asked, never guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from holdback.intake.sheets import Cell

GRAMS: dict[str, float] = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
"""Gram of one unit; ounce and pound are exact by the international yard and pound agreement of 1959."""

MILLIMETRES: dict[str, float] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}
"""Millimetre of one unit; the inch is exact by the same agreement."""

_UNIT_WORDS: dict[str, str] = {
    **dict.fromkeys(("g", "gr", "grs", "gm", "gms", "gram", "grams", "gramm", "gramme", "grammes"), "g"),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"), "kg"),
    **dict.fromkeys(("oz", "ozs", "ounce", "ounces", "onces"), "oz"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds", "#"), "lb"),
    **dict.fromkeys(("mm", "millimetre", "millimeter", "millimetres", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "cms", "centimetre", "centimeter", "centimetres", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "meter", "metres", "meters"), "m"),
    **dict.fromkeys(("in", "inch", "inches", '"', "”", "ins"), "in"),
    **dict.fromkeys(("ft", "foot", "feet", "'"), "ft"),
}

_FIGURES = r"[+]?(?:\d[\d., '’\u00a0\u202f]*\d|\d|[.,]\d+)"
_PART = re.compile(rf"(?P<number>{_FIGURES})\s*(?P<unit>[a-zA-Z\"”'#]+)?\.?\s*", re.ASCII)
_ABOUT = re.compile(r"^(?:about|abt|approx|approximately|ca|circa|c)?\.?\s*[~≈]?\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with the unit as typed.

    Parameters
    ----------
    value : float
        Number in `unit`; pounds and ounces together are given in ounces.
    unit : str
        g, kg, oz, lb, mm, cm, m, in or ft; empty where none was typed.
    about : bool
        Whether it was typed with a word or sign for "about".
    """

    value: float
    unit: str = ""
    about: bool = False


class Unclear(ValueError):
    """The cell cannot be read as a number, or in two ways; the message says which."""


def unit_of(word: str) -> str:
    """Unit that a word stands for, empty if none.

    Examples
    --------
    >>> unit_of("lbs."), unit_of("Grams"), unit_of("tub")
    ('lb', 'g', '')
    """
    return _UNIT_WORDS.get(word.strip(" .()[]:").lower(), "")


def number(text: str, *, decimal: str = "") -> float:
    """Number of a text, with the decimal sign as told.

    Parameters
    ----------
    text : str
        Figures with points, commas, apostrophes or blanks in them.
    decimal : str
        ``.`` or ``,``; empty where it is not known.

    Returns
    -------
    float
        The number.

    Raises
    ------
    Unclear
        If it is no number, or if the sign is not known and decides the number.

    Examples
    --------
    >>> number("1,204.5"), number("1.204,5"), number("3,010", decimal=".")
    (1204.5, 1204.5, 3010.0)
    """
    plain = re.sub(r"[ '’\u00a0\u202f](?=\d{3}(?:\D|$))", "", text.strip().lstrip("+"))
    if not re.fullmatch(r"\d*[\d.,]*\d", plain) or not plain.isascii():
        raise Unclear("not a number")
    points, commas = plain.count("."), plain.count(",")
    if points and commas:
        last = max(plain.rfind("."), plain.rfind(","))
        decimal_here = plain[last]
        if decimal and decimal != decimal_here and plain.count(decimal_here) == 1:
            raise Unclear(f"{text} does not go with the decimal sign {decimal}")
        return _joined(plain, decimal_here)
    mark = "." if points else ","
    if not points and not commas:
        return float(plain)
    if points + commas > 1:
        return _joined(plain, "," if mark == "." else ".")
    if _three_figures(plain, mark) and mark == "," and not decimal:
        raise Unclear(
            f"{text} is {plain.replace(',', '')} with a thousands comma or {plain.replace(',', '.')} "
            "with a decimal comma"
        )
    if decimal == mark or not _three_figures(plain, mark) or (mark == "." and not decimal):
        return float(plain.replace(mark, "."))
    return float(plain.replace(mark, ""))


def _three_figures(plain: str, mark: str) -> bool:
    """Whether one mark stands before exactly three figures, as a thousands mark does."""
    return re.fullmatch(rf"[1-9]\d{{0,2}}\{mark}\d{{3}}", plain) is not None


def _joined(plain: str, decimal: str) -> float:
    """Number with thousands marks taken out after checking that they stand before groups of three."""
    thousands = "," if decimal == "." else "."
    whole, _, fraction = plain.partition(decimal)
    groups = whole.split(thousands)
    if thousands in fraction or decimal in fraction or not groups[0] or len(groups[0]) > 3:
        raise Unclear("not a number")
    if any(len(group) != 3 for group in groups[1:]):
        raise Unclear("not a number")
    return float("".join(groups) + (f".{fraction}" if fraction else ""))


def quantity(cell: Cell, *, decimal: str = "") -> Quantity:
    """Number and unit of a cell.

    Parameters
    ----------
    cell : Cell
        A typed number, or text such as ``106.2 oz``.
    decimal : str
        Decimal sign of the column, empty where it is not known.

    Returns
    -------
    Quantity
        The number; the unit is empty where the cell has none.

    Raises
    ------
    Unclear
        If the cell is no quantity, or can be read in two ways.

    Examples
    --------
    >>> quantity(Cell("1 lb 4 oz", "1 lb 4 oz"))
    Quantity(value=20.0, unit='oz', about=False)
    """
    if isinstance(cell.value, bool):
        raise Unclear("not a number")
    if isinstance(cell.value, float):
        return Quantity(cell.value)
    about = _ABOUT.match(cell.text)
    assert about is not None, "the pattern matches the empty text"
    rest = cell.text[about.end() :].strip()
    parts: list[tuple[float, str]] = []
    at = 0
    while at < len(rest):
        part = _PART.match(rest, at)
        if part is None:
            raise Unclear("not a number")
        word = part["unit"] or ""
        if word and not unit_of(word):
            raise Unclear(f"{word!r} is no unit")
        parts.append((number(part["number"], decimal=decimal), unit_of(word)))
        at = part.end()
    return _summed(parts, about=about.end() > 0)


def _summed(parts: list[tuple[float, str]], *, about: bool) -> Quantity:
    """One quantity of one part, or of pounds and ounces or feet and inches."""
    if len(parts) == 1:
        return Quantity(*parts[0], about=about)
    units = [unit for _, unit in parts]
    values = [value for value, _ in parts]
    if units == ["lb", "oz"]:
        return Quantity(values[0] * 16 + values[1], "oz", about=about)
    if units in (["ft", "in"], ["ft", ""]):
        return Quantity(values[0] * 12 + values[1], "in", about=about)
    if units == ["kg", "g"]:
        return Quantity(values[0] * 1000 + values[1], "g", about=about)
    raise Unclear("not one quantity")
