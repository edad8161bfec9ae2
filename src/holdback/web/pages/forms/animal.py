"""What is typed of an animal, its readings and its genes."""

from __future__ import annotations

from typing import Any

from django import forms
from django.urls import reverse_lazy
from django.utils.text import format_lazy

from holdback.collection.model import Origin, Sex
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field

_SEX = [(sex.value, sex.value) for sex in (Sex.FEMALE, Sex.MALE, Sex.UNKNOWN)]
_ORIGIN = [
    (origin.value, origin.value) for origin in (Origin.UNKNOWN, *(one for one in Origin if one != Origin.UNKNOWN))
]
_READING = {"hx-get": reverse_lazy("pages:reading"), "hx-trigger": "input changed delay:250ms", "hx-target": "#reading"}
_DATE_HINT = "2026, 2026-07 or 2026-07-18."


def offers_under(field: str) -> dict[str, object]:
    """Attributes that offer animals under a field while one types."""
    return {
        "hx-get": format_lazy("{}?side={}", reverse_lazy("pages:parent-choices"), field),
        "hx-trigger": "input changed delay:250ms",
        "hx-target": f"#{field}-offers",
    }


class ChangeForm(PlainForm):
    """What can be said of an animal itself; its id and sex have pages that show what would follow."""

    name = text_field("Name")
    genes = text_field("Genes", "As you would write it on the tub: Pastel het Clown, 66% het Pied.", attrs=_READING)
    hatched = text_field("Hatched", _DATE_HINT)
    origin = choice_field("Origin", _ORIGIN)
    status = text_field("Status", "Your own word: breeder, holdback, for sale, sold, died.")
    notes = forms.CharField(label="Notes", required=False, widget=forms.Textarea(attrs={"rows": 3}))

    def record(self) -> dict[str, Any]:
        """Fields as the service takes them."""
        said = dict(self.cleaned_data)
        said["origin"] = said["origin"] or Origin.UNKNOWN.value
        return said


class AnimalForm(ChangeForm):
    """A new animal with its parents."""

    tag = text_field("Tag", "Your own id: short, on the tub, never used twice among the living.", required=True)
    sex = choice_field("Sex", _SEX, initial=Sex.UNKNOWN.value)
    dam = text_field("Dam", "Her tag; leave empty if not known.")
    sires = text_field("Sire", "His tag. Two in question: A7:0.8|B2:0.2. No sire at all: none.")
    field_order = ("tag", "name", "genes", "sex")

    def record(self) -> dict[str, Any]:
        """Fields as the service takes them."""
        said = super().record()
        said["sex"] = said["sex"] or Sex.UNKNOWN.value
        said["dam"] = said["dam"] or None
        return said


class LookForm(PlainForm):
    """A gene seen on the animal."""

    allele = text_field("Gene", required=True, attrs={"list": "genes"})
    copies = choice_field(
        "What is seen", [("1", "it shows, one copy"), ("2", "it shows, two copies"), ("0", "looked for, not there")]
    )
    sure = choice_field(
        "How sure", [("1", "plain to see"), ("0.9", "9 in 10"), ("0.7", "7 in 10"), ("0.5", "even")], required=True
    )
    date = text_field("Day", _DATE_HINT)
    seen_by = text_field("Seen by")
    note = text_field("Note")

    def record(self) -> dict[str, Any]:
        """Fields as the service takes them."""
        said = dict(self.cleaned_data)
        return said | {"copies": int(said["copies"] or 1), "sure": float(said["sure"])}


class ClaimForm(PlainForm):
    """What somebody says the animal carries."""

    allele = text_field("Gene", required=True, attrs={"list": "genes"})
    copies = choice_field("Copies", [("1", "one copy"), ("2", "two copies")])
    percent = forms.FloatField(
        label="Chance, percent",
        initial=100,
        min_value=0,
        max_value=100,
        help_text="100 for proven or visual parents, 66 or 50 for possible.",
    )
    said_by = text_field("Said by", "Seller, breeder, or yourself.")
    ground = text_field("On what ground", "Parents seen, a test, an advertisement.")
    date = text_field("Day", _DATE_HINT)

    def record(self) -> dict[str, Any]:
        """Fields as the service takes them."""
        said = dict(self.cleaned_data)
        chance = said.pop("percent") / 100
        two = said.pop("copies") == "2"
        return said | {"copies": (1 - chance, 0.0, chance) if two else (1 - chance, chance, 0.0)}
