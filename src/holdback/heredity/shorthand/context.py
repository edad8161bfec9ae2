"""Second look at tokens: what depends on the neighbours.

A percentage may stand before or after its gene, "from" may start words about a parent or about a line, a two-figure
number is a year after an origin code. Settled here, so that the grammar needs one token of lookahead.
"""

from __future__ import annotations

from holdback.collection.model import Origin, PartialDate
from holdback.heredity.shorthand.numbers import ReadDate, year_of
from holdback.heredity.shorthand.tokens import Token

_CLAUSE_ENDS = {",", ";", ".", "|", ")", "]", "\n"}
_OPENS_GENE = {"NAME", "SUPER", "VISUAL", "TWICE"}
_OPENS_HET = {"HET", "POSS", "PROVEN"}


def tagged(tokens: list[Token]) -> list[Token]:
    """Tokens with kinds settled by their neighbours; still covering every character once.

    Parameters
    ----------
    tokens : list of Token
        As matched, with provisional kinds (FROM, AND, FILLER, NUMBERED, LINENAME, PERCENT, ...).
    """
    for step in (_words, _years, _numbered, _brackets, _relatives, _twice, _scope_ends, _percentages):
        tokens = step(tokens)
    return tokens


def _neighbours(tokens: list[Token], at: int) -> tuple[int, int]:
    """Places of the nearest tokens before and after that are not ignorable; -1 where there is none."""
    before = next((place for place in range(at - 1, -1, -1) if tokens[place].kind != "GAP"), -1)
    after = next((place for place in range(at + 1, len(tokens)) if tokens[place].kind != "GAP"), -1)
    return before, after


def _kind(tokens: list[Token], at: int) -> str:
    return tokens[at].kind if at >= 0 else ""


def _words(tokens: list[Token]) -> list[Token]:
    """Plain changes of kind that need no more than the token before."""
    plain = {"AND": "SEP", "FILLER": "GAP", "LINENAME": "WORD", "MASSUNIT": "WORD", "PERCENT": "WORD"}
    found: list[Token] = []
    for token in tokens:
        kind = plain.get(token.kind, token.kind)
        if token.text == "." and found and found[-1].kind in ("POSS", "HET", "VISUAL", "MASS"):
            kind = "GAP"
        found.append(token._replace(kind=kind))
    return found


def _years(tokens: list[Token]) -> list[Token]:
    for at, token in enumerate(tokens):
        if token.kind != "WORD" or not token.text.isdigit() or len(token.text) != 2:
            continue
        before, _ = _neighbours(tokens, at)
        follows = _kind(tokens, before) in ("ORIGIN", "HATCH")
        if follows or (at and tokens[at - 1].text in ("'", "’")):
            tokens[at] = token._replace(kind="DATE", carried=ReadDate(PartialDate(year_of(token.text))))
    for at, token in enumerate(tokens):
        before, _ = _neighbours(tokens, at)
        if token.kind == "DATE" and _kind(tokens, before) == "ORIGIN" and isinstance(token.carried, ReadDate):
            origin = tokens[before].carried
            if isinstance(origin, tuple) and origin[0] in (None, Origin.WILD_CAUGHT):
                # The year beside WC or LTC is when it was taken or came in, not when it hatched.
                tokens[at] = token._replace(kind="STATUS", carried=f"taken {token.carried.date}")
    return tokens


def _numbered(tokens: list[Token]) -> list[Token]:
    """Join "clutch #12" and "#12" to one status."""
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind != "NUMBERED" and token.text != "#":
            found.append(token)
            at += 1
            continue
        end = at + 1
        while end < len(tokens) and (tokens[end].kind == "GAP" or tokens[end].text == "#"):
            end += 1
        has_number = end < len(tokens) and any(letter.isdigit() for letter in tokens[end].text)
        if has_number and tokens[end].kind in ("WORD", "DATE", "COUNTS"):
            end += 1
        else:
            end = at + 1
        found.append(_merged("STATUS" if end > at + 1 or token.text != "#" else "GAP", tokens[at:end]))
        at = end
    return found


def _merged(kind: str, run: list[Token]) -> Token:
    text = "".join(token.text for token in run)
    return Token(kind, text, run[0].start, run[-1].end, text if kind == "STATUS" else tuple(run))


