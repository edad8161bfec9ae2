"""`holdback read`: a line of trade shorthand, in words."""

from __future__ import annotations

import argparse
from typing import Any

from holdback.cli.output import print_json, print_wrapped


def run(arguments: argparse.Namespace) -> int:
    """Print what a line of shorthand says; status 0 even where words stay unread, since they are listed."""
    from holdback.heredity.shorthand import read
    from holdback.species.catalogue import load

    catalogue = load()
    reading = read(" ".join(arguments.text), catalogue)
    answer = reading.as_json(catalogue)
    if arguments.json:
        print_json(answer)
    else:
        _print(answer)
    return 0


def _print(answer: dict[str, Any]) -> None:
    """Print a reading for a person."""
    facts = [str(answer[key]) for key in ("sex", "origin", "hatch_year") if answer[key] and answer[key] != "unknown"]
    if facts:
        print(", ".join(facts))
    for gene in answer["genes"]:
        print(f"  {gene['gene']}: {_copies(gene)} ({gene['from']})")
    if not answer["genes"]:
        print("  No gene named.")
    for line in answer["lines"]:
        print(f"  line: {line if isinstance(line, str) else line.get('line', line)}")
    for warning in answer["warnings"]:
        print_wrapped(f"{warning['message']} ({warning['code']})")


def _copies(gene: dict[str, Any]) -> str:
    """Copies of one gene in words."""
    copies = gene["copies"]
    if copies is None:
        return "chance not stated"
    words = {"0": "no copy", "1": "one copy", "2": "two copies"}
    sure = [word for key, word in words.items() if copies[key] > 1 - 1e-9]
    if sure:
        return sure[0] + (", shows" if gene["shown"] else "")
    return ", ".join(f"{words[key]} {100 * chance:.1f} %" for key, chance in copies.items() if chance > 0)
