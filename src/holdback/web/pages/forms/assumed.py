"""A number of the species file in the keeper's own words."""

from __future__ import annotations

from typing import Any

from django import forms

from holdback.species.model import ChromosomePair, Value
from holdback.web.pages.forms.base import PlainForm, text_field


def _number(label: str, hint: str = "") -> forms.FloatField:
    widget = forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"})
    return forms.FloatField(label=label, help_text=hint, widget=widget)


class ValueForm(PlainForm):
    """A number with its range and ground."""

    value = _number("Value")
    low = _number("At least")
    high = _number("At most", "The range is carried into every answer that rests on the number.")
    note = text_field("On what ground", "Where you have it from.")

    def patch(self) -> dict[str, Any]:
        """Fields as the species file names them."""
        return dict(self.cleaned_data)


class ChromosomeForm(PlainForm):
    """Length of one pair of chromosomes."""

    morgan = _number("Map length, Morgan", "In proportion to the others: the total is that of the whole map.")
    dna_mb = _number("DNA, million base pairs")
    note = text_field("On what ground", "Where you have it from.")

    def patch(self) -> dict[str, Any]:
        """Fields as the species file names them."""
        return dict(self.cleaned_data)


def initial_value(value: Value) -> dict[str, Any]:
    """Fields of a number as they stand."""
    return {"value": value.value, "low": value.low, "high": value.high, "note": value.note}


def initial_chromosome(pair: ChromosomePair) -> dict[str, Any]:
    """Fields of a pair of chromosomes as they stand."""
    return {"morgan": pair.morgan, "dna_mb": pair.dna_mb, "note": pair.note}
