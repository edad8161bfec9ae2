"""Grammar of trade shorthand over token kinds, and the LALR parser built from it once.

The scanner has already found the longest names and tagged each percentage by its neighbours, so that one token of
lookahead is enough. The grammar is total over token kinds: every token sequence has a parse, and what makes no sense
becomes ``stray`` or ``words`` and is reported.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lark import Lark

    from holdback.heredity.shorthand.tokens import Token

CLASS_OF = {
    **dict.fromkeys(("PCT", "POSS", "PROVEN", "VISUAL", "SUPER", "TWICE", "NO"), "BEFORE"),
    **dict.fromkeys(("QUESTION", "COMPLEX", "WILD", "TWICE_AFTER", "UNSTATED"), "AFTER"),
    **dict.fromkeys(("HET", "NAME", "WORD", "LINE", "PCTOWN", "PCTAFTER"), ""),
}
"""Token kind to its class in the grammar: an empty text keeps the kind, kinds not listed are facts."""

GRAMMAR = """
start: (head | gene | line | words | stray | fact)*

head: BEFORE* HET PCTOWN?
gene: BEFORE* NAME (AFTER | PCTAFTER | LINE)*
line: BEFORE* WORD+ LINE PCTAFTER?
words: BEFORE* WORD+ PCTAFTER?
stray: BEFORE+ | PCTOWN | PCTAFTER | AFTER | LINE
fact: FACT

%declare BEFORE HET PCTOWN NAME AFTER PCTAFTER LINE WORD FACT
"""
"""In the notation of lark."""


@cache
def _parser() -> Lark:
    from lark import Lark
    from lark import Token as LarkToken
    from lark.lexer import Lexer

    class TokenLexer(Lexer):
        """Hands over the scanner's tokens; a lark token carries the place of ours in the sequence."""

        def __init__(self, lexer_conf: object) -> None:
            del lexer_conf

        def lex(self, data: Sequence[Token]) -> Iterator[LarkToken]:  # type: ignore[override]  # tokens, not characters
            for place, token in enumerate(data):
                yield LarkToken(CLASS_OF.get(token.kind, "FACT") or token.kind, token.text, start_pos=place)

    return Lark(GRAMMAR, parser="lalr", lexer=TokenLexer, maybe_placeholders=False)


def parsed(tokens: Sequence[Token]) -> list[tuple[str, list[Token]]]:
    """Elements of a line in reading order: the rule's name and its tokens.

    Parameters
    ----------
    tokens : sequence of Token
        Tokens of the scanner, ignorable ones left out.

    Returns
    -------
    list of (str, list of Token)
        Rule ("head", "gene", "line", "words", "stray", "fact") and the tokens under it.
    """
    tree: Any = _parser().parse(tokens)
    return [
        (str(element.data), [tokens[leaf.start_pos] for leaf in element.children])
        for element in tree.children
        if not isinstance(element, str)
    ]


def rows() -> list[str]:
    """LALR table of the grammar, one row for each state, in an order that does not change from run to run.

    Returns
    -------
    list of str
        Entries ``SYMBOL>state`` for a shift and ``rule/length`` for the reduction that applies to all other tokens.
        The first row is the start; the state that accepts has the entry ``accept``.

    Notes
    -----
    In each state of this grammar at most one rule can be reduced, so that it need not be written for each token.
    """
    table: Any = _parser().parser.parser._parse_table
    start, accepts = table.start_states["start"], table.end_states["start"]
    order, found = [start], {start: 0}
    for state in order:
        for symbol in sorted(table.states[state]):
            action, target = table.states[state][symbol]
            if action.name == "Shift" and target not in found:
                found[target] = len(order)
                order.append(target)
    written = []
    for state in order:
        actions = table.states[state].items()
        shifts = sorted(f"{symbol}>{found[goal]}" for symbol, (action, goal) in actions if action.name == "Shift")
        rules = {rule for _, (action, rule) in actions if action.name == "Reduce"}
        reduced = [f"{rule.origin.name}/{len(rule.expansion)}" for rule in rules]
        assert len(reduced) <= 1
        written.append(" ".join([*shifts, *reduced, *(["accept"] if state == accepts else [])]))
    return written
