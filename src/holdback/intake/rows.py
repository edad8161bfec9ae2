"""All rows of a sheet under a confirmed mapping: each lands, or is listed with the reason."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from difflib import SequenceMatcher

from holdback.collection.cells import sires_text
from holdback.collection.model import Animal, Candidate, Origin, Sex
from holdback.intake.clutches import read_clutches
from holdback.intake.draft import Draft
from holdback.intake.drafts import draft_of
from holdback.intake.entries import note_hollow, why_waiting
from holdback.intake.genetext import GeneReader
from holdback.intake.identity import identify, rows_by_id
from holdback.intake.inquiry import Asking, Inquiry, written
from holdback.intake.known import Known, fold
from holdback.intake.log import read_log
from holdback.intake.mapping import Mapping as ColumnMapping
from holdback.intake.masses import check_masses, landed
from holdback.intake.pairings import read_pairings
from holdback.intake.parents import Household, household, resolve_parents
from holdback.intake.placing import settle_places
from holdback.intake.preview import Changed, Choice, Kind, Landing, Listed, Preview
from holdback.intake.sheet_kinds import SheetKind
from holdback.intake.tables import Table

Progress = Callable[[int, int], None]
"""Told how many rows are done, of how many."""

_NEAR = 0.75
"""How alike a word and a known name must be for the name to be offered: one letter of four may differ."""

_STEP = 500
"""Rows between two reports of progress."""


def read_rows(
    table: Table,
    mapping: ColumnMapping,
    *,
    known: Known | None = None,
    answers: Mapping[str, str] | None = None,
    genes: GeneReader | None = None,
    progress: Progress | None = None,
) -> Preview:
    """What will come of a sheet.

    Parameters
    ----------
    table : Table
        The sheet.
    mapping : Mapping
        Confirmed columns and writing.
    known : Known, optional
        What is on record; nothing if left out.
    answers : mapping of str to str, optional
        Question id to answer. ``writing:`` and a key answers how cells are written.
    genes : callable, optional
        Reads the gene cells; without it they are kept as typed and not checked.
    progress : callable, optional
        Told after every few hundred rows.

    Returns
    -------
    Preview
        Landing, waiting and left-out rows; together all filled rows under the heading.

    Raises
    ------
    IntakeError
        ITK-010 to ITK-013 if the mapping cannot be used.

    Notes
    -----
    Nothing is changed. A row whose parent waits for an answer waits with it.
    """
    known, answers = known or Known(), answers or {}
    mapping = told(mapping, answers).checked()
    inquiry = Inquiry(answers)
    if mapping.sheet is SheetKind.LOG:
        return read_log(table, mapping, known, inquiry)
    if mapping.sheet is SheetKind.PAIRINGS:
        return read_pairings(table, mapping, known, inquiry)
    if mapping.sheet is SheetKind.CLUTCHES:
        return read_clutches(table, mapping, known, inquiry)
    drafts = []
    for at, row in enumerate(table.rows):
        drafts.append(draft_of(row, mapping, inquiry))
        if progress and at % _STEP == 0:
            progress(at, len(table.rows))
    settle_places(drafts, mapping, known)
    identify(drafts, mapping, known, inquiry)
    home = household(drafts, known)
    resolve_parents(drafts, home, inquiry)
    if genes is not None:
        _read_genes(drafts, genes, inquiry)
    check_masses(drafts, known, inquiry)
    note_hollow(table, drafts)
    return _preview(table, drafts, home, mapping=mapping, inquiry=inquiry)


def told(mapping: ColumnMapping, answers: Mapping[str, str]) -> ColumnMapping:
    """Mapping with the answers that are about how cells are written."""
    for key, value in answers.items():
        if key.startswith("writing:"):
            mapping = mapping.with_told(key.removeprefix("writing:"), value.removeprefix("write:"))
    return mapping


def _read_genes(drafts: Sequence[Draft], genes: GeneReader, inquiry: Inquiry) -> None:
    """Read every gene cell; words not read and genes that cannot be together are asked."""
    for draft in drafts:
        if not draft.genes or draft.row in inquiry.left_out:
            continue
        _read_gene_text(draft, genes, inquiry)


def _read_gene_text(draft: Draft, genes: GeneReader, inquiry: Inquiry) -> None:
    """Read one gene cell with the answers given."""
    reading = genes(draft.genes)
    for word, suggestion in reading.unread:
        asking = _unread_gene(word, suggestion)
        answer = inquiry.answer(asking, draft.row)
        told_text = written(answer)
        if answer == "hold":
            _hold_genes(draft)
            return
        if told_text is not None:
            draft.notes.append(f"Genes as typed: {draft.genes}")
            draft.genes = draft.genes.replace(word, told_text.text)
            reading = genes(draft.genes)
    if reading.impossible:
        asking = Asking(
            f"genes:{fold(draft.genes)}",
            lambda rows: f"“{draft.genes[:80]}”: {reading.impossible}",
            "Mend the text, or keep it as text only.",
            [Choice("hold", "Keep the text, hold the genes")],
            "The genes are",
        )
        answer = inquiry.answer(asking, draft.row)
        told_text = written(answer)
        if answer == "hold":
            _hold_genes(draft)
            return
        if told_text is not None:
            draft.notes.append(f"Genes as typed: {draft.genes}")
            draft.genes = told_text.text
            reading = genes(draft.genes)
            if reading.impossible or reading.unread:
                draft.remarks.append(f"Your answer “{told_text.text}” cannot be read as genes.")
                inquiry.waits.setdefault(draft.row, []).append(asking.id)
    draft.genes_read = reading.words
    draft.remarks += reading.remarks


def _unread_gene(word: str, suggestion: str) -> Asking:
    """Question about a word that is not in the almanac."""
    choices = [Choice("hold", "Keep the text, hold the genes")]
    if suggestion and 1 > SequenceMatcher(None, fold(word), fold(suggestion)).ratio() >= _NEAR:
        choices.insert(0, Choice(f"write:{suggestion}", f"Read it as {suggestion}"))
    return Asking(
        f"gene:{fold(word)}",
        lambda rows: f"“{word}” is not in the almanac.",
        "Add it as your own gene, or mend the spelling.",
        choices,
        "It should be",
        gene=word,
    )


def _hold_genes(draft: Draft) -> None:
    """Keep the text of the genes in the notes only."""
    draft.notes.append(f"Genes as typed: {draft.genes}")
    draft.genes, draft.genes_read = "", "held as text in the notes"


def _preview(
    table: Table, drafts: Sequence[Draft], home: Household, *, mapping: ColumnMapping, inquiry: Inquiry
) -> Preview:
    """Landings and lists of all drafts."""
    _wait_for_parents(drafts, home, inquiry)
    first_of = rows_by_id([draft for draft in drafts if not inquiry.halted(draft.row)])
    landing_rows = {draft.row for draft in drafts if not inquiry.halted(draft.row)}
    landings = [
        Landing(0, animal, Kind.CREATED, remarks=("named as a parent only",))
        for animal in home.added.values()
        if landing_rows & set(home.added_for[animal.id]) and animal.id not in home.known.animals
    ]
    current = dict(home.known.animals)
    waiting, left_out, held = [], [], []
    for draft in drafts:
        text = " · ".join(draft.typed.values())[:200]
        if draft.row in inquiry.left_out:
            left_out.append(Listed(draft.row, inquiry.left_out[draft.row], text))
        elif draft.row in inquiry.waits:
            waiting.append(Listed(draft.row, why_waiting(draft, inquiry), text, tuple(inquiry.waits[draft.row])))
        else:
            landing = _landing(draft, home, current, mapping=mapping, repeats=first_of[draft.id] is not draft)
            current[landing.animal.id] = landing.animal
            landings.append(landing)
            held += draft.held
    left_out += [Listed(aside.row, aside.reason, aside.text) for aside in table.aside]
    return Preview(
        landings=tuple(landings),
        questions=inquiry.questions(),
        waiting=tuple(waiting),
        left_out=tuple(sorted(left_out, key=lambda listed: listed.row)),
        held=tuple(held),
        n_rows=table.n_rows,
        notes=table.sheet.notes,
    )


def _wait_for_parents(drafts: Sequence[Draft], home: Household, inquiry: Inquiry) -> None:
    """Let young wait whose parent waits or is left out and is not on record."""
    missing = {
        draft.id: draft.row
        for draft in drafts
        if draft.id and inquiry.halted(draft.row) and draft.id not in home.known.animals
    }
    landing_ids = {draft.id for draft in drafts if not inquiry.halted(draft.row)}
    missing = {animal: row for animal, row in missing.items() if animal not in landing_ids}
    young: dict[str, list[Draft]] = {}
    for draft in drafts:
        for parent in [*(each for each, _ in draft.sire_candidates), draft.dam_id]:
            young.setdefault(parent, []).append(draft)
    queue = list(missing)
    while queue:
        parent = queue.pop()
        for draft in young.get(parent, ()):
            if draft.row in inquiry.left_out:
                continue
            first_time = draft.row not in inquiry.waits
            inquiry.waits.setdefault(draft.row, []).append(f"row:{missing[parent]}")
            if first_time and draft.id not in home.known.animals and draft.id not in missing:
                missing[draft.id] = draft.row
                queue.append(draft.id)


def _landing(
    draft: Draft, home: Household, current: Mapping[str, Animal], *, mapping: ColumnMapping, repeats: bool
) -> Landing:
    """One row as it lands: what the sheet says over what is on record; an empty cell changes nothing."""
    before = current.get(draft.id)
    after = _merged(before or Animal(id=draft.id), draft)
    readings = landed(draft, home.known)
    claims = tuple(
        replace(claim, animal=draft.id)
        for claim in draft.lines
        if replace(claim, animal=draft.id) != home.known.lines.get((draft.id, claim.line))
    )
    place = draft.place if draft.place != home.known.places.get(draft.id, "") else ""
    changes = _changes(before, after) if before else ()
    if before is None:
        kind = Kind.CREATED
    else:
        kind = Kind.CHANGED if changes or readings or claims or place else Kind.UNCHANGED
    remarks = list(draft.remarks)
    if repeats:
        remarks.append("adds to an earlier row of the same animal")
    return Landing(
        row=draft.row,
        animal=after,
        kind=kind,
        changes=changes,
        measurements=readings,
        lines=claims,
        place=place,
        typed=draft.typed,
        genes_read=draft.genes_read,
        remarks=tuple(dict.fromkeys(remarks)),
    )


def _merged(before: Animal, draft: Draft) -> Animal:
    """Animal with what the row says."""
    sires = tuple(Candidate(each, weight) for each, weight in draft.sire_candidates)
    return replace(
        before,
        name=draft.name or before.name,
        sex=draft.sex if draft.sex not in (None, Sex.UNKNOWN) else before.sex,
        hatched=draft.hatched or before.hatched,
        origin=draft.origin if draft.origin not in (None, Origin.UNKNOWN) else before.origin,
        sires=sires or before.sires,
        dam=draft.dam_id or before.dam,
        clutch=draft.clutch or before.clutch,
        genes=draft.genes or before.genes,
        status=draft.status or before.status,
        notes=_notes(before.notes, draft.notes),
    )


def _notes(before: str, added: Sequence[str]) -> str:
    """Notes with the lines that are not in them yet."""
    lines = before.split("\n") if before else []
    for text in added:
        if text not in lines and text not in before:
            lines.append(text)
    return "\n".join(lines)


def _changes(before: Animal, after: Animal) -> tuple[Changed, ...]:
    """Fields that differ, as text."""
    found = []
    for name in ("name", "sex", "hatched", "origin", "sires", "dam", "clutch", "genes", "status", "notes"):
        old, new = getattr(before, name), getattr(after, name)
        if old != new:
            found.append(Changed("sire" if name == "sires" else name, _text(old), _text(new)))
    return tuple(found)


def _text(value: object) -> str:
    """Value of a field as text."""
    if value is None:
        return ""
    return sires_text(value) if isinstance(value, tuple) else str(value)
