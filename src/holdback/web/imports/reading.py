"""A stored file read against the records: the preview, and what of it is written down for the pages."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

from holdback.bridge import catalogue_of_records
from holdback.bridge.scope import Scope
from holdback.bridge.snapshot import records_of
from holdback.collection.collection import Collection
from holdback.collection.model import Clutch, Measurement, Records
from holdback.errors import Fault, IntakeError
from holdback.intake import (
    Entry,
    Kind,
    Known,
    Landing,
    Listed,
    Preview,
    Sheet,
    SheetKind,
    Table,
    find_table,
    gene_reader,
    propose,
    read_rows,
    read_sheets,
)
from holdback.intake import Mapping as ColumnMapping
from holdback.intake.numbers import GRAMS
from holdback.intake.workbook import is_collection, read_collection
from holdback.web.records import clock
from holdback.web.records.models import Stay
from holdback.web.records.overlay import SPECIES
from holdback.web.records.queries import whole_places

Progress = Callable[[int, int], None]

THIN = "\u202f"
"""Narrow no-break space before a unit."""


def this_year() -> int:
    """Year in the keeper's zone."""
    return clock.today().year


def known_records() -> Known:
    """What is on record now."""
    stays = Stay.objects.filter(until__isnull=True).select_related("animal", "place")
    paths = whole_places()
    places = {stay.animal.tag: paths[stay.place_id] for stay in stays}
    return Known.of(records_of(Scope(SPECIES)), places=places)


def best_sheet(sheets: Sequence[Sheet]) -> Sheet:
    """The sheet that is most likely the list of animals: known headings first, then the number of rows."""
    if len(sheets) == 1:
        return sheets[0]

    def likelihood(sheet: Sheet) -> tuple[float, int]:
        try:
            mapping = proposed(find_table(sheet))
        except IntakeError:
            return (-1.0, 0)
        named = {column.field.value for column in mapping.columns if column.confidence >= 0.5}
        named -= {"notes", "leave out"}
        return (min(len(named), 5) + ("id" in named or "name" in named), sheet.n_filled_rows)

    return max(sheets, key=likelihood)


def named_sheet(sheets: Sequence[Sheet], name: str) -> Sheet:
    """Sheet of a name.

    Raises
    ------
    IntakeError
        ITK-007 if the file has none of that name.
    """
    for sheet in sheets:
        if sheet.name == name:
            return sheet
    names = ", ".join(sheet.name for sheet in sheets)
    raise IntakeError(Fault("ITK-007", f"There is no sheet {name!r}.", f"Take one of: {names}.", value=name))


def proposed(table: Table, kind: SheetKind | None = None) -> ColumnMapping:
    """Mapping proposed for a table, with genes known by the almanac; its kind is found where it is not said."""
    reader = gene_reader(catalogue_of_records())

    def names_genes(text: str) -> bool:
        reading = reader(text)
        return reading.n_read > len(reading.unread)

    return propose(table, this_year=this_year(), reads_as_genes=names_genes, sheet=kind)


def collection_in(path: Path, sheets: Sequence[Sheet] = ()) -> Collection | None:
    """Collection of a folder or of a workbook in its form; None for any other file.

    Raises
    ------
    CollectionError
        With all faults.
    """
    if path.is_dir():
        return Collection.from_folder(path)
    return read_collection(sheets) if is_collection(sheets) else None


def preview_of(
    table: Table,
    mapping: ColumnMapping,
    *,
    answers: Mapping[str, str],
    known: Known | None = None,
    progress: Progress | None = None,
) -> Preview:
    """What will come of a sheet, against the records as they are now."""
    return read_rows(
        table,
        mapping,
        known=known or known_records(),
        answers=answers,
        genes=gene_reader(catalogue_of_records()),
        progress=progress,
    )


def table_of(path: Path, sheet_name: str) -> Table:
    """Table of one sheet of a stored file."""
    sheets = read_sheets(path)
    return find_table(named_sheet(sheets, sheet_name) if sheet_name else sheets[0])


