"""Everything that can be done with a file on its way in, and the ways out; the same for page, job and command line."""

from __future__ import annotations

from holdback.web.imports.services.committing import commit, undo_import
from holdback.web.imports.services.exporting import export_folder, export_xlsx, export_zip
from holdback.web.imports.services.files import FileReport, ImportReport, import_files, read_answers
from holdback.web.imports.services.staging import (
    answer,
    cancel,
    choose_kind,
    choose_sheet,
    mapping_of,
    preview,
    set_columns,
    set_writing,
    stage,
)

__all__ = [
    "FileReport",
    "ImportReport",
    "answer",
    "cancel",
    "choose_kind",
    "choose_sheet",
    "commit",
    "export_folder",
    "export_xlsx",
    "export_zip",
    "import_files",
    "mapping_of",
    "preview",
    "read_answers",
    "set_columns",
    "set_writing",
    "stage",
    "undo_import",
]
