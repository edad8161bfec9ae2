"""It hatched: one form for all eggs that are out or lost."""

from __future__ import annotations

import re
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.datastructures import MultiValueDict
from django.views.decorators.http import require_http_methods

from holdback.bridge import catalogue_of_records
from holdback.collection.model import EggState, Sex
from holdback.errors import Fault, RecordError
from holdback.web.pages.clutch.deed import address, clutch_or_404, done
from holdback.web.pages.clutch.eggs import EggShown, eggs_shown
from holdback.web.pages.clutch.forms import NumberField
from holdback.web.pages.clutch.page import Said
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field
from holdback.web.pages.keeper import writer
from holdback.web.pages.readings import ReadBack, read_back
from holdback.web.pages.wording import counted
from holdback.web.records import services
from holdback.web.records.clock import today
from holdback.web.records.clutch_rules import eggs_by_mark
from holdback.web.records.models import Clutch
from holdback.web.records.overlay import SPECIES
from holdback.web.records.services import Young, offered_ids

WAITS, OUT, LOST = "waits", "out", "lost"
_EGG_NAMED = re.compile(r"\begg ([^\s,.:;]+)")


class RowForm(PlainForm):
    """What became of one egg."""

    fate = choice_field("It is", [(WAITS, "still in"), (OUT, "out"), (LOST, "lost")])
    tag = text_field("Id")
    sex = choice_field("Sex", [(Sex.UNKNOWN.value, "not told"), (Sex.FEMALE.value, "female"), (Sex.MALE.value, "male")])
    method = choice_field("How told", [("", "not looked"), ("popped", "popped"), ("probed", "probed")])
    mass_g = NumberField("Mass, g")
    genes = text_field("Looks")
    defect = text_field("Defect")
    cause = text_field("If lost, why")
    day = text_field("Day, if another", attrs={"inputmode": "numeric"})
    names = {"egg": "fate", "mark": "fate", "out": "day", "date": "day"}


@dataclass
class Row:
    """One egg with its form.

    Parameters
    ----------
    egg : EggShown
        The egg.
    form : RowForm
        What is typed of it.
    back : ReadBack or None
        What is read of its looks.
    """

    egg: EggShown
    form: RowForm
    back: ReadBack | None = None

    def young(self, day: str) -> Young:
        """The young that came out."""
        typed = self.form.cleaned_data
        return Young(
            self.egg.mark,
            tag=typed["tag"],
            out=typed["day"] or day,
            sex=typed["sex"] or Sex.UNKNOWN.value,
            method=typed["method"],
            mass_g=typed["mass_g"],
            genes=typed["genes"],
            defect=typed["defect"],
        )


@dataclass
class Sheet:
    """All rows of a clutch.

    Parameters
    ----------
    rows : list of Row
        Eggs that are neither out nor written off.
    day : str
        Day of all that have none of their own.
    faults : tuple of Fault
        What belongs to no row.
    """

    rows: list[Row]
    day: str
    faults: tuple[Fault, ...] = field(default=())

    def of_fate(self, fate: str) -> list[Row]:
        """Rows of eggs with one fate."""
        return [row for row in self.rows if row.form.cleaned_data.get("fate") == fate]


