"""How answers and faults are printed."""

from __future__ import annotations

import json
import sys
import textwrap
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
