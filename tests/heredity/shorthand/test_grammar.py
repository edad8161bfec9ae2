"""The grammar takes any sequence of tokens, and its kept table is the one that lark works out."""

from __future__ import annotations

from zlib import crc32

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from holdback.heredity.shorthand import grammar, grammar_fast, grammar_rows
from holdback.heredity.shorthand.tokens import Token

_KINDS = sorted({*grammar.CLASS_OF, "SEX", "SEP", "END", "STATUS", "PCTEITHER"})

_sequences = st.lists(st.sampled_from(_KINDS), max_size=14).map(
    lambda kinds: [Token(kind, kind, place, place + 1) for place, kind in enumerate(kinds)]
)


def test_rows__are_those_of_the_grammar() -> None:
    assert grammar_rows.ROWS.splitlines() == grammar.rows()
    assert crc32(grammar.GRAMMAR.encode()) == grammar_rows.DIGEST


@settings(max_examples=400)
@given(_sequences)
def test_parsed__fast_and_plain_agree_on_any_tokens(tokens: list[Token]) -> None:
    elements = grammar_fast.parsed(tokens)
    assert elements == grammar.parsed(tokens)
    assert [token for _, parts in elements for token in parts] == tokens


def test_parsed__leaves_a_changed_grammar_to_lark(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(grammar_fast, "DIGEST", 0)
    monkeypatch.setattr(grammar_fast, "_states", lambda: pytest.fail("the kept table was used"))
    tokens = [Token("HET", "het", 0, 3), Token("NAME", "Clown", 4, 9)]
    assert grammar_fast.parsed(tokens) == [("head", tokens[:1]), ("gene", tokens[1:])]