def _brackets(tokens: list[Token]) -> list[Token]:
    """Take the brackets off a lone percentage, question mark or word of doubt."""
    for at in range(1, len(tokens) - 1):
        if (
            tokens[at].kind in ("PCT", "QUESTION", "UNSTATED", "POSS")
            and tokens[at - 1].text in ("(", "[")
            and tokens[at + 1].text in (")", "]")
        ):
            tokens[at - 1] = tokens[at - 1]._replace(kind="GAP")
            tokens[at + 1] = tokens[at + 1]._replace(kind="GAP")
    return tokens


def _relatives(tokens: list[Token]) -> list[Token]:
    """Join words about a parent or sibling to one token, up to the end of the clause; "from X stock" is a line."""
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind != "FROM":
            found.append(token)
            at += 1
            continue
        end = next((place for place in range(at, len(tokens)) if tokens[place].text in _CLAUSE_ENDS), len(tokens))
        if token.carried == "line" and _names_line(tokens[at + 1 : end]):
            found.append(token._replace(kind="GAP"))
            at += 1
            continue
        while end > at + 1 and tokens[end - 1].kind == "GAP":
            end -= 1
        found.append(_merged("RELATIVE", tokens[at:end]))
        at = end
    return found


def _names_line(clause: list[Token]) -> bool:
    """True for words that are not known up to "line" or "stock", and for a line that is known."""
    kinds = [token.kind for token in clause if token.kind != "GAP"]
    before = kinds[: kinds.index("LINE")] if "LINE" in kinds else kinds[:1]
    is_known = any(token.kind == "WORD" and token.carried for token in clause)
    return bool(before) and set(before) <= {"WORD", "PCT"} and ("LINE" in kinds or is_known)


def _twice(tokens: list[Token]) -> list[Token]:
    """Tell "Enchi x2" from "2x Enchi"."""
    for at, token in enumerate(tokens):
        if token.kind != "TWICE":
            continue
        before, after = _neighbours(tokens, at)
        if _kind(tokens, before) == "NAME" and (token.text[0] in "xX" or _kind(tokens, after) != "NAME"):
            tokens[at] = token._replace(kind="TWICE_AFTER")
    return tokens


def _scope_ends(tokens: list[Token]) -> list[Token]:
    """Make the bracket that closes over a "het" end its scope."""
    opened: list[bool] = []
    for at, token in enumerate(tokens):
        if token.kind == "HET" and opened:
            opened[-1] = True
        elif token.kind == "SEP" and token.text in ("(", "["):
            opened.append(False)
        elif token.kind == "SEP" and token.text in (")", "]") and opened and opened.pop():
            tokens[at] = token._replace(kind="END")
    return tokens


def _percentages(tokens: list[Token]) -> list[Token]:
    """Settle whether each percentage belongs to what follows or to what stands before it."""
    hets = [at for at, token in enumerate(tokens) if token.kind == "HET"]
    places = [at for at, token in enumerate(tokens) if token.kind == "PCT"]
    after_style = bool(hets and places) and _written_after(tokens, hets[0], places[-1])
    for at in places:
        tokens[at] = tokens[at]._replace(kind=_place(tokens, at, bool(hets) and hets[0] < at, after_style))
    return tokens


def _written_after(tokens: list[Token], first_het: int, last_percent: int) -> bool:
    """True where the first het has no number before it and the last number has nothing after it to belong to."""
    before, _ = _neighbours(tokens, first_het)
    own, after = _neighbours(tokens, last_percent)
    opens = _OPENS_GENE | _OPENS_HET | {"WORD"}
    return _kind(tokens, before) != "PCT" and _kind(tokens, own) == "NAME" and _kind(tokens, after) not in opens


def _place(tokens: list[Token], at: int, in_scope: bool, after_style: bool) -> str:
    before, after = (_kind(tokens, place) for place in _neighbours(tokens, at))
    if before == "HET":
        return "PCTOWN"
    if before == "NAME" and after_style and after in _OPENS_HET | _OPENS_GENE:
        return "PCTAFTER"
    if after in _OPENS_HET:
        return "PCT"
    if after in _OPENS_GENE:
        return "PCTEITHER" if in_scope and before == "NAME" else "PCT"
    if after == "WORD":
        return "PCT"
    return "PCTAFTER" if before in ("NAME", "QUESTION", "WORD", "LINE", "COMPLEX") else "PCT"