def landing_records(preview: Preview, known: Known) -> Records:
    """Records of the rows that land and change something; clutches that only a row names come along."""
    animals = {}
    for landing in preview.landings:
        if landing.kind is not Kind.UNCHANGED:
            animals[landing.animal.id] = landing.animal
    clutches: dict[str, Clutch] = {}
    dams: dict[str, set[str | None]] = {}
    for animal in animals.values():
        if animal.clutch and animal.clutch not in known.clutches:
            dams.setdefault(animal.clutch, set()).add(animal.dam)
    for tag, found in dams.items():
        clutches[tag] = Clutch(tag, dam=found.pop() if len(found) == 1 else None)
    if preview.entries:
        return _joined([entry.records for entry in preview.entries])
    return Records(
        animals=tuple(animals.values()),
        lines=tuple(claim for landing in preview.landings for claim in landing.lines),
        measurements=tuple(reading for landing in preview.landings for reading in landing.measurements),
        clutches=tuple(clutches.values()),
    )


def _joined(parts: Sequence[Records]) -> Records:
    """Records of all rows together; what several rows bring along stands once."""
    names = [field.name for field in fields(Records)]
    return Records(**{name: tuple(dict.fromkeys(row for one in parts for row in getattr(one, name))) for name in names})


def summary_of(preview: Preview) -> dict[str, Any]:
    """Counts, questions and the mark of a preview, as plain values."""
    return {
        "n_rows": preview.n_rows,
        "sheet": preview.sheet.value,
        "n_landing": preview.n_landing,
        "n_waiting": len(preview.waiting),
        "n_left_out": len(preview.left_out),
        "n_held": len(preview.held),
        "created": preview.count(Kind.CREATED),
        "changed": preview.count(Kind.CHANGED),
        "unchanged": preview.count(Kind.UNCHANGED),
        "measurements": preview.n_measurements,
        "questions": [
            {
                "id": question.id, "rows": list(question.rows), "what": question.what, "why": question.why,
                "choices": [{"key": choice.key, "deed": choice.deed} for choice in question.choices],
                "takes_text": question.takes_text, "gene": question.gene,
                "holds": question.holds,
            }
            for question in preview.questions
        ],
        "notes": list(preview.notes),
        "mark": mark_of(preview),
    }  # fmt: skip


def mark_of(preview: Preview) -> str:
    """Digest of all that would land; equal marks mean that the same lands."""
    digest = hashlib.sha256()
    for landing in preview.landings:
        digest.update(repr((landing.animal, landing.kind, landing.measurements, landing.lines, landing.place)).encode())
    for entry in preview.entries:
        digest.update(repr((entry.records, entry.kind)).encode())
    return digest.hexdigest()


def rows_of(preview: Preview) -> dict[str, Any]:
    """Every row for the pages, as plain values; those with something to check come first."""
    landings = sorted(preview.landings, key=lambda each: not (each.remarks or each.changes))
    return {
        "landings": [_landing(each) for each in landings],
        "entries": [_entry(each) for each in sorted(preview.entries, key=lambda each: not each.remarks)],
        "waiting": [_listed(each) for each in preview.waiting],
        "left_out": [_listed(each) for each in preview.left_out],
        "held": [_listed(each) for each in preview.held],
    }


def _listed(listed: Listed) -> dict[str, Any]:
    return {"row": listed.row, "reason": listed.reason, "text": listed.text, "questions": list(listed.questions)}


def _entry(entry: Entry) -> dict[str, Any]:
    """One entry for the pages."""
    return {
        "row": entry.row, "about": entry.about, "said": list(entry.said), "kind": entry.kind.value,
        "typed": " · ".join(entry.typed.values()), "remarks": list(entry.remarks),
    }  # fmt: skip


def _landing(landing: Landing) -> dict[str, Any]:
    """One landing for the pages."""
    animal = landing.animal
    return {
        "row": landing.row, "id": animal.id, "name": animal.name, "sex": animal.sex.value,
        "hatched": str(animal.hatched or ""), "genes": animal.genes, "genes_read": landing.genes_read or animal.genes,
        "sire": "|".join(candidate.animal for candidate in animal.sires), "dam": animal.dam or "",
        "kind": landing.kind.value, "place": landing.place,
        "readings": [reading_text(reading) for reading in landing.measurements],
        "changes": [[change.field, change.before, change.after] for change in landing.changes],
        "remarks": list(landing.remarks),
    }  # fmt: skip


def reading_text(reading: Measurement) -> str:
    """Measurement in words; a mass not in gram carries its gram, rounded to one."""
    value = f"{reading.value:,.2f}".rstrip("0").rstrip(".")
    text = f"{value}{THIN}{reading.unit}"
    if reading.trait.value != "mass":
        return f"{reading.trait.value} {text}"
    if reading.unit == "g":
        return text
    return f"{reading.value * GRAMS[reading.unit]:,.0f}{THIN}g ({text})"
