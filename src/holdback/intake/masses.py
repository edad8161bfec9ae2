"""Masses that do not fit: gram in a column of ounces, a slip of ten, a jump no snake makes.

Nothing is changed here without the keeper's word; what looks wrong is asked with the likeliest mend.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from holdback.collection.model import Measurement, PartialDate, Trait
from holdback.intake.draft import Draft, Reading
from holdback.intake.headings import Field
from holdback.intake.inquiry import Asking, Inquiry
from holdback.intake.known import Known
from holdback.intake.numbers import GRAMS
from holdback.intake.preview import Choice, Listed
from holdback.intake.writing import HEAVIEST_G, LIGHTEST_G

NEAR_DAYS = 120
"""Two masses of one animal within this many days are compared: no snake grows tenfold in it."""

_BANDS = ((60, 20.0, 300.0), (365, 30.0, 2_200.0), (730, 80.0, 4_500.0), (10**6, 200.0, HEAVIEST_G))
"""Age in days below which a mass in gram lies between the two bounds: several times wider than the captive ranges in
common use, with the large lines in (common practice, no source). Outside them a mass is asked about, never changed."""

_WORDS = {"g": "grams", "oz": "ounces", "lb": "pounds", "kg": "kilograms"}


@dataclass(frozen=True, slots=True)
class _Doubt:
    """A reading that does not fit and the mend that would."""

    draft: Draft
    reading: Reading
    mend: str


def check_masses(drafts: Sequence[Draft], known: Known, inquiry: Inquiry) -> None:
    """Ask about masses that do not fit, and mend or drop them as answered.

    Parameters
    ----------
    drafts : sequence of Draft
        Rows with their readings; a reading is mended in place.
    known : Known
        Earlier measurements.
    inquiry : Inquiry
        Takes the questions, one for each column and mend.
    """
    doubts: dict[tuple[int, str], list[_Doubt]] = defaultdict(list)
    earlier = _earlier(drafts, known)
    for draft in drafts:
        if draft.row in inquiry.left_out:
            continue
        for reading in draft.readings:
            if reading.plan.field is Field.MASS and (mend := _mend(draft, reading, earlier, known)):
                doubts[reading.plan.index, mend].append(_Doubt(draft, reading, mend))
    for (index, mend), found in doubts.items():
        _ask(index, mend, found, inquiry)


def _earlier(drafts: Sequence[Draft], known: Known) -> dict[str, list[tuple[PartialDate, float]]]:
    """Dated masses in gram by animal, those of the sheet and those on record."""
    found: dict[str, list[tuple[PartialDate, float]]] = defaultdict(list)
    for draft in drafts:
        for reading in draft.readings:
            if reading.plan.field is Field.MASS and reading.date is not None:
                found[draft.id].append((reading.date, reading.value * GRAMS[reading.unit]))
        if draft.id in known.measurements and draft.readings:
            found[draft.id] += [
                (m.date, m.value * GRAMS[m.unit]) for m in known.measurements[draft.id] if m.trait is Trait.MASS
            ]
    return found


def _mend(draft: Draft, reading: Reading, earlier: dict[str, list[tuple[PartialDate, float]]], known: Known) -> str:
    """Unit or factor with which a mass would fit; ``?`` if none does, empty if it fits as it is."""
    low, high = _bounds(draft, reading, known)
    grams = reading.value * GRAMS[reading.unit]
    near = [
        other
        for day, other in earlier.get(draft.id, ())
        if reading.date is not None and day.day and reading.date.day and other != grams
        and abs((day.earliest - reading.date.earliest).days) <= NEAR_DAYS
    ]  # fmt: skip
    if low <= grams <= high and not any(_jump(grams, other) for other in near):
        return ""
    if low <= grams <= high:
        # Of two that do not agree the one further from the other readings is asked about, here the one off the median.
        middle = sorted([*near, grams])[len(near) // 2]
        if not _jump(grams, middle):
            return ""
    fits = [unit for unit in ("g", "oz", "lb", "kg") if _fits(reading.value * GRAMS[unit], low, high, near)]
    fits = [unit for unit in fits if unit != reading.unit and not reading.own_unit]
    if fits:
        return fits[0]
    for factor in ("/10", "x10"):
        if _fits(grams / 10 if factor == "/10" else grams * 10, low, high, near):
            return factor
    return "?"


def _bounds(draft: Draft, reading: Reading, known: Known) -> tuple[float, float]:
    """Believable mass in gram by age; the widest bounds where the age is not known."""
    recorded = known.animals.get(draft.id)
    hatched = draft.hatched or (recorded.hatched if recorded else None)
    if hatched is None or reading.date is None:
        return LIGHTEST_G, HEAVIEST_G
    youngest = (reading.date.earliest - hatched.latest).days
    oldest = (reading.date.latest - hatched.earliest).days
    low = next(low for days, low, _ in _BANDS if max(youngest, 0) < days)
    high = next(high for days, _, high in _BANDS if max(oldest, 0) < days)
    return low, high


def _jump(first: float, second: float) -> bool:
    """Whether two masses differ by a factor of about ten, or by an ounce or a pound taken for a gram."""
    ratio = max(first, second) / min(first, second)
    return any(abs(ratio / factor - 1) < 0.2 for factor in (10.0, GRAMS["oz"], GRAMS["lb"]))


def _fits(grams: float, low: float, high: float, near: Sequence[float]) -> bool:
    """Whether a mass lies in its bounds and near the others of its animal."""
    return low <= grams <= high and all(0.4 < grams / other < 2.5 for other in near)


def _ask(index: int, mend: str, doubts: Sequence[_Doubt], inquiry: Inquiry) -> None:
    """One question for all readings of a column with the same mend."""
    first = doubts[0].reading
    shown = ", ".join(doubt.reading.text for doubt in doubts[:6]) + (", …" if len(doubts) > 6 else "")
    unit = _WORDS[first.unit]
    what = f"{first.plan.title} {shown} in {unit}: too light or too heavy for the animal."
    mends = {"/10": "They fit with one figure less.", "x10": "They fit with one figure more."}
    why = mends.get(mend, f"They fit as {_WORDS[mend]}." if mend in _WORDS else "No usual slip explains it.")
    choices = [Choice("notes", "Keep the text in the notes"), Choice("keep", f"It is right: {unit}")]
    if mend in _WORDS:
        choices.insert(0, Choice("mend", f"Take as {_WORDS[mend]}"))
    elif mend != "?":
        values = ", ".join(f"{_mended(doubt.reading, mend)[0]:g}" for doubt in doubts[:4])
        choices.insert(0, Choice("mend", f"Take as {values}" + (", …" if len(doubts) > 4 else "")))
    asking = Asking(f"size {index}:{mend}", lambda rows: what, why, choices)
    for doubt in doubts:
        answer = inquiry.answer(asking, doubt.draft.row)
        reading = doubt.reading
        if answer == "mend":
            reading.value, reading.unit = _mended(reading, mend)
            doubt.draft.remarks.append(
                f"{reading.plan.title} “{reading.text}” taken as {reading.value:g} {reading.unit}."
            )
        elif answer == "notes":
            doubt.draft.readings.remove(reading)
            doubt.draft.notes.append(f"{reading.plan.title}: {reading.text}")


def _mended(reading: Reading, mend: str) -> tuple[float, str]:
    """Value and unit after a mend."""
    if mend == "/10":
        return reading.value / 10, reading.unit
    if mend == "x10":
        return reading.value * 10, reading.unit
    return reading.value, mend


def landed(draft: Draft, known: Known) -> tuple[Measurement, ...]:
    """Measurements of a draft that are new; those without a day are listed as held.

    Parameters
    ----------
    draft : Draft
        A row that lands.
    known : Known
        Measurements on record; the same one is not added twice.

    Returns
    -------
    tuple of Measurement
        In column order.
    """
    there = {(m.date, m.trait, m.value, m.unit) for m in known.measurements.get(draft.id, ())}
    found = []
    for reading in draft.readings:
        value, unit = (reading.value * 12, "in") if reading.unit == "ft" else (reading.value, reading.unit)
        if reading.date is None:
            reason = f"{reading.plan.title} waits for the day it was taken on"
            draft.held.append(Listed(draft.row, reason, reading.text, ("writing:weighed_on",)))
            continue
        key = (reading.date, Trait(reading.plan.field.value), value, unit)
        if key not in there:
            there.add(key)
            found.append(Measurement(draft.id, *key))
    return tuple(found)
