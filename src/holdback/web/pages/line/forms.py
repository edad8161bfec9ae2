"""What is asked of the plans for a line."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from holdback.answers.decisions.contributing import INBREEDING, MOST_CLUTCHES, RATE, SHARE, LineWish
from holdback.web.pages.forms.base import PlainForm, text_field

CROSSES = 4
"""Crosses back that are looked at, where nobody says."""
MOST_CROSSES = 8


def _percent(label: str, hint: str, *, initial: float) -> forms.FloatField:
    return forms.FloatField(
        label=label,
        help_text=hint,
        min_value=0,
        max_value=100,
        required=False,
        initial=initial,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
    )


def _count(label: str, hint: str, *, high: int, initial: int | None) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        help_text=hint,
        min_value=1,
        max_value=high,
        required=False,
        initial=initial,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )


class BreedingForm(PlainForm):
    """Whom a line counts, how many clutches, how much inbreeding."""

    clutches = _count("Clutches", "May stay empty: half of the females.", high=MOST_CLUTCHES, initial=None)
    rate = _percent(
        "Kinship may rise by, percent",
        "For this generation, above the least that can be had. 1 is common practice, no source.",
        initial=100 * RATE,
    )
    share = _percent("Count animals from, percent of the line", "", initial=100 * SHARE)
    inbreeding = _percent("Young inbred at most, percent", "Of any pair.", initial=100 * INBREEDING)

    @classmethod
    def of(cls, given: QueryDict) -> BreedingForm:
        """The form as an address fills it; as usual where it says nothing."""
        return cls({name: given.get(name, field.initial) for name, field in cls.base_fields.items()})

    @classmethod
    def is_asked(cls, given: QueryDict) -> bool:
        """Whether an address asks anything of it."""
        return any(name in given for name in cls.base_fields)

    def wish(self) -> LineWish:
        """What a form without faults asks."""
        said = self.cleaned_data
        return LineWish(
            share=_part(said["share"], SHARE),
            rate=_part(said["rate"], RATE),
            clutches=said["clutches"],
            inbreeding_at_most=_part(said["inbreeding"], INBREEDING),
        )


class CarryForm(PlainForm):
    """What is to be carried into a line."""

    gene = text_field("Gene", "As in “Clown” or “Pastel Enchi”.", required=True, attrs={"placeholder": "gene"})
    crosses = _count("Crosses back looked at", "", high=MOST_CROSSES, initial=CROSSES)
    inbreeding = _percent("Young inbred at most, percent", "", initial=100 * INBREEDING)
    names = {"gene": "gene", "want": "gene"}

    @classmethod
    def of(cls, given: QueryDict) -> CarryForm:
        """The form as an address fills it, bound only where a gene is named."""
        values: dict[str, Any] = {name: given.get(name, field.initial) for name, field in cls.base_fields.items()}
        return cls(values) if "gene" in given else cls()

    @property
    def crosses_asked(self) -> int:
        """Crosses back to look at."""
        return self.cleaned_data["crosses"] or CROSSES

    @property
    def inbreeding_asked(self) -> float:
        """Largest inbreeding coefficient."""
        return _part(self.cleaned_data["inbreeding"], INBREEDING)


def _part(percent: float | None, usual: float) -> float:
    return usual if percent is None else percent / 100
