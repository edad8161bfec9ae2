"""Room for eggs and for young: places in use week by week beside those there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from holdback.answers.season.words import MONTHS, day_words
from holdback.season.outlook import Load, WeekLoad
from holdback.web.pages.charts import Axis, Band, Curve, Figure, axis_to
from holdback.web.pages.components import Column, Table
from holdback.web.pages.wording import number

_LEAST_WEEKS = 8


@dataclass(frozen=True, slots=True)
class Places:
    """Places of one kind: the message, the drawing, the numbers.

    Parameters
    ----------
    name : str
        What takes them.
    message : str
        What the figure says.
    figure : Figure
        The drawing.
    table : Table
        Numbers behind it.
    is_unsaid : bool
        Whether nobody said how many there are.
    """

    name: str
    message: str
    figure: Figure
    table: Table
    is_unsaid: bool


@dataclass(frozen=True, slots=True)
class _Kind:
    """Words of one kind of places."""

    name: str
    unit: str
    place: str
    holder: str
    verb: str


_EGGS = _Kind("eggs", "eggs", "egg place", "The incubator", "holds")
_YOUNG = _Kind("young", "tubs", "free tub", "The free tubs", "hold")


def room(load: Load) -> list[Places]:
    """Room for eggs, then for young; a kind that nothing takes is left out."""
    kinds = ((_EGGS, load.eggs, load.egg_places), (_YOUNG, load.young, load.tubs_free))
    return [_places(kind, weeks, there) for kind, weeks, there in kinds if any(week.upper for week in weeks)]


def message(kind: _Kind, weeks: Sequence[WeekLoad], there: int | None) -> str:
    """Whether there is room in the usual and in the bad case, in a sentence.

    Parameters
    ----------
    kind : _Kind
        Words.
    weeks : sequence of WeekLoad
        Not empty.
    there : int or None
        Places there are; None where nobody said.
    """
    peak = max(weeks, key=lambda week: (week.upper, week.expected))
    when = f"in the week of {day_words(peak.monday, today=weeks[0].monday)}"
    if there is None:
        return f"In nine seasons of ten no more than {peak.upper} {kind.name}, the most {when}."
    if peak.upper <= there:
        return f"{kind.holder} {kind.verb}, even in the bad case: {peak.upper} of {there} {when}."
    high = max(weeks, key=lambda week: week.expected)
    if high.expected > there:
        when = f"in the week of {day_words(high.monday, today=weeks[0].monday)}"
        return f"{kind.holder} will not do: about {number(high.expected)} of {there} {when}."
    fail = "does not hold" if kind.verb == "holds" else "do not hold"
    return f"{kind.holder} {fail} in the bad case: {peak.upper} of {there} {when}."


def _places(kind: _Kind, weeks: Sequence[WeekLoad], there: int | None) -> Places:
    shown = _until_quiet(weeks)
    said = message(kind, shown, there)
    return Places(kind.name, said, _figure(kind, shown, there, said), _table(shown), there is None)


def _until_quiet(weeks: Sequence[WeekLoad]) -> Sequence[WeekLoad]:
    """Weeks up to the last one in which something takes a place."""
    last = max((index for index, week in enumerate(weeks) if week.upper), default=0)
    return weeks[: max(last + 2, _LEAST_WEEKS)]


def _figure(kind: _Kind, weeks: Sequence[WeekLoad], there: int | None, said: str) -> Figure:
    most = max([week.upper for week in weeks] + ([there] if there else []))
    end = len(weeks) - 1
    curves = [Curve([(float(index), week.expected) for index, week in enumerate(weeks)], "me")]
    if there is not None:
        curves.append(Curve([(0.0, float(there)), (float(end), float(there))], "other", f"{there} {kind.place}s"))
    shade = Band(
        [(float(index), float(week.upper)) for index, week in enumerate(weeks)],
        [(0.0, 0.0), (float(end), 0.0)],
        is_fan=True,
    )
    months = [
        (float(index), MONTHS[week.monday.month - 1][:3]) for index, week in enumerate(weeks) if week.monday.day <= 7
    ]
    return Figure(
        Axis(float(end), months),
        axis_to(float(max(most, 4)), kind.unit),
        f"Places for {kind.name} in use by week. {said}",
        height=170,
        bands=[shade],
        curves=curves,
    )


def _table(weeks: Sequence[WeekLoad]) -> Table:
    heads = [
        Column("Week of"),
        Column("Expected", is_number=True),
        Column("Nine in ten stay at or below", is_number=True),
    ]
    today = weeks[0].monday
    rows = [[day_words(week.monday, today=today), number(week.expected), str(week.upper)] for week in weeks]
    return Table(heads, rows, is_cards=False)
