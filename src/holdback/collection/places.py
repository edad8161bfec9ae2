"""Where each record came from, so that a fault can say it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from holdback.errors import Fault


@dataclass(frozen=True, slots=True)
class Places:
    """Files and lines of the records of each table.

    Parameters
    ----------
    files : mapping of str to str
        Table name to file name; a table that is not listed has no file.
    lines : mapping of str to sequence of int
        Table name to the line of each record.
    """

    files: Mapping[str, str] = field(default_factory=dict)
    lines: Mapping[str, Sequence[int]] = field(default_factory=dict)

    def fault(
        self,
        code: str,
        what: str,
        hint: str,
        *,
        row: tuple[str, int],
        field: str = "",
        value: object = "",
        animal: str | None = "",
    ) -> Fault:
        """Fault of one record.

        Parameters
        ----------
        code, what, hint : str
            As in `Fault`.
        row : tuple of (str, int)
            Table name and index of the record in it.
        field : str
            Column.
        value : object
            Value seen; None is shown as empty.
        animal : str or None
            Animal concerned.
        """
        table, index = row
        lines = self.lines.get(table, ())
        return Fault(
            code,
            what,
            hint,
            file=self.files.get(table, ""),
            line=lines[index] if index < len(lines) else 0,
            field=field,
            value="" if value is None else str(value),
            animal=animal or "",
        )
