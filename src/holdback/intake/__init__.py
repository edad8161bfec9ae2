"""Records that a breeder already has: sheets of any shape, read without a database.

A file becomes sheets (`read_sheets`), a sheet a table (`find_table`), the table gets a proposed mapping (`propose`),
and under the confirmed mapping every row lands or is listed (`read_rows`).
"""

from __future__ import annotations

from holdback.intake.genetext import GeneReader, GeneReading, gene_reader
from holdback.intake.headings import Field
from holdback.intake.known import Known
from holdback.intake.mapping import ColumnPlan, Evidence, Mapping, Writing
from holdback.intake.preview import Changed, Choice, Entry, Kind, Landing, Listed, Preview, Question
from holdback.intake.proposal import again, propose
from holdback.intake.rows import read_rows, told
from holdback.intake.sheet_kinds import FIELDS, SheetKind
from holdback.intake.sheets import Cell, Sheet, SheetRow, read_sheets, sheet_from_bytes
from holdback.intake.tables import Column, SetAside, Table, find_table

__all__ = [
    "FIELDS",
    "Cell",
    "Changed",
    "Choice",
    "Column",
    "ColumnPlan",
    "Entry",
    "Evidence",
    "Field",
    "GeneReader",
    "GeneReading",
    "Kind",
    "Known",
    "Landing",
    "Listed",
    "Mapping",
    "Preview",
    "Question",
    "SetAside",
    "Sheet",
    "SheetKind",
    "SheetRow",
    "Table",
    "Writing",
    "again",
    "find_table",
    "gene_reader",
    "propose",
    "read_rows",
    "read_sheets",
    "sheet_from_bytes",
    "told",
]
