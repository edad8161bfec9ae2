"""The descriptor ``datapackage.json`` of a collection folder.

References
----------
Data Package and Tabular Data Package, version 1 (specs.frictionlessdata.io): profiles ``tabular-data-package`` and
``tabular-data-resource``, Table Schema.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from holdback.collection.columns import TABLES
from holdback.collection.table import Column, Kind, Table

_TYPES = {Kind.NUMBER: "number", Kind.COUNT: "integer"}
_BOUNDS: Mapping[str, tuple[int, int]] = {
    **dict.fromkeys(("share_low", "share_high", "none", "one", "two", "trust"), (0, 1)),
    "latitude": (-90, 90),
    "longitude": (-180, 180),
    "celsius": (-20, 60),
    **dict.fromkeys(("share_at_least", "inbreeding_at_most"), (0, 1)),
}
_PATTERNS: Mapping[str, str] = {"country": "[A-Z]{2}", "time": "([01][0-9]|2[0-3]):[0-5][0-9]"}
_EGG = ["clutch", "egg"]
_PARTIAL_DATE = r"[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?"


def descriptor(species: str) -> dict[str, Any]:
    """Descriptor of a folder, as a JSON object.

    Parameters
    ----------
    species : str
        Key of the species file.
    """
    return {
        "profile": "tabular-data-package",
        "name": "collection",
        "title": "Records of a collection",
        "holdback:species": species,
        "resources": [_resource(table) for table in TABLES],
    }


def _resource(table: Table) -> dict[str, Any]:
    """Descriptor of one file."""
    schema: dict[str, Any] = {"fields": [_field(table, column) for column in table.columns], "missingValues": [""]}
    if table.key:
        schema["primaryKey"] = list(table.key)
    keys: list[dict[str, Any]] = [
        {
            "fields": column.name,
            "reference": {"resource": "" if column.refers == table.name else column.refers, "fields": "id"},
        }
        for column in table.columns
        if column.refers
    ]
    if table.name == "egg_looks":
        keys.append({"fields": _EGG, "reference": {"resource": "eggs", "fields": _EGG}})
    if keys:
        schema["foreignKeys"] = keys
    return {
        "profile": "tabular-data-resource",
        "name": table.name,
        "path": table.file,
        "description": table.about,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "dialect": {"delimiter": ",", "quoteChar": '"', "doubleQuote": True, "lineTerminator": "\r\n"},
        "schema": schema,
    }


def _field(table: Table, column: Column) -> dict[str, Any]:
    """Descriptor of one column."""
    constraints: dict[str, Any] = {}
    if column.required:
        constraints["required"] = True
    if table.key == (column.name,):
        constraints["unique"] = True
    if column.words is not None:
        # An unknown outcome is an empty cell, and never written out.
        constraints["enum"] = [str(word) for word in column.words if (column.name, word) != ("outcome", "unknown")]
    if column.kind is Kind.DATE:
        constraints["pattern"] = _PARTIAL_DATE
    if column.kind is Kind.COUNT:
        constraints["minimum"] = 0
    if column.name in _BOUNDS:
        constraints["minimum"], constraints["maximum"] = _BOUNDS[column.name]
    if column.name in _PATTERNS:
        constraints["pattern"] = _PATTERNS[column.name]
    field = {"name": column.name, "type": _TYPES.get(column.kind, "string"), "description": column.about}
    return field | ({"constraints": constraints} if constraints else {})
