"""The descriptor ``datapackage.json`` of a collection folder.

References
----------
Data Package and Tabular Data Package, version 1 (specs.frictionlessdata.io): profiles ``tabular-data-package`` and
``tabular-data-resource``, Table Schema.
"""

from __future__ import annotations

from typing import Any

from holdback.collection.columns import TABLES, Column, Kind, Table

_TYPES = {Kind.NUMBER: "number", Kind.COUNT: "integer"}
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
    keys = [column for column in table.columns if column.refers]
    if keys:
        schema["foreignKeys"] = [
            {
                "fields": column.name,
                "reference": {"resource": "" if column.refers == table.name else column.refers, "fields": "id"},
            }
            for column in keys
        ]
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
    if column.name in ("share_low", "share_high", "none", "one", "two", "trust"):
        constraints |= {"minimum": 0, "maximum": 1}
    if column.name in ("latitude", "longitude"):
        most = 90 if column.name == "latitude" else 180
        constraints |= {"minimum": -most, "maximum": most}
    if column.name == "country":
        constraints["pattern"] = "[A-Z]{2}"
    field = {"name": column.name, "type": _TYPES.get(column.kind, "string"), "description": column.about}
    return field | ({"constraints": constraints} if constraints else {})
