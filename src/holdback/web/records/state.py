"""A record as plain JSON values and back, for the log."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from django.apps import apps
from django.db.models import Field, ForeignKey

from holdback.web.records.models import Record

State = dict[str, Any]
"""Column name to JSON value."""


@cache
def logged_fields(model: type[Record]) -> tuple[Field[Any, Any], ...]:
    """Columns of a model that the log keeps: all but the key and the computed ones."""
    return tuple(
        field for field in model._meta.concrete_fields if not field.primary_key and field.attname not in model.computed
    )


def model_of(name: str) -> type[Record]:
    """Model by the name that the log keeps."""
    model = apps.get_model("records", name)
    assert issubclass(model, Record), f"{name} is no record"
    return model


def plain(value: Any) -> Any:
    """Value as JSON knows it."""
    if isinstance(value, uuid.UUID):
        return str(value)
    if isinstance(value, dt.date | dt.datetime | dt.time):
        return value.isoformat()
    return value


def state(record: Record, names: Iterable[str] | None = None) -> State:
    """Logged columns of a record, or only those named (by column name)."""
    wanted = None if names is None else set(names)
    return {
        field.attname: plain(getattr(record, field.attname))
        for field in logged_fields(type(record))
        if wanted is None or field.attname in wanted
    }


def restore(record: Record, values: Mapping[str, Any]) -> None:
    """Set the columns of a record to logged values and compute the others."""
    fields = {field.attname: field for field in logged_fields(type(record))}
    for name, value in values.items():
        field = fields[name]
        target = field.target_field if isinstance(field, ForeignKey) else field
        setattr(record, name, value if value is None else target.to_python(value))
    record.compute()


def label_of(record: Record) -> str:
    """A few words that name the record in the log, without a query."""
    for name in ("tag", "name", "allele", "line", "kind", "key", "mark", "place"):
        if text := getattr(record, name, ""):
            return str(text)[:200]
    return ""
