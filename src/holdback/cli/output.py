"""How answers and faults are printed."""

from __future__ import annotations

import json
import sys
import textwrap
from collections.abc import Sequence
from typing import Any

from holdback.errors import HoldbackError

WIDTH = 96


def print_json(answer: dict[str, Any]) -> None:
    """Print one JSON object, numbers unrounded."""
    print(json.dumps(answer, ensure_ascii=False, indent=2))


def print_wrapped(text: str, *, indent: str = "") -> None:
    """Print a paragraph wrapped to the page width."""
    print(textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent + ("  " if indent else "")))


def print_faults(error: HoldbackError, *, as_json: bool) -> None:
    """Print everything that is wrong on standard error; with `as_json` also as one object on standard output."""
    if as_json:
        print_json({"error": [fault.as_json() for fault in error.faults]})
    for fault in error.faults:
        print(str(fault), file=sys.stderr)


def chance_in_percent(chance: float) -> str:
    """Chance in percent, one decimal; never rounded to never or to always unless it is.

    Examples
    --------
    >>> chance_in_percent(0.6674), chance_in_percent(0.99997), chance_in_percent(1.0)
    ('66.7 %', 'over 99.9 %', '100 %')
    """
    if chance in (0.0, 1.0):
        return f"{100 * chance:.0f} %"
    if chance < 0.0005:
        return "under 0.1 %"
    return "over 99.9 %" if chance > 0.9995 else f"{100 * chance:.1f} %"


def print_conflicts(conflicts: Sequence[dict[str, Any]]) -> None:
    """Print records that cannot all be true, each with what would explain it and what to ask."""
    for conflict in conflicts:
        print()
        print_wrapped(f"{conflict['message']} ({conflict['code']})")
        for fix in conflict["fixes"]:
            print_wrapped(f"- {chance_in_percent(fix['chance'])}: {fix['words']} {fix['what']}", indent="    ")
        for question in conflict["questions"]:
            print_wrapped(question, indent="    ")
