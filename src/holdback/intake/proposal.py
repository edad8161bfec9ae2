"""What each column is probably for: by its heading first, then by its cells."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Sequence
from dataclasses import replace

from holdback.collection.model import PartialDate, Sex
from holdback.intake import cellwords
from holdback.intake.dates import date, figures, two_figure_year
from holdback.intake.headings import MEASURES, SEVERAL, Field, field_of, heading_unit, heading_words
from holdback.intake.mapping import ColumnPlan, Mapping, units_of
from holdback.intake.numbers import Unclear, quantity
from holdback.intake.placing import nested
from holdback.intake.proposal_kinds import plans_of, with_detail
from holdback.intake.sheet_kinds import SheetKind, kind_of_table
from holdback.intake.sheets import Cell
from holdback.intake.tables import Column, Table
from holdback.intake.writing import Placed, cells_of, date_in, is_number, writing_evidence

_SAMPLE = 400
"""Cells of a column looked at; more change no proposal."""

_SURE = 0.5
"""A heading at least this sure is believed before the cells are asked."""

Genes = Callable[[str], bool]
"""Whether a text can be read as genes, at least in part."""


def propose(
    table: Table, *, this_year: int, reads_as_genes: Genes | None = None, sheet: SheetKind | None = None
) -> Mapping:
    """Mapping proposed for a table.

    Parameters
    ----------
    table : Table
        The sheet.
    this_year : int
        Year in which the sheet is brought in.
    reads_as_genes : callable, optional
        Says whether a text names genes; without it a column of genes is known by its heading only.
    sheet : SheetKind, optional
        What the rows are, where the keeper says so; else it is found by headings and cells.

    Returns
    -------
    Mapping
        One plan a column, the writing as far as the cells decide it, and what stays open.
    """
    found, why = kind_of_table(table) if sheet is None and not table.sheet.exact else (sheet or SheetKind.ANIMALS, "")
    plans = _animal_plans(table, reads_as_genes) if found is SheetKind.ANIMALS else plans_of(table, found)
    evidence = writing_evidence(table, plans, this_year=this_year, sheet=found)
    mapping = Mapping(tuple(plans), evidence=evidence, sheet=found, sheet_why=why or "you said so")
    for item in mapping.evidence:
        mapping = mapping.with_told(item.key, item.proposed)
    return mapping


def _animal_plans(table: Table, reads_as_genes: Genes | None) -> list[ColumnPlan]:
    """Plans for the columns of a list of animals."""
    plans = [_plan(table, column, reads_as_genes) for column in table.columns]
    plans = _identified(table, _one_each(nested(plans)))
    return _dated([_measured(table, plan) for plan in plans])


def again(table: Table, mapping: Mapping, *, this_year: int) -> Mapping:
    """Mapping after the keeper moved columns: units, dates and evidence worked out once more.

    Parameters
    ----------
    table, this_year
        As for `propose`.
    mapping : Mapping
        With the fields as the keeper wants them; what was told about the writing stays told.

    Returns
    -------
    Mapping
        Same fields, fresh evidence.
    """
    plans = []
    for plan in mapping.columns:
        kept = plan.unit if plan.unit in units_of(plan.field) else ""
        plans.append(_measured(table, replace(plan, unit=kept, date=None, dated_by=-1)))
    plans = _dated(plans)
    told = {item.key: mapping.told(item.key) for item in mapping.evidence}
    if mapping.sheet is not SheetKind.ANIMALS:
        plans = [with_detail(replace(plan, unit=kept.unit)) for plan, kept in zip(mapping.columns, plans, strict=True)]
    evidence = writing_evidence(table, plans, this_year=this_year, sheet=mapping.sheet)
    fresh = replace(mapping, columns=tuple(plans), evidence=evidence)
    for item in mapping.evidence:
        kind, _, index = item.key.partition(" ")
        plan_of = {str(plan.index): plan for plan in plans}
        if kind == "unit" and plan_of[index].field in MEASURES and item.key not in {e.key for e in fresh.evidence}:
            fresh = replace(fresh, evidence=(*fresh.evidence, item))
    for item in fresh.evidence:
        value = told.get(item.key) or fresh.told(item.key) or item.proposed
        fresh = fresh.with_told(item.key, value)
    return fresh


def _plan(table: Table, column: Column, reads_as_genes: Genes | None) -> ColumnPlan:
    """Plan of one column seen alone."""
    cells = cells_of(table, column.index)[:_SAMPLE]
    base = ColumnPlan(column.index, column.title, Field.NOTES, example=cells[0].cell.text if cells else "")
    if not cells:
        return replace(base, field=Field.LEAVE_OUT, reason="empty", confidence=1.0)
    found, sure = field_of(column.heading)
    above, above_sure = field_of(column.over) if column.over else (None, 0.0)
    if above is not None and (found is None or (found is Field.MEASURED and above in MEASURES)):
        found, sure = (Field.MEASURED, 0.9) if found is Field.MEASURED else (above, above_sure * 0.9)
    if above is Field.PARENTS and found in (Field.ID, Field.NAME, None):
        found, sure = None, 0.0
    if found is None and date_in(column.heading) and sum(is_number(p.cell) for p in cells) * 2 > len(cells):
        found, sure = Field.MASS, 0.6
    by_cells, cells_sure, why = _by_cells(cells, reads_as_genes)
    if found is not None and sure >= _SURE and not _contradicts(found, cells):
        return replace(
            base, field=found, reason=_reason(found, len(table.rows), cells_of(table, column.index)), confidence=sure
        )
    if by_cells is not None:
        return replace(base, field=by_cells, reason=why, confidence=cells_sure)
    if found is not None:
        reason = f"headed as {found.value}, but the cells do not fit"
        return replace(base, field=Field.NOTES, reason=reason, confidence=0.3)
    return replace(base, reason="not known; kept with its heading in the notes", confidence=0.2)


def _contradicts(field: Field, cells: Sequence[Placed]) -> bool:
    """Whether most cells cannot be what the heading says."""
    tests: dict[Field, Callable[[Cell], bool]] = {
        Field.SEX: _is_sex, Field.HATCHED: _is_date, Field.MEASURED: _is_date, Field.ORIGIN: _is_origin,
        **dict.fromkeys(MEASURES, _is_quantity),
    }  # fmt: skip
    test = tests.get(field)
    return test is not None and sum(test(p.cell) for p in cells) * 5 < len(cells) * 2


def _by_cells(cells: Sequence[Placed], reads_as_genes: Genes | None) -> tuple[Field | None, float, str]:
    """Field the cells alone speak for."""
    n = len(cells)
    texts = [placed.cell.text for placed in cells]
    for field, test, name in (
        (Field.SEX, _is_sex, "a sex"),
        (Field.PARENTS, _is_pair, "a pair"),
        (Field.ORIGIN, _is_origin, "an origin"),
        (Field.HATCHED, _is_full_date, "a date"),
    ):
        count = sum(test(placed.cell) for placed in cells)
        if count * 10 >= n * 8 and n >= 2:
            return field, 0.6 * count / n, f"{count} of {n} are {name}"
    with_unit = sum(_has_mass_unit(placed.cell) for placed in cells)
    if with_unit * 2 >= n and n >= 2:
        return Field.MASS, 0.6, f"{with_unit} of {n} carry a unit of weight"
    if reads_as_genes is not None:
        count = sum(reads_as_genes(text) for text in texts[:60])
        if count * 10 >= min(n, 60) * 6:
            return Field.GENES, 0.6, f"{count} of {min(n, 60)} name a gene"
    return None, 0.0, ""


def _one_each(plans: Sequence[ColumnPlan]) -> list[ColumnPlan]:
    """Plans in which a field that takes one column has its surest, the others going to notes."""
    best: dict[Field, ColumnPlan] = {}
    for plan in plans:
        if plan.field not in SEVERAL and (plan.field not in best or plan.confidence > best[plan.field].confidence):
            best[plan.field] = plan
    return [
        plan
        if plan.field in SEVERAL or best[plan.field] is plan
        else replace(
            plan,
            field=Field.NOTES,
            reason=f"{best[plan.field].title} is the {plan.field.value} already; kept in the notes",
            confidence=0.4,
        )
        for plan in plans
    ]


def _identified(table: Table, plans: list[ColumnPlan]) -> list[ColumnPlan]:
    """Plans with one column as id: running numbers of rows are none, and a name serves where there is no other."""
    ids = next((plan for plan in plans if plan.field is Field.ID), None)
    if ids is not None and _counts_rows(table, ids):
        reason = "counts the rows, names no animal"
        plans = [replace(p, field=Field.LEAVE_OUT, reason=reason, confidence=0.7) if p is ids else p for p in plans]
        ids = None
    names = next((plan for plan in plans if plan.field is Field.NAME), None)
    if ids is not None and names is None:
        return plans
    if ids is None:
        taken = names or _likeliest_id(table, plans)
        if taken is None:
            return plans
        cells = [p.cell.text for p in cells_of(table, taken.index)]
        reason = f"no column of ids; it serves as the id ({_repeats(cells)})"
        field = Field.NAME if taken is names else Field.ID
        return [replace(p, field=field, reason=reason, confidence=0.6) if p is taken else p for p in plans]
    return plans


def _counts_rows(table: Table, plan: ColumnPlan) -> bool:
    """Whether an id column only counts 1, 2, 3 while another column can name the animals."""
    if heading_words(plan.title) not in {"#", "no", "nr", "num", "number"}:
        return False
    values = [placed.cell.text for placed in cells_of(table, plan.index)]
    others = any(field_of(c.heading)[0] in (Field.ID, Field.NAME) and c.index != plan.index for c in table.columns)
    return others and len(values) > 2 and values == [str(at + 1) for at in range(len(values))]


def _likeliest_id(table: Table, plans: Sequence[ColumnPlan]) -> ColumnPlan | None:
    """Column of short texts of which none repeats, the leftmost such."""
    for plan in plans:
        if plan.field is not Field.NOTES:
            continue
        texts = [placed.cell.text for placed in cells_of(table, plan.index)]
        if len(texts) * 10 >= len(table.rows) * 9 and len(set(texts)) == len(texts) and max(map(len, texts)) <= 24:
            return plan
    return None


def _measured(table: Table, plan: ColumnPlan) -> ColumnPlan:
    """Plan of a measurement with the unit and the day its heading names."""
    if plan.field not in MEASURES:
        if plan.field is Field.SHARE and not plan.detail:
            return replace(plan, detail=_line_name(plan.title))
        return plan
    unit = plan.unit or heading_unit(plan.title)
    unit = unit if unit in units_of(plan.field) else ""
    reason = plan.reason
    if unit and f"in {unit}" not in reason and heading_unit(plan.title):
        reason = f"{reason}; in {unit} by its heading"
    return replace(plan, unit=unit, date=plan.date or date_in(plan.title), reason=reason)


def _line_name(title: str) -> str:
    """Name of the line in the heading of a share, such as ``Marrowfen %``."""
    words = re.sub(r"%|\b(?:share|percent|line|blood|of)\b|[():]", " ", title, flags=re.IGNORECASE).split()
    return " ".join(words)


def _dated(plans: Sequence[ColumnPlan]) -> list[ColumnPlan]:
    """Plans in which each measurement knows the column that dates it: the nearest, one on its left first."""
    dates = [plan for plan in plans if plan.field is Field.MEASURED]
    out = []
    for plan in plans:
        if plan.field in MEASURES and plan.date is None and dates:
            same = [d for d in dates if ":" in d.title and d.title.split(":")[0] == plan.title.split(":")[0]]
            nearest = min(same or dates, key=lambda d: (abs(d.index - plan.index), d.index > plan.index))
            plan = replace(plan, dated_by=nearest.index)
        out.append(plan)
    return out


def _reason(field: Field, n_rows: int, cells: Sequence[Placed]) -> str:
    """Why a headed column is taken for its field: what its cells show."""
    texts = [placed.cell.text for placed in cells]
    n = len(texts)
    if field is Field.ID:
        return _repeats(texts)
    if field is Field.NAME:
        return "every row has one" if n >= n_rows else f"{n} rows have one"
    if field is Field.SEX:
        kinds = [kind for kind, _ in Counter(texts).most_common(3)]
        doubts = sum("?" in text and text.strip("? ") != "" for text in texts)
        return ", ".join(kinds) + (f"; {doubts} with a question mark" if doubts else "")
    if field in (Field.HATCHED, Field.MEASURED):
        return _date_reason(texts)
    if field is Field.GENES:
        return "read as the trade writes it"
    if field in (Field.SIRE, Field.DAM):
        return "matched by id" if all(placed.cell.exact for placed in cells) else "matched by id or name"
    if field is Field.PARENTS:
        return "sire first, dam second"
    if field is Field.PLACE:
        return "a tub, not an animal"
    if field in MEASURES:
        count = sum(_is_quantity(placed.cell) for placed in cells)
        return f"{count} of {n} are a number"
    return "by its heading"


def _date_reason(texts: Sequence[str]) -> str:
    for text in texts:
        found = figures(text)
        if found and max(found[1], found[2]) > 12:
            day = max(found[1], found[2])
            return f"{'day' if found[1] == day else 'month'} first: {day} cannot be a month"
    styles = len({re.sub(r"[A-Za-z]+", "a", re.sub(r"\d+", "9", text)) for text in texts})
    return "one way of writing" if styles == 1 else f"{styles} ways of writing"


def _repeats(texts: Sequence[str]) -> str:
    counts = Counter(texts)
    repeated = sum(1 for count in counts.values() if count > 1)
    if not repeated:
        return "none repeats"
    return f"{repeated} repeat{'s' if repeated == 1 else ''}"


def _tries(read: Callable[[], object]) -> bool:
    """Whether a reading goes through."""
    try:
        read()
    except Unclear:
        return False
    return True


def _is_sex(cell: Cell) -> bool:
    doubted = cellwords.doubted_sex(cell.text) is not Sex.UNKNOWN
    return doubted or _tries(lambda: cellwords.sex(cell.text))


def _is_origin(cell: Cell) -> bool:
    return _tries(lambda: cellwords.origin(cell.text))


def _is_pair(cell: Cell) -> bool:
    return cellwords.parents_of_pair(cell.text) is not None


def _any_date(cell: Cell) -> PartialDate | None:
    try:
        return date(cell, orders={"/": "mdy", ".": "dmy", "-": "dmy", " ": "dmy"}, year_from=1980)
    except Unclear:
        return PartialDate(2000) if figures(cell.text) or two_figure_year(cell.text) is not None else None


def _is_date(cell: Cell) -> bool:
    return _any_date(cell) is not None or bool(re.search(r"\b(?:19|20)\d{2}\b", cell.text))


def _is_full_date(cell: Cell) -> bool:
    found = _any_date(cell)
    # A bare number between 1950 and 2199 may be a mass as well as a year.
    return found is not None and not re.fullmatch(r"\d+(?:\.0)?", cell.text)


def _is_quantity(cell: Cell) -> bool:
    return _tries(lambda: quantity(cell, decimal=".")) or _tries(lambda: quantity(cell, decimal=","))


def _has_mass_unit(cell: Cell) -> bool:
    try:
        return quantity(cell, decimal=".").unit in ("g", "kg", "oz", "lb")
    except Unclear:
        return False


def headings_known(titles: Collection[str]) -> int:
    """Number of titles that name a field.

    Examples
    --------
    >>> headings_known(["id", "Dad", "Karoo"])
    2
    """
    return sum(1 for title in titles if heading_words(title) and field_of(title)[0] is not None)