@require_http_methods(["GET", "POST"])
def hatch(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Write down which eggs are out, with their young, and which are lost."""
    one = clutch_or_404(key)
    sheet = _sheet(one, request)
    faulty = [row for row in sheet.rows if not row.form.is_valid()]  # each form checks, so that each shows its faults
    if request.method == "POST" and not faulty:
        batch = uuid.uuid4()
        try:
            _write(one, sheet, batch, sure="sure" in request.POST)
        except RecordError as error:
            sheet.faults = _at_rows(sheet, error)
        else:
            done(request, _told(sheet), batch)
            return redirect(address(one))
    said = Said("hatch", faults=sheet.faults)
    context = {"room": "Season", "clutch": one, "sheet": sheet, "said": said, "day": today()}
    return render(request, "pages/clutch_hatched.html", context, status=422 if request.method == "POST" else 200)


def _sheet(clutch: Clutch, request: HttpRequest) -> Sheet:
    """Rows as they are offered, or as they were typed."""
    eggs = [one for one in eggs_shown(clutch) if one.egg.animal is None and one.state is not EggState.LOST]
    eggs = [one for one in eggs if one.state is not EggState.SLUG]
    chosen, data = request.GET.get("egg", ""), None
    if request.method == "POST":
        data = request.POST.copy()
        if "all" in request.POST:
            for one in eggs:
                data[f"{one.mark}-fate"] = OUT
    ids = offered_ids(clutch, [one.mark for one in eggs])
    rows = [Row(one, _row_form(one, tag, data, chosen)) for one, tag in zip(eggs, ids, strict=True)]
    catalogue = catalogue_of_records(clutch.dam.species if clutch.dam else SPECIES)
    for row in rows:
        if typed := row.form["genes"].value():
            row.back = read_back(typed, catalogue)
    return Sheet(rows, request.POST.get("day", "").strip() or today().isoformat())


def _row_form(one: EggShown, tag: str, data: MultiValueDict[str, Any] | None, chosen: str) -> RowForm:
    is_out = one.mark == chosen or (not chosen and one.state in {EggState.OUT, EggState.PIPPED})
    start = {"fate": OUT if is_out else WAITS, "tag": tag, "sex": Sex.UNKNOWN.value}
    return RowForm(data, initial=start, prefix=one.mark, auto_id="row-%s")


def _write(clutch: Clutch, sheet: Sheet, batch: uuid.UUID, *, sure: bool) -> None:
    """Write everything or nothing.

    Raises
    ------
    RecordError
        All that is wrong with those out and with those lost, together.
    """
    out, lost = sheet.of_fate(OUT), sheet.of_fate(LOST)
    found: list[Fault] = []
    with transaction.atomic():
        if out or not lost:
            found += _faults_of(
                lambda: services.hatch_eggs(
                    clutch, [row.young(sheet.day) for row in out], date=sheet.day, who=writer(), batch=batch, sure=sure
                )
            )
        for row in lost:
            found += _faults_of(lambda row=row: _lose(clutch, row, sheet.day, batch, sure=sure))
        if found:
            raise RecordError(found)


def _faults_of(write: Any) -> Sequence[Fault]:
    try:
        write()
    except RecordError as error:
        return error.faults
    return ()


def _lose(clutch: Clutch, row: Row, day: str, batch: uuid.UUID, *, sure: bool) -> None:
    """Write off one egg."""
    typed, mark = row.form.cleaned_data, row.egg.mark
    when = typed["day"] or day
    egg = eggs_by_mark(clutch).get(mark)
    if egg is None:
        looks: Mapping[str, tuple[EggState, str]] = {mark: (EggState.LOST, typed["cause"])}
        services.look_at_eggs(clutch, looks, date=when, who=writer(), batch=batch, sure=sure)
        egg = eggs_by_mark(clutch)[mark]
    inside = {"genes": typed["genes"], "defect": typed["defect"]}
    services.lose_egg(egg, date=when, cause=typed["cause"], who=writer(), batch=batch, sure=sure, **inside)


def _at_rows(sheet: Sheet, error: RecordError) -> tuple[Fault, ...]:
    """Put each fault at the row it is about; questions, and what belongs to none, are returned."""
    if Said("hatch", faults=error.faults).asks:
        return error.faults
    left: list[Fault] = []
    for fault in error.faults:
        row = _row_of(sheet, fault)
        left += row.form.take(RecordError(fault)) if row else (fault,)
    return tuple(left)


def _row_of(sheet: Sheet, fault: Fault) -> Row | None:
    named = _EGG_NAMED.search(fault.what)
    for row in sheet.rows:
        typed = row.form.cleaned_data
        if fault.animal and typed.get("tag") == fault.animal:
            return row
        if row.egg.mark == (named[1] if named else fault.value if fault.field in {"egg", "mark"} else ""):
            return row
    return None


def _told(sheet: Sheet) -> str:
    out, lost = len(sheet.of_fate(OUT)), len(sheet.of_fate(LOST))
    parts = [
        *([f"{counted(out, 'young', 'young')} on record"] if out else []),
        *([f"{counted(lost, 'egg')} lost"] if lost else []),
    ]
    return ", ".join(parts).capitalize() + "."
