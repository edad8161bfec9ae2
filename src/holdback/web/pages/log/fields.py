"""Fields of the short forms: a day, a number as typed, a choice in one tap."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from typing import Any

from django import forms
from django.urls import reverse

from holdback.web.pages.forms.base import PlainForm
from holdback.web.records.clock import today
from holdback.web.records.models import Animal


class DayField(forms.DateField):
    """A day, as the browser's calendar gives it."""

    def __init__(self, label: str = "Day", **kwargs: Any) -> None:
        super().__init__(
            label=label,
            input_formats=["%Y-%m-%d"],
            widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
            error_messages={"invalid": "That is no day. Write it as 2026-05-14."},
            **kwargs,
        )


class AmountField(forms.CharField):
    """A number with or without its unit, given in one unit.

    Parameters
    ----------
    label : str
        What it is.
    unit : str
        g, mm or %: what the number is given in, and what it counts in where no unit is typed.
    """

    def __init__(self, label: str, unit: str, **kwargs: Any) -> None:
        self.unit = unit
        attrs = {"inputmode": "decimal", "autocomplete": "off", "spellcheck": "false"}
        super().__init__(label=f"{label}, {unit}", widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> float | None:
        """The number; None where nothing was typed."""
        text = str(super().clean(value))
        return amount(text, self.unit) if text else None


def amount(text: str, unit: str) -> float:
    """A typed number in g, mm or %.

    Raises
    ------
    ValidationError
        If it is no number, or one in a unit of something else.
    """
    from holdback.intake.numbers import GRAMS, MILLIMETRES

    factors: dict[str, float] = {"g": GRAMS, "mm": MILLIMETRES}.get(unit, {})
    plain = text.removesuffix("%").strip() if unit == "%" else text
    value, own = amount_typed(plain, tuple(factors), asked=unit)
    return value * factors[own] / factors[unit] if own else value


def amount_typed(text: str, units: Collection[str], *, asked: str = "") -> tuple[float, str]:
    """A typed number with its unit, empty where none was typed; a decimal comma is read where it can be one.

    Raises
    ------
    ValidationError
        If it is no number, or its unit is not one of `units`; `asked` names the one to use.
    """
    from holdback.intake.numbers import Unclear, quantity
    from holdback.intake.sheets import Cell

    for decimal in (".", ","):
        try:
            found = quantity(Cell(text.strip()), decimal=decimal)
        except Unclear:
            continue
        if found.unit and found.unit not in units:
            raise forms.ValidationError(f"{found.unit} does not fit here. Give it in {asked or ', '.join(units)}.")
        return found.value, found.unit
    raise forms.ValidationError(f"{text} is no number. Write it as in 38.2.")


def tap_field(label: str, words: list[tuple[str, str]], *, initial: str) -> forms.ChoiceField:
    """One of a few answers, each a tap."""
    return forms.ChoiceField(label=label, choices=words, initial=initial, required=True, widget=forms.RadioSelect)


class AnimalField(forms.CharField):
    """Another animal, by its tag or name; those of a sex, or of none known, are offered while one types."""

    is_offered = True
    """Told to the template: a list of offers stands under the field."""

    def __init__(self, label: str, hint: str = "", *, sex: str = "", required: bool = True) -> None:
        self.sex = sex
        attrs = {"autocomplete": "off", "spellcheck": "false"}
        super().__init__(label=label, help_text=hint, required=required, widget=forms.TextInput(attrs=attrs))


def offer_animals(form: forms.Form) -> None:
    """Offer animals under the fields of a form that name one, while one types."""
    for name, field in form.fields.items():
        if isinstance(field, AnimalField):
            field.widget.attrs |= {
                "hx-get": f"{reverse('pages:log-choices')}?field={name}&sex={field.sex}",
                "hx-trigger": "input changed delay:250ms",
                "hx-target": f"#{name}-offers",
            }


class LogForm(PlainForm):
    """A deed of one day, today to begin with."""

    on = DayField()
    names = {"date": "on"}

    def __init__(self, *args: Any, animal: Animal, **kwargs: Any) -> None:
        kwargs["initial"] = {"on": today(), **kwargs.get("initial", {})}
        super().__init__(*args, **kwargs)
        self.animal = animal
        offer_animals(self)
        self.order_fields([*(name for name in self.fields if name not in {"on", "note"}), "on", "note"])

    @property
    def day(self) -> dt.date:
        """The day, once the form is valid."""
        found: dt.date = self.cleaned_data["on"]
        return found
