"""Sheets that are no list of animals, read against a small barn."""

from __future__ import annotations

from holdback.collection.model import (
    Animal,
    Clutch,
    Event,
    Mating,
    Measurement,
    PartialDate,
    Records,
    Sex,
    Trait,
)
from holdback.intake import Entry, Known, Preview, SheetKind, find_table, propose, read_rows, sheet_from_bytes


def day(text: str) -> PartialDate:
    return PartialDate.parse(text)


BARN = Records(
    animals=(
        Animal("22-11", "Umber", Sex.FEMALE, day("2022-07-18")),
        Animal("16-02", "Peat", Sex.FEMALE),
        Animal("16-01", "Mortar", Sex.MALE),
        Animal("20-01", "Ash", Sex.MALE),
        Animal("20-02", "Ash", Sex.FEMALE),
    ),
    measurements=(Measurement("22-11", day("2026-03-01"), Trait.MASS, 2000.0, "g"),),
    matings=(Mating("16-02", "16-01", day("2026-01-05"), day("2026-01-08"), 1),),
    clutches=(Clutch("25-01", "16-02", laid=day("2025-04-20"), eggs=6, slugs=1),),
    events=(Event("22-11", day("2026-03-02"), "shed"),),
)


def read(text: str, *, kind: SheetKind | None = None, answers: dict[str, str] | None = None) -> Preview:
    """Preview of a sheet; every row is an entry, waits or is left out."""
    table = find_table(sheet_from_bytes(text.encode(), "sheet.csv"))
    mapping = propose(table, this_year=2026, sheet=kind)
    preview = read_rows(table, mapping, known=Known.of(BARN), answers=answers)
    rows = [each.row for each in preview.entries]
    rows += [each.row for each in (*preview.waiting, *preview.left_out)]
    assert len(rows) == len(set(rows)) == preview.n_rows
    return preview


def kind_of(text: str) -> SheetKind:
    return propose(find_table(sheet_from_bytes(text.encode(), "sheet.csv")), this_year=2026).sheet


def entry(preview: Preview, row: int) -> Entry:
    return next(each for each in preview.entries if each.row == row)


def asked(preview: Preview) -> dict[str, list[str]]:
    """Open questions with the answers they take."""
    return {question.id: [choice.key for choice in question.choices] for question in preview.questions}
