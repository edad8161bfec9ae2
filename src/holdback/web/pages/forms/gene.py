"""What a keeper says of a gene."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from holdback.species.catalogue import Catalogue
from holdback.species.model import Allele, Inheritance, Mark
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field

CLASSES = {
    Inheritance.RECESSIVE.value: "recessive: shows only with two copies",
    Inheritance.INCOMPLETE_DOMINANT.value: "incomplete dominant: one copy shows, two look different",
    Inheritance.DOMINANT.value: "dominant: one copy shows, two look the same",
}


def _text(label: str, hint: str = "") -> forms.CharField:
    return forms.CharField(label=label, help_text=hint, required=False, widget=forms.Textarea(attrs={"rows": 2}))


class GeneForm(PlainForm):
    """A gene, in the fields of the species file."""

    name = text_field("Name", required=True)
    inheritance = choice_field("Class", list(CLASSES.items()), required=True)
    locus = choice_field("Shares its place with", [])
    one_copy = _text("Look with one copy")
    two_copies = _text("Look with two copies")
    two_copies_name = text_field("Name of the two-copy form", "Only where it has one of its own, such as Ivory.")
    aliases = text_field("Other names", "Separated by commas; read as this gene wherever they are typed.")
    frequency = forms.FloatField(
        label="How common, percent of gene copies",
        required=False,
        min_value=0,
        max_value=50,
        help_text="In captive animals of which nothing is known; 0.2 is 1 copy in 500. Assumed: no survey was found.",
    )
    tags = text_field("What it does to the look", "Separated by commas: brightens, stripes, fades the head.")
    mark = choice_field("Standing", [(mark.value, mark.value) for mark in Mark], required=True)
    source = text_field("Source", "The paper, or whose clutches.")
    note = _text("Your notes")

    def __init__(self, *args: Any, catalogue: Catalogue, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["locus"]
        assert isinstance(field, forms.ChoiceField), "declared above"
        field.choices = [
            ("", "a place of its own"),
            *((locus.key, _place(locus.name, locus.alleles, catalogue)) for locus in catalogue.loci.values()),
        ]

    def patch(self, before: Mapping[str, Any]) -> dict[str, Any]:
        """Fields that differ from what the form began with, as the species file has them; an emptied number is None."""
        said, start = _as_kept(self.cleaned_data), _as_kept(before)
        return {name: value for name, value in said.items() if value != start.get(name, type(value)())}


def _as_kept(said: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of the form as the species file has them: lists of words, shares in place of percent."""
    percent = said.get("frequency")
    return {
        **said,
        "aliases": _words(said.get("aliases", "")),
        "tags": _words(said.get("tags", "")),
        "frequency": None if percent is None else round(float(percent) / 100, 9),
    }


def _words(text: str) -> list[str]:
    return [word.strip() for word in str(text).split(",") if word.strip()]


def _place(name: str, alleles: tuple[str, ...], catalogue: Catalogue) -> str:
    names = [catalogue.alleles[allele].name for allele in alleles[:3]]
    return name if name in names else f"{name}: {', '.join(names)}"


def initial_of(allele: Allele) -> dict[str, str]:
    """The gene as the form shows it."""
    return {
        "name": allele.name,
        "inheritance": allele.inheritance.value,
        "locus": allele.locus,
        "one_copy": allele.one_copy,
        "two_copies": allele.two_copies,
        "two_copies_name": allele.two_copies_name,
        "aliases": ", ".join(allele.aliases),
        "frequency": f"{100 * allele.frequency:g}",
        "tags": ", ".join(allele.tags),
        "mark": allele.mark.value,
        "source": allele.source,
        "note": allele.note,
    }
