"""What can be corrected of an event, a reading and a mating."""

from __future__ import annotations

from typing import Any

from django import forms

from holdback.collection.event_kinds import KINDS, kind_of
from holdback.collection.model import Trait
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field
from holdback.web.pages.log.fields import AnimalField, amount, amount_typed, offer_animals
from holdback.web.pages.log.who import animal_meant
from holdback.web.records.models import Mating, Measurement, Observation
from holdback.web.records.rules import LENGTH_UNITS, MASS_UNITS
from holdback.web.records.weights import weight_typed

_DATE_HINT = "2026, 2026-07 or 2026-07-18."


class EventForm(PlainForm):
    """Day, number, note and last day of an event, as far as its kind has them."""

    date = text_field("Day", _DATE_HINT, required=True)
    value = text_field("Value", attrs={"inputmode": "decimal"})
    until = text_field("Until", f"{_DATE_HINT} Empty where it did not end.")
    note = text_field("Note")
    names = {"on": "date"}

    def __init__(self, *args: Any, record: Observation, **kwargs: Any) -> None:
        known = KINDS.get(kind_of(record.kind))
        self.unit = known.unit if known else record.unit
        value = "" if record.value is None else f"{record.value:g}"
        start = {"date": record.date, "value": value, "until": record.until, "note": record.note}
        super().__init__(*args, initial=start, **kwargs)
        if not self.unit and record.value is None:
            del self.fields["value"]
        elif self.unit:
            self.fields["value"].label = f"Value, {self.unit}"
        if known and not known.lasts and not record.until:
            del self.fields["until"]

    def clean_value(self) -> float | None:
        """The number in the unit of the kind; None where nothing was typed."""
        text = str(self.cleaned_data["value"])
        if not text:
            return None
        return amount(text, self.unit) if self.unit in {"g", "mm", "%"} else amount_typed(text, ())[0]

    def said(self) -> dict[str, Any]:
        """Fields as the service takes them."""
        said = dict(self.cleaned_data)
        if "value" in said:
            said["unit"] = "" if said["value"] is None else self.unit
        return said


class ReadingForm(PlainForm):
    """A weight or a length."""

    date = text_field("Day", _DATE_HINT, required=True)
    typed = text_field("Reading", required=True, attrs={"inputmode": "decimal"})
    unit = forms.ChoiceField(label="Unit")
    condition = choice_field("State", [])
    names = {"value": "typed"}

    def __init__(self, *args: Any, record: Measurement, **kwargs: Any) -> None:
        self.is_mass = record.trait == Trait.MASS.value
        start = {name: getattr(record, name) for name in ("date", "unit", "condition")}
        start["typed"] = record.typed or f"{record.value:g}"
        super().__init__(*args, initial=start, **kwargs)
        units = MASS_UNITS if self.is_mass else LENGTH_UNITS
        states = dict.fromkeys(["empty", "fed", "gravid", "in shed", "after laying", record.condition])
        for name, choices in (
            ("unit", [(unit, unit) for unit in units]),
            ("condition", [("", "not noted"), *((word, word) for word in states if word)]),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = choices
        if not self.is_mass:
            del self.fields["condition"]

    def said(self) -> dict[str, Any]:
        """Fields as the service takes them, the number read out of what was typed.

        Raises
        ------
        RecordError
            SEA-049 where it is no weight.
        ValidationError
            Where it is no length.
        """
        said = dict(self.cleaned_data)
        if self.is_mass:
            weight = weight_typed(said["typed"], unit=said["unit"])
            return said | {"value": weight.value, "unit": weight.unit}
        value, unit = amount_typed(said["typed"], LENGTH_UNITS)
        return said | {"value": value, "unit": unit or said["unit"]}


class MatingForm(PlainForm):
    """Who was with whom, and from when to when."""

    dam = AnimalField("Female", "Tag or name.", sex="female")
    sire = AnimalField("Male", "Tag or name.", sex="male")
    together = text_field("Together", _DATE_HINT)
    apart = text_field("Apart", "Empty where they are together still.")
    locks = forms.IntegerField(label="Locks seen", min_value=0, max_value=1000)
    notes = text_field("Note")
    names = {"on": "together"}

    def __init__(self, *args: Any, record: Mating, **kwargs: Any) -> None:
        start = {name: getattr(record, name) for name in ("together", "apart", "locks", "notes")}
        start |= {"dam": record.dam.tag, "sire": record.sire.tag}
        super().__init__(*args, initial=start, **kwargs)
        offer_animals(self)

    def said(self) -> dict[str, Any]:
        """Fields as the service takes them.

        Raises
        ------
        RecordError
            REC-016 where somebody named is not on record.
        """
        said = dict(self.cleaned_data)
        return said | {name: animal_meant(said[name], field=name) for name in ("dam", "sire")}
