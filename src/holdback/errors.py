"""What can be wrong, as a small tree of exceptions by meaning.

Every fault says what is wrong with the value seen, where it stands, and what to do. A boundary collects all faults and
raises once; inside the core an impossible state is an ``assert``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong: a code, what, where and what to do.

    Parameters
    ----------
    code : str
        Stable code such as ``COL-004``; documented in the reference.
    what : str
        What is wrong, with the value seen.
    hint : str
        What to do about it.
    file, field, value : str
        Where: file name (no folder), column or parameter, and the value as typed. Empty where it does not apply.
    line : int
        Line in the file, counted from 1 with the header; 0 where it does not apply.
    animal : str
        Id of the animal concerned, or empty.
    """

    code: str
    what: str
    hint: str = ""
    file: str = ""
    line: int = 0
    field: str = ""
    value: str = ""
    animal: str = ""

    @property
    def where(self) -> str:
        """Place of the fault in words, empty if it has none."""
        parts = [
            f"{self.file} line {self.line}" if self.file and self.line else self.file,
            f"animal {self.animal}" if self.animal else "",
            f"field {self.field}" if self.field else "",
        ]
        return ", ".join(part for part in parts if part)

    def as_json(self) -> dict[str, str | int]:
        """Fault as a JSON object: code, message, hint, and where."""
        return {
            "code": self.code,
            "message": self.what,
            "hint": self.hint,
            "file": self.file,
            "line": self.line,
            "field": self.field,
            "value": self.value,
            "animal": self.animal,
        }

    def __str__(self) -> str:
        """One line: code, where, what, hint."""
        head = f"{self.code} {self.where}".strip()
        return f"{head}: {self.what}" + (f" {self.hint}" if self.hint else "")


class HoldbackError(Exception):
    """Root of all errors that a person can mend.

    Parameters
    ----------
    faults : Fault or sequence of Fault
        Everything found wrong, in reading order; at least one.
    """

    def __init__(self, faults: Fault | Sequence[Fault]) -> None:
        self.faults: tuple[Fault, ...] = (faults,) if isinstance(faults, Fault) else tuple(faults)
        assert self.faults, "an error without a fault says nothing"
        super().__init__("\n".join(str(fault) for fault in self.faults))


class CollectionError(HoldbackError):
    """The records cannot be read as a collection."""


class SpeciesError(HoldbackError):
    """The species file, or a change to it, does not hold together."""


class ShorthandError(HoldbackError):
    """Text in trade shorthand cannot serve for the purpose (as a parent, as a wish)."""


class CrossError(HoldbackError):
    """The two animals cannot be crossed as asked."""


class PedigreeError(HoldbackError):
    """The pedigree contradicts itself."""


class IntakeError(HoldbackError):
    """A sheet cannot be read, or its mapping is not complete."""


class RecordError(HoldbackError):
    """A change to the records is refused."""


class SizeError(HoldbackError):
    """Sizes cannot be worked out as asked."""


class SeasonError(HoldbackError):
    """Something of the working year cannot be worked out as asked."""


class DecisionError(HoldbackError):
    """A goal, or a plan for it, cannot be worked out as asked."""
