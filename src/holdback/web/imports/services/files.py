"""Files into the records without a page: what is clear lands, what is a question is held back and listed."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from holdback.errors import Fault, HoldbackError, IntakeError
from holdback.web.imports import storage
from holdback.web.imports.models import ImportBatch
from holdback.web.imports.services.committing import commit
from holdback.web.imports.services.staging import cancel, choose_kind, preview, set_columns, set_writing, stage

_COUNTS = ("created", "changed", "unchanged", "measurements")
_ROWS = {"n_rows": "rows", "n_landing": "landed", "n_waiting": "held_back", "n_left_out": "left_out"}


@dataclass(frozen=True)
class FileReport:
    """What came of one file.

    Parameters
    ----------
    file, sheet : str
        Its name and the sheet that was read.
    counts : mapping of str to int
        Rows in all, landed, held back and left out; animals created, changed, unchanged; measurements.
    questions, waiting, left_out, held : sequence of mapping
        What is open, and every row or value that did not land, with the reason.
    batch : str
        Id of the import, to take it back; empty where nothing landed.
    other_sheets : sequence of str
        Sheets of the file that were not read.
    notes : sequence of str
        What of the file is in no row.
    kind : str
        What a row is; empty for a collection.
    """

    file: str
    sheet: str
    counts: Mapping[str, int]
    questions: Sequence[Mapping[str, Any]] = ()
    waiting: Sequence[Mapping[str, Any]] = ()
    left_out: Sequence[Mapping[str, Any]] = ()
    held: Sequence[Mapping[str, Any]] = ()
    batch: str = ""
    other_sheets: Sequence[str] = ()
    notes: Sequence[str] = ()
    kind: str = ""


@dataclass(frozen=True)
class ImportReport:
    """What came of all files, in the order given."""

    files: tuple[FileReport, ...] = ()
    dry_run: bool = False
    faults: tuple[Fault, ...] = field(default=())

    @property
    def complete(self) -> bool:
        """Whether every row and value landed or is no animal; nothing waits for an answer."""
        return not self.faults and not any(one.waiting or one.held or one.questions for one in self.files)

    @property
    def counts(self) -> dict[str, int]:
        """Sums over all files."""
        names = dict.fromkeys([*_ROWS.values(), *_COUNTS])
        return {name: sum(one.counts.get(name, 0) for one in self.files) for name in names}

    def as_json(self) -> dict[str, Any]:
        """Plain values: counts, problems, and each file."""
        problems = [
            {"file": one.file, "row": listed["row"], "reason": listed["reason"], "text": listed["text"], "kind": kind}
            for one in self.files
            for kind, rows in (("held back", one.waiting), ("value held back", one.held), ("left out", one.left_out))
            for listed in rows
        ]
        problems += [
            {"file": f.file, "row": f.line, "reason": str(f), "text": f.value, "kind": "fault"} for f in self.faults
        ]
        return {
            "counts": self.counts,
            "problems": problems,
            "dry_run": self.dry_run,
            "files": [
                {
                    "file": one.file, "sheet": one.sheet, "counts": dict(one.counts), "batch": one.batch,
                    "kind": one.kind,
                    "questions": [dict(question) for question in one.questions],
                    "other_sheets": list(one.other_sheets), "notes": list(one.notes),
                }
                for one in self.files
            ],
        }  # fmt: skip

    def lines(self) -> list[str]:
        """The report in sentences for the terminal."""
        found = [line for one in self.files for line in _file_lines(one, dry_run=self.dry_run)]
        return found + [str(fault) for fault in self.faults]


def _file_lines(one: FileReport, *, dry_run: bool) -> list[str]:
    """Sentences about one file."""
    counts = one.counts
    verb = "would land" if dry_run else "landed"
    name = f"{one.file}, sheet {one.sheet}" if one.sheet else one.file
    what = "animals" if one.kind in ("", "animals") else "rows"
    as_were = "as they were" if what == "animals" else "on record already"
    lines = [
        f"{name}: {counts['landed']} of {counts['rows']} rows {verb}: {counts['created']} {what} new, "
        f"{counts['changed']} changed, {counts['unchanged']} {as_were}; {counts['measurements']} measurements."
    ]
    if what == "rows":
        lines.append(f"  read as: {one.kind}. Write kind = in the answers file if a row is something else.")
    lines += [f"  note: {note}" for note in one.notes]
    if one.other_sheets:
        lines.append(f"Not read: {', '.join(one.other_sheets)}. Name one with sheet = in the answers file.")
    for question in one.questions:
        rows = ", ".join(map(str, question["rows"][:8])) + (", …" if len(question["rows"]) > 8 else "")
        keys = " | ".join(f"{choice['key']!r}" for choice in question["choices"])
        if question["takes_text"]:
            keys += " | 'write:…'"
        lines.append(f"  question {question['id']!r}, row {rows}: {question['what']} Answers: {keys}")
    for word, rows_listed in (("held back", one.waiting), ("value held back", one.held), ("left out", one.left_out)):
        lines += [f"  row {listed['row']} {word}: {listed['reason']}" for listed in rows_listed]
    return lines


@dataclass(frozen=True)
class AnswersFile:
    """Answers given before: the sheet, where columns go, how cells are written, and questions."""

    sheet: str = ""
    kind: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    writing: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)


def read_answers(path: Path) -> AnswersFile:
    """Answers of a TOML file.

    Parameters
    ----------
    path : Path
        With ``sheet``, ``kind`` (what a row is) and the tables ``[columns]`` and ``[units]`` (heading to field or
        unit), ``[writing]`` (key to value) and ``[answers]`` (question id to answer); all may be missing.

    Raises
    ------
    IntakeError
        ITK-014 if it cannot be read or holds anything else.
    """
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise IntakeError(
            Fault("ITK-014", f"The answers cannot be read: {error}.", _ANSWERS, file=path.name)
        ) from error
    tables = ("columns", "units", "writing", "answers")
    unknown = [name for name in data if name not in ("sheet", "kind", *tables)]
    wrong = [name for name in tables if not isinstance(data.get(name, {}), dict)]
    if unknown or wrong:
        what = f"{', '.join([*unknown, *wrong])} cannot stand in the answers."
        raise IntakeError(Fault("ITK-014", what, _ANSWERS, file=path.name))
    parts = {name: {str(key): str(value) for key, value in data.get(name, {}).items()} for name in tables}
    return AnswersFile(str(data.get("sheet", "")), str(data.get("kind", "")), **parts)


_ANSWERS = "Write sheet, kind, [columns], [units], [writing] and [answers] as the reference of the import says."


def import_files(
    paths: Sequence[Path], *, answers: Path | None = None, dry_run: bool = False, who: str = "the keeper"
) -> ImportReport:
    """What came of bringing files in, one after the other.

    Parameters
    ----------
    paths : sequence of Path
        Sheets (.csv, .xlsx, .ods), pedigrees (.ped, .fam), workbooks or zips of a collection, collection folders.
    answers : Path, optional
        TOML file with columns and answers; it goes for all the files.
    dry_run : bool
        Read everything and land nothing.
    who : str
        Who brings them in.

    Returns
    -------
    ImportReport
        Counts and everything that did not land.

    Raises
    ------
    IntakeError, CollectionError, RecordError
        If a file cannot be read or written. Files before it have landed; of that file nothing has.
    """
    told = read_answers(answers) if answers else AnswersFile()
    return ImportReport(tuple(_one(path, told, dry_run=dry_run, who=who) for path in paths), dry_run)


def _one(path: Path, told: AnswersFile, *, dry_run: bool, who: str) -> FileReport:
    """Bring one file in."""
    batch = stage(path, who=who, sheet_name=told.sheet)
    try:
        if batch.mapping:
            _tell(batch, told)
        preview(batch)
        if not dry_run and batch.summary["created"] + batch.summary["changed"] + batch.summary["unchanged"]:
            commit(batch, who=who, expected=batch.summary["mark"] if batch.mapping else "")
    except HoldbackError:
        cancel(batch)
        raise
    report = _report(batch)
    if batch.is_open:
        cancel(batch)
    return report


def _tell(batch: ImportBatch, told: AnswersFile) -> None:
    """Apply the answers given before to a sheet."""
    if told.kind and told.kind.casefold() != batch.mapping["sheet"]:
        choose_kind(batch, kind=told.kind.casefold())
    by_title = {column["title"].casefold(): column["index"] for column in batch.mapping["columns"]}
    strange = [title for title in (*told.columns, *told.units) if title.casefold() not in by_title]
    if strange:
        hint = f"The headings are: {', '.join(column['title'] for column in batch.mapping['columns'])}."
        raise IntakeError(Fault("ITK-014", f"There is no column {', '.join(strange)}.", hint, file=batch.file_name))
    if told.columns or told.units:
        fields = {by_title[title.casefold()]: field.casefold() for title, field in told.columns.items()}
        units = {by_title[title.casefold()]: unit for title, unit in told.units.items()}
        set_columns(batch, fields=fields, units=units)
    writing = {**told.writing}
    writing.update(
        {
            k.removeprefix("writing:"): v.removeprefix("write:")
            for k, v in told.answers.items()
            if k.startswith("writing:")
        }
    )
    if writing:
        set_writing(batch, told=writing)
    batch.answers = {key: value for key, value in told.answers.items() if not key.startswith("writing:")}
    batch.save(update_fields=["answers"])


def _report(batch: ImportBatch) -> FileReport:
    """Report of a batch after reading or landing."""
    found = batch.result or batch.summary
    counts = {word: found[name] for name, word in _ROWS.items()} | {name: found[name] for name in _COUNTS}
    rows = storage.kept_rows(batch)
    return FileReport(
        file=batch.file_name,
        sheet=batch.sheet_name,
        counts=counts,
        questions=batch.summary["questions"],
        waiting=rows["waiting"],
        left_out=rows["left_out"],
        held=rows["held"],
        batch="" if batch.is_open else str(batch.log_batch),
        other_sheets=[name for name in batch.sheet_names if name != batch.sheet_name],
        notes=batch.summary.get("notes", ()),
        kind=batch.mapping.get("sheet", ""),
    )
