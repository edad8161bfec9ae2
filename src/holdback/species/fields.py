"""Reading of one table of a species file: every field by its type, every fault kept."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum
from typing import Any, TypeVar

from holdback.errors import Fault
from holdback.species.model import Mark, Value

_HUGE = 1e12

_Choice = TypeVar("_Choice", bound=StrEnum)


class Table:
    """One table of the file, read field by field; `close` reports the keys that nobody asked for.

    Parameters
    ----------
    data : mapping
        Table as parsed; anything else is a fault and reads as empty.
    where : str
        Place in the file, such as "allele.pastel".
    faults : list of Fault
        Faults are added here.
    mark : Mark
        Mark where the table states none.
    """

    def __init__(self, data: object, where: str, faults: list[Fault], mark: Mark = Mark.COMMON) -> None:
        self.where = where
        self.faults = faults
        self._mark = mark
        self._data: Mapping[str, Any] = data if isinstance(data, Mapping) else {}
        self._asked: set[str] = set()
        if not isinstance(data, Mapping):
            self.fault("SPE-010", f"{where} is not a table.", "Write it as a table with named fields.")

    def fault(self, code: str, what: str, hint: str, field: str = "", value: object = "") -> None:
        """Keep a fault of this table."""
        name = f"{self.where}.{field}" if field and self.where else field or self.where
        self.faults.append(Fault(code, what, hint, field=name, value="" if value == "" else str(value)))

    def raw(self, name: str) -> Any:
        """Field as parsed; None if absent."""
        self._asked.add(name)
        return self._data.get(name)

    def has(self, name: str) -> bool:
        """True where the field is written."""
        return name in self._data

    def text(self, name: str, default: str = "", *, required: bool = False) -> str:
        """Text field; the default where it is absent."""
        value = self.raw(name)
        if value is None:
            if required:
                self.fault("SPE-010", f"{self.where or 'The file'} has no {name}.", f"Add {name}.", name)
            return default
        if isinstance(value, str):
            return value
        self.fault("SPE-010", f"{name} is {value!r}, not a text.", "Put it in quotes.", name, value)
        return default

    def texts(self, name: str) -> tuple[str, ...]:
        """List of texts; empty where absent."""
        value = self.raw(name)
        if value is None:
            return ()
        if isinstance(value, list | tuple) and all(isinstance(each, str) for each in value):
            return tuple(value)
        self.fault("SPE-010", f"{name} is {value!r}, not a list of texts.", 'Write it as ["a", "b"].', name, value)
        return ()

    def tables(self, name: str) -> tuple[Any, ...]:
        """List of tables or lists as parsed; empty where absent."""
        value = self.raw(name)
        if value is None:
            return ()
        if isinstance(value, list | tuple):
            return tuple(value)
        self.fault("SPE-010", f"{name} is {value!r}, not a list.", "Write it as a list.", name, value)
        return ()

    def table(self, name: str) -> Mapping[str, Any]:
        """Table of named tables; empty where absent."""
        value = self.raw(name)
        if value is None:
            return {}
        if isinstance(value, Mapping):
            return value
        self.fault("SPE-010", f"{name} is {value!r}, not a table.", "Write it as a table.", name, value)
        return {}

    def number(
        self, name: str, default: float = 0.0, *, low: float = 0.0, high: float = 1.0, required: bool = False
    ) -> float:
        """Number in a closed range; the default where it is absent."""
        value = self.raw(name)
        if value is None:
            if required:
                self.fault("SPE-010", f"{self.where} has no {name}.", f"Add {name}, a number.", name)
            return default
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.fault("SPE-010", f"{name} is {value!r}, not a number.", "Write a number without quotes.", name, value)
            return default
        if not low <= value <= high:
            self.fault(
                "SPE-013",
                f"{name} is {value}, outside {low:g} to {high:g}.",
                f"Write a number from {low:g} to {high:g}.",
                name,
                value,
            )
            return default
        return float(value)

    def flag(self, name: str) -> bool:
        """True or false; false where absent."""
        value = self.raw(name)
        if value is None or isinstance(value, bool):
            return bool(value)
        self.fault("SPE-010", f"{name} is {value!r}.", "Write true or false.", name, value)
        return False

    def choice(self, name: str, kind: type[_Choice], default: _Choice) -> _Choice:
        """One of a closed list of words."""
        value = self.text(name, str(default))
        if value in kind._value2member_map_:
            return kind(value)
        self.word_fault(name, value, kind)
        return default

    def one_of(self, name: str, words: Iterable[str], default: str = "") -> str:
        """One of a closed list of words, as a text."""
        allowed = tuple(words)
        value = self.text(name, default)
        if value in allowed:
            return value
        self.word_fault(name, value, allowed)
        return default

    def word_fault(self, name: str, value: str, allowed: Iterable[str]) -> None:
        """Keep a fault for a word outside a closed list."""
        words = ", ".join(repr(str(word)) for word in allowed if str(word))
        self.fault("SPE-012", f"{name} is {value!r}.", f"Use one of {words}.", name, value)

    def mark(self) -> Mark:
        """Mark of this table."""
        return self.choice("mark", Mark, self._mark)

    def close(self) -> None:
        """Report fields that are not part of the format."""
        from holdback.species.naming import normal_form

        for name in self._data:
            if name not in self._asked:
                near = next((known for known in self._asked if normal_form(known) == normal_form(name)), "")
                hint = f"Did you mean {near}?" if near else "Take it out, or see the reference for the fields."
                self.fault("SPE-011", f"{name} is not a field of {self.where or 'the file'}.", hint, name)


def value_of(data: object, where: str, faults: list[Fault], mark: Mark = Mark.COMMON) -> Value:
    """Number with its range, mark and source from a table.

    Parameters
    ----------
    data : object
        Table with ``value``, ``low``, ``high`` and so on.
    where : str
        Place in the file.
    faults : list of Fault
        Faults are added here.
    mark : Mark
        Mark where the table states none.
    """
    table = Table(data, where, faults, mark)
    value = table.number("value", required=True, low=-_HUGE, high=_HUGE)
    found = Value(
        value=value,
        low=table.number("low", value, low=-_HUGE, high=_HUGE),
        high=table.number("high", value, low=-_HUGE, high=_HUGE),
        unit=table.text("unit"),
        mark=table.mark(),
        source=table.text("source"),
        note=table.text("note"),
    )
    if not found.low <= found.value <= found.high:
        table.fault(
            "SPE-013",
            f"value {found.value:g} lies outside its own range {found.low:g} to {found.high:g}.",
            "Widen the range, or correct the value.",
            "value",
            found.value,
        )
    table.close()
    return found
