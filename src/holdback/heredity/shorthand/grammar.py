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

_CLASS_OF = {
    **dict.fromkeys(("PCT", "POSS", "PROVEN", "VISUAL", "SUPER", "TWICE", "NO"), "BEFORE"),
    **dict.fromkeys(("QUESTION", "COMPLEX", "WILD", "TWICE_AFTER"), "AFTER"),
    **dict.fromkeys(("HET", "NAME", "WORD", "LINE", "PCTOWN", "PCTAFTER"), ""),
}
"""Token kind to its class in the grammar: an empty text keeps the kind, kinds not listed are facts."""

_GRAMMAR = """
start: (head | gene | line | words | stray | fact)*

head: BEFORE* HET PCTOWN?
gene: BEFORE* NAME (AFTER | PCTAFTER | LINE)*
line: BEFORE* WORD+ LINE PCTAFTER?
words: BEFORE* WORD+ PCTAFTER?
stray: BEFORE+ | PCTOWN | PCTAFTER | AFTER | LINE
fact: FACT

%declare BEFORE HET PCTOWN NAME AFTER PCTAFTER LINE WORD FACT
"""


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
                yield LarkToken(_CLASS_OF.get(token.kind, "FACT") or token.kind, token.text, start_pos=place)

    return Lark(_GRAMMAR, parser="lalr", lexer=TokenLexer, maybe_placeholders=False)


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
