"""The grammar's LALR table, worked out beforehand, and a driver for it.

Building the table takes lark longer than a whole command may take to start. `parsed` here gives what `grammar.parsed`
gives, from the rows kept in `grammar_rows`; where the grammar was changed since they were written, lark parses.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import TYPE_CHECKING
from zlib import crc32

from holdback.heredity.shorthand.grammar import CLASS_OF, GRAMMAR
from holdback.heredity.shorthand.grammar_rows import DIGEST, ROWS

if TYPE_CHECKING:
    from holdback.heredity.shorthand.tokens import Token

_State = tuple[dict[str, int], tuple[str, int]]
"""Symbols that lead on, with the state they lead to; and the rule reduced otherwise, with its length."""


def parsed(tokens: Sequence[Token]) -> list[tuple[str, list[Token]]]:
    """Elements of a line in reading order; see `grammar.parsed`.

    Parameters
    ----------
    tokens : sequence of Token
        Tokens of the scanner, ignorable ones left out.
    """
    if crc32(GRAMMAR.encode()) != DIGEST:
        from holdback.heredity.shorthand import grammar

        return grammar.parsed(tokens)
    return _driven(tokens)


@cache
def _states() -> list[_State]:
    states: list[_State] = []
    for row in ROWS.splitlines():
        shifts: dict[str, int] = {}
        reduction = ("", 0)
        for entry in row.split():
            symbol, leads, goal = entry.partition(">")
            if leads:
                shifts[symbol] = int(goal)
            elif entry != "accept":
                rule, _, length = entry.partition("/")
                reduction = (rule, int(length))
        states.append((shifts, reduction))
    return states


def _driven(tokens: Sequence[Token]) -> list[tuple[str, list[Token]]]:
    """Shift and reduce until the start rule is reduced; rules that begin with "_" only gather tokens."""
    states = _states()
    elements: list[tuple[str, list[Token]]] = []
    stack: list[int] = [0]
    gathered: list[list[Token]] = []
    place = 0
    while True:
        shifts, (rule, length) = states[stack[-1]]
        token = tokens[place] if place < len(tokens) else None
        symbol = (CLASS_OF.get(token.kind, "FACT") or token.kind) if token else "$END"
        if symbol in shifts and token:
            stack.append(shifts[symbol])
            gathered.append([token])
            place += 1
            continue
        if rule == "start":
            return elements
        below = [each for part in gathered[len(gathered) - length :] for each in part]
        del stack[len(stack) - length :], gathered[len(gathered) - length :]
        if not rule.startswith("_"):
            elements.append((rule, below))
            below = []
        stack.append(states[stack[-1]][0][rule])
        gathered.append(below)
