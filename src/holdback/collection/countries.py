"""Countries by their two letters.

References
----------
ISO 3166-1 alpha-2, with English names as in ``iso3166.tab`` of the time zone database 2025 (public domain). A code in
this list takes no side in any question of territory.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from types import MappingProxyType


@cache
def countries() -> Mapping[str, str]:
    """English name of each country by its code, in the order of codes.

    Examples
    --------
    >>> countries()["GH"]
    'Ghana'
    """
    with (Path(__file__).parent / "countries.csv").open(encoding="utf-8", newline="") as file:
        return MappingProxyType({row["code"]: row["name"] for row in csv.DictReader(file)})


def nearest_country(text: str) -> str:
    """Code that a text most likely means: a name, or a code in small letters; empty for none.

    Examples
    --------
    >>> nearest_country("gh"), nearest_country("Camerun"), nearest_country("Marrowfen")
    ('GH', 'CM', '')
    """
    if text.upper() in countries():
        return text.upper()
    names = {name.casefold(): code for code, name in countries().items()}
    near = get_close_matches(text.casefold(), names, n=1, cutoff=0.75)
    return names[near[0]] if near else ""
