"""What a pattern of ids gives, as an example."""

from __future__ import annotations

from holdback.web.records.own_rules import RULES, WORD, RuleError

_NUMBER = 3
_EGG = "5"


def example(clutch_pattern: str, hatchling_pattern: str, *, year: int) -> str:
    """A sentence with the ids that two patterns give, or what is wrong with one of them.

    Examples
    --------
    >>> example("{yy}-{nn}", "{clutch}-{egg}", year=2026)
    'The third clutch of 2026 is 26-03; the young of its egg 5 is 26-03-5.'
    """
    try:
        of_clutch = RULES["clutch_pattern"].read(clutch_pattern)
        of_young = RULES["hatchling_pattern"].read(hatchling_pattern)
    except RuleError as fault:
        return f"{fault.what} {fault.hint}"
    parts = {
        "yy": f"{year % 100:02d}",
        "yyyy": str(year),
        "dam": "17-02",
        "egg": _EGG,
        **{"n" * digits: f"{_NUMBER:0{digits}d}" for digits in (1, 2, 3)},
    }
    clutch = _filled(of_clutch, parts)
    young = _filled(of_young, {**parts, "clutch": clutch})
    return f"The third clutch of {year} is {clutch}; the young of its egg {_EGG} is {young}."


def _filled(pattern: str, parts: dict[str, str]) -> str:
    return WORD.sub(lambda found: parts[found[1]], pattern)
