"""Words that stand before a gene or a "het" and say how it is meant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from holdback.heredity.shorthand.tokens import Token


@dataclass(slots=True)
class Modifiers:
    """Modifiers of one element.

    Parameters
    ----------
    percent : Token or str or None
        Percentage; the reader replaces the token by its digits.
    possible, visual, proven, absent, twice : bool
        "poss", "visual", "proven", "no", "2x".
    super_word : str
        "super", "homozygous" or empty.
    uncertain, is_complex, wild_slash : bool
        "?", "complex" and "/+" after the name.
    is_line : bool
        "line" after the name.
    is_unstated : bool
        "not stated" after the name.
    others : list of Token
        Modifier tokens before the name, for reporting; a percentage is not among them.
    spare : list of Token
        Percentages beside the one that counts.
    """

    percent: Token | str | None = None
    possible: bool = False
    visual: bool = False
    proven: bool = False
    absent: bool = False
    twice: bool = False
    super_word: str = ""
    uncertain: bool = False
    is_complex: bool = False
    wild_slash: bool = False
    is_line: bool = False
    is_unstated: bool = False
    others: list[Token] = field(default_factory=list)
    spare: list[Token] = field(default_factory=list)

    @property
    def is_doubtful(self) -> bool:
        """True for "poss", "?" and "not stated"."""
        return self.possible or self.uncertain or self.is_unstated

    @classmethod
    def of(cls, parts: Sequence[Token]) -> Modifiers:
        """Modifiers among the tokens of an element."""
        found = cls()
        flags = {
            "POSS": "possible",
            "VISUAL": "visual",
            "PROVEN": "proven",
            "NO": "absent",
            "TWICE": "twice",
            "TWICE_AFTER": "twice",
            "QUESTION": "uncertain",
            "COMPLEX": "is_complex",
            "WILD": "wild_slash",
            "LINE": "is_line",
            "UNSTATED": "is_unstated",
        }
        before = True
        for part in parts:
            before = before and part.kind not in ("NAME", "WORD")
            if before and part.kind != "PCT":
                found.others.append(part)
            if part.kind in ("PCT", "PCTOWN") and isinstance(found.percent, Token):
                found.spare.append(part)
            elif part.kind in ("PCT", "PCTOWN"):
                found.percent = part
            elif part.kind == "SUPER":
                found.super_word = str(part.carried)
            elif part.kind in flags:
                setattr(found, flags[part.kind], True)
        return found
