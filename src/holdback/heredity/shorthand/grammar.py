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

_GRAMMAR = """
start: _element*

_element: head | gene | line | words | stray | fact | either

head: _mod* HET PCTOWN?
gene: _mod* NAME _suffix*
line: _mod* _words LINE PCTAFTER?
words: _mod* _words PCTAFTER?
stray: _mod+ | _loose

_words: WORD+
_mod: PCT | POSS | PROVEN | VISUAL | SUPER | TWICE | NO
_suffix: QUESTION | COMPLEX | WILD | PCTAFTER | LINE | TWICE_AFTER
_loose: PCTOWN | PCTAFTER | QUESTION | COMPLEX | WILD | LINE | TWICE_AFTER
fact: MAKER | SEX | COUNTS | ORIGIN | HATCH | DATE | MASS | STATUS | RELATIVE | TIMES | SEP | END
either: PCTEITHER

%declare PCT PCTOWN PCTAFTER PCTEITHER POSS PROVEN VISUAL SUPER TWICE TWICE_AFTER NO HET NAME WORD LINE QUESTION
%declare COMPLEX WILD MAKER SEX COUNTS ORIGIN HATCH DATE MASS STATUS RELATIVE TIMES SEP END
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
                yield LarkToken(token.kind, token.text, start_pos=place)

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
        Rule ("head", "gene", "line", "words", "stray", "fact", "either") and the tokens under it.
    """
    tree: Any = _parser().parse(tokens)
    return [
        (str(element.data), [tokens[leaf.start_pos] for leaf in element.children])
        for element in tree.children
        if not isinstance(element, str)
    ]
