"""A keeper's changes laid over a species file, in the file's own structure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from holdback.species.model import Mark

_ENTRIES = ("allele", "combo", "locus")
_VALUES = ("reproduction", "chromosomes", "records", "size", "decisions")
_TALK = frozenset({"name", "aliases", "note", "ease_one", "ease_two", "missed", "imagined", "frequency", "tags"})
"""Fields that say nothing about class, place, look or harm: changing them leaves the mark as it was."""

_SAME: Mapping[str, Callable[[Mapping[str, Any]], object]] = {
    "look": lambda row: (row.get("locus"), row.get("word") or row.get("label")),
    "together": lambda row: frozenset(row.get("alleles") or ()),
    "pairing": lambda row: row.get("code"),
    "not_a_gene": lambda row: row.get("name"),
    "linkage": lambda row: frozenset(row.get("loci") or ()),
    "growth": lambda row: row.get("age_months"),
    "feeding": lambda row: row.get("stage"),
    "chromosome": lambda row: row.get("name"),
    "idea": lambda row: row.get("has"),
}
"""What makes two rows of a list the same row."""


def laid_over(data: Mapping[str, Any], patch: Mapping[str, Any]) -> dict[str, Any]:
    """Species file with a patch laid over it; neither is changed.

    Parameters
    ----------
    data : mapping
        Species file as parsed.
    patch : mapping
        Tables of the same structure. Named entries are merged field by field, numbers with a range are replaced, rows
        of a list replace the row they name and are added otherwise.

    Notes
    -----
    What the patch states carries the mark "your own" unless it states another; the source of what it replaces is
    dropped, as it no longer supports the value.
    """
    merged = dict(data)
    for name, change in patch.items():
        merged[name] = _merged(name, data.get(name), change)
    return merged


def _merged(name: str, old: Any, change: Any) -> Any:
    if name in _ENTRIES and isinstance(change, Mapping):
        held = old if isinstance(old, Mapping) else {}
        return {**held, **{key: _entry(held.get(key), each) for key, each in change.items()}}
    if name in _VALUES and isinstance(change, Mapping):
        held = old if isinstance(old, Mapping) else {}
        return {**held, **{key: _value(held.get(key), each) for key, each in change.items()}}
    if name in _SAME and isinstance(change, list | tuple):
        return _rows(name, old if isinstance(old, list | tuple) else (), change)
    if isinstance(old, Mapping) and isinstance(change, Mapping):
        return {**old, **change}
    return change


def _entry(old: Any, change: Any) -> Any:
    if not isinstance(change, Mapping):
        return change
    stated = {**change, "mark": change.get("mark", str(Mark.OWN))}
    if not isinstance(old, Mapping):
        return stated
    if set(change) <= _TALK | {"mark"}:
        return {**old, **change}
    kept = {key: value for key, value in old.items() if key != "source"}
    return {**kept, "source": "", **stated}


def _value(old: Any, change: Any) -> Any:
    if not isinstance(change, Mapping):
        return change
    unit = {"unit": old["unit"]} if isinstance(old, Mapping) and "unit" in old else {}
    return {**unit, "mark": str(Mark.OWN), **change}


def _rows(name: str, old: Any, change: Any) -> list[Any]:
    same = _SAME[name]
    rows: list[Any] = list(old)
    for row in change:
        if not isinstance(row, Mapping):
            rows.append(row)
            continue
        new = row if name == "linkage" else {"mark": str(Mark.OWN), **row}
        places = [at for at, held in enumerate(rows) if isinstance(held, Mapping) and same(held) == same(row)]
        if places:
            rows[places[0]] = new  # in the place of the first
        else:
            rows.append(new)
        rows = [held for at, held in enumerate(rows) if at not in places[1:]]
    return rows


def marked(data: Mapping[str, Any]) -> Mapping[str, Any]:
    """Species file with its ``default_mark`` written wherever an entry states no mark; itself if it has none."""
    mark = data.get("default_mark")
    if not isinstance(mark, str):
        return data
    groups = data.get("group")
    marking = {key for key, each in groups.items() if "mark" in each} if isinstance(groups, Mapping) else set()
    filled = dict(data)
    for name in (*_ENTRIES, *_VALUES):
        if isinstance(data.get(name), Mapping):
            filled[name] = {key: _with_mark(each, mark, marking) for key, each in data[name].items()}
    for name in _SAME:
        if name != "linkage" and isinstance(data.get(name), list | tuple):
            filled[name] = [_with_mark(each, mark, marking) for each in data[name]]
    return filled


def _with_mark(entry: Any, mark: str, marking: set[str]) -> Any:
    if not isinstance(entry, Mapping) or "mark" in entry or entry.get("group") in marking:
        return entry
    return {**entry, "mark": mark}
