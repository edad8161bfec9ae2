"""Names of many tubs or boxes written short: from a first to a last, or one by one."""

from __future__ import annotations

import re

from holdback.errors import Fault, RecordError

MOST = 400
"""Tubs or boxes that can be made in one go."""

_RUN = re.compile(r"\s*(?:…|\.{2,3})\s*")
_LAST_PART = re.compile(r"(.*?)(\d+|[A-Za-z])$", re.DOTALL)


def tub_names(text: str, *, field: str = "tubs") -> list[str]:
    """Names that a text stands for, in its order.

    Parameters
    ----------
    text : str
        Names between commas; ``3-A…3-F`` and ``1…40`` (also with two or three dots) stand for all from the first to the
        last, by the letter or number at the end. Noughts in front of the first number stay.
    field : str
        Field that faults name.

    Raises
    ------
    RecordError
        SEA-330 where a run cannot be read, or where there would be more than `MOST`.

    Examples
    --------
    >>> tub_names("3-A…3-D, 4-A")
    ['3-A', '3-B', '3-C', '3-D', '4-A']
    >>> tub_names("08..11")
    ['08', '09', '10', '11']
    """
    found: list[str] = []
    for part in filter(None, (part.strip() for part in re.split(r"[,;\n]", text))):
        ends = [end.strip() for end in _RUN.split(part)]
        found += [part] if len(ends) == 1 else _run(part, ends, field)
        if len(found) > MOST:
            what = f"{text[:60]!r} stands for more than {MOST} names."
            raise RecordError(Fault("SEA-330", what, "Make them in several goes.", field=field, value=text[:60]))
    return found


def _run(part: str, ends: list[str], field: str) -> list[str]:
    """Names from a first to a last."""
    hint = "Write the first and the last with … or two dots between, as in 3-A…3-F or 1…40."
    fault = RecordError(Fault("SEA-330", f"{part[:60]!r} is no run of names.", hint, field=field, value=part[:60]))
    first, last = (_LAST_PART.fullmatch(end) for end in ends) if len(ends) == 2 else (None, None)
    if first is None or last is None or (last[1] and last[1] != first[1]):
        raise fault
    head, low, high = first[1], first[2], last[2]
    if low.isdecimal() and high.isdecimal() and int(low) <= int(high):
        if int(high) - int(low) > MOST:
            return [f"{head}{low}"] * (MOST + 1)  # one too many is told by the caller
        return [f"{head}{number:0{len(low)}}" for number in range(int(low), int(high) + 1)]
    if low.isalpha() and high.isalpha() and low.isupper() == high.isupper() and low <= high:
        return [f"{head}{chr(code)}" for code in range(ord(low), ord(high) + 1)]
    raise fault
