"""Countries that a species is reported from in the wild."""

from __future__ import annotations

from dataclasses import dataclass

from holdback.collection.countries import countries
from holdback.collection.origins import country_hint
from holdback.errors import Fault
from holdback.species.fields import Table
from holdback.species.model import Mark


@dataclass(frozen=True, slots=True)
class WildRange:
    """Where a species is reported from, country by country: a sketch, no survey.

    Parameters
    ----------
    countries : tuple of str
        ISO 3166-1 alpha-2 codes.
    mark : Mark
        Trust.
    sources : tuple of str
        Citations in full; empty where none is named.
    note : str
        What else is known.
    """

    countries: tuple[str, ...]
    mark: Mark
    sources: tuple[str, ...] = ()
    note: str = ""


def wild_range_of(top: Table, faults: list[Fault]) -> WildRange | None:
    """Range of a species file, None where it states none."""
    if not top.has("range"):
        top.raw("range")
        return None
    stated = top.raw("default_mark")
    default = Mark(stated) if stated in Mark._value2member_map_ else Mark.COMMON
    table = Table(top.table("range"), "range", faults, default)
    codes, cited, mark = table.texts("countries"), table.text("source"), table.mark()
    for code in codes:
        if code not in countries():
            table.fault("SPE-034", f"{code!r} is no code of a country.", country_hint(code), "countries", code)
    keys = [key.strip() for key in cited.split(",") if key.strip()]
    sources = top.table("sources")
    if mark is Mark.PUBLISHED and (not keys or any(key not in sources for key in keys)):
        hint = "Name a key of [sources], or use another mark."
        table.fault("SPE-028", f"The range is marked published, with source {cited!r}.", hint, "source", cited)
    note = table.text("note")
    table.close()
    return WildRange(codes, mark, tuple(str(sources.get(key, key)) for key in keys), note)
