"""What the pages of an import show, made from the stored batch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from holdback.collection.model import PartialDate
from holdback.intake import FIELDS, ColumnPlan, Evidence, Mapping, SheetKind
from holdback.intake.inquiry import rows_named
from holdback.intake.mapping import units_of
from holdback.web.imports.models import ImportBatch
from holdback.web.imports.services import mapping_of
from holdback.web.pages.wording import counted, day

_UNIT_LABELS = {
    "g": "grams",
    "kg": "kilograms",
    "oz": "ounces",
    "lb": "pounds",
    "mm": "millimetres",
    "cm": "centimetres",
    "m": "metres",
    "in": "inches",
    "ft": "feet",
}
_HINTS = {
    "weighed_on": "A day, a month or a year: 2026-05-14, 2026-05 or 2026.",
    "year_from": "With 1966 the year 22 is 2022, and 70 is 1970.",
}


@dataclass(frozen=True, slots=True)
class ColumnRow:
    """One column as the page shows it."""

    plan: ColumnPlan
    choices: tuple[tuple[str, str, bool], ...]
    units: tuple[tuple[str, str, bool], ...]

    @property
    def name(self) -> str:
        """Name of the form field."""
        return f"column {self.plan.index}"

    @property
    def unit_name(self) -> str:
        """Name of the form field of the unit."""
        return f"unit {self.plan.index}"


@dataclass(frozen=True, slots=True)
class WritingRow:
    """One thing about the writing as the page shows it."""

    evidence: Evidence
    value: str
    hint: str
    fault: str = ""

    @property
    def name(self) -> str:
        """Name of the form field; a blank as separator is kept."""
        return f"written {self.evidence.key}"


_ROWS_ARE = {
    SheetKind.ANIMALS: "an animal",
    SheetKind.LOG: "something that happened to an animal on a day",
    SheetKind.PAIRINGS: "a male put to a female",
    SheetKind.CLUTCHES: "a clutch",
}


def kind_choices(mapping: Mapping) -> list[tuple[str, str, bool]]:
    """What a row can be: value, words, and whether it is taken for that."""
    return [(kind.value, words, kind is mapping.sheet) for kind, words in _ROWS_ARE.items()]


def column_rows(mapping: Mapping) -> list[ColumnRow]:
    """Columns with the choices for each."""
    return [
        ColumnRow(
            plan,
            tuple((field.value, field.value, field is plan.field) for field in FIELDS[mapping.sheet]),
            tuple((unit, _UNIT_LABELS[unit], unit == plan.unit) for unit in units_of(plan.field)),
        )
        for plan in mapping.columns
    ]


def writing_rows(
    mapping: Mapping, faults: dict[str, str] | None = None, typed: dict[str, str] | None = None
) -> list[WritingRow]:
    """What is asked about the writing, open questions first."""
    rows = [
        WritingRow(
            item,
            (typed or {}).get(item.key, mapping.told(item.key)),
            _HINTS.get(item.key.partition(" ")[0], ""),
            (faults or {}).get(item.key, ""),
        )
        for item in mapping.evidence
    ]
    return sorted(rows, key=lambda row: bool(row.value))


def questions_shown(batch: ImportBatch) -> list[dict[str, Any]]:
    """Open questions that are answered by a button; those about the writing stand in a list of their own."""
    return [
        {**question, "when": rows_named(question["rows"]), "choices": question["choices"]}
        for question in batch.summary.get("questions", ())
        if not question["id"].startswith("writing:")
    ]


def landings_shown(landings: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Landing rows with their dates in words."""
    return [
        {**each, "born": day(PartialDate.parse(each["hatched"])) if each["hatched"] else "unknown"} for each in landings
    ]


def lede(batch: ImportBatch) -> tuple[str, str]:
    """What the page answers in a bold sentence, and what follows it."""
    found = batch.summary
    rest = "Nothing lands before you say so, and no row is lost: what does not land is listed."
    waiting, landing = found["n_waiting"], found["n_landing"]
    ready = f"{counted(landing, 'row')} {'is' if landing == 1 else 'are'} ready"
    if waiting:
        return f"{ready}, {waiting} wait{'s' if waiting == 1 else ''} for an answer from you.", rest
    return f"{ready}, none waits.", rest


def deed(batch: ImportBatch) -> str:
    """Words on the button that lands."""
    landing = batch.summary["n_landing"]
    return "Land the row" if landing == 1 else f"Land the {landing:,} rows"


def result_words(batch: ImportBatch) -> str:
    """What has landed, in a sentence."""
    found = batch.result
    noun = "animal" if found.get("sheet", "animals") == "animals" else "row"
    as_were = "as they were" if noun == "animal" else "on record already"
    parts = [
        f"{counted(found['created'], noun)} new" if found["created"] else "",
        f"{found['changed']} changed" if found["changed"] else "",
        f"{found['unchanged']} {as_were}" if found["unchanged"] else "",
        counted(found["measurements"], "measurement") if found["measurements"] else "",
    ]
    return ", ".join(part for part in parts if part) or "nothing new"


def mapping_or_none(batch: ImportBatch) -> Mapping | None:
    """Mapping of a sheet; a collection has none."""
    return mapping_of(batch) if batch.mapping else None
