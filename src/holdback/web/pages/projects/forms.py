"""What is typed of a project."""

from __future__ import annotations

import re
from typing import Any

from django import forms

from holdback.collection.projects import SizeAim
from holdback.errors import Fault, RecordError
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field
from holdback.web.records.models import Animal, Project
from holdback.web.records.project_rules import kept_for
from holdback.web.records.queries import animal_by_tag

_COMMAS = re.compile(r"[,;|\n]+")
_AS_TYPED = ("name", "want", "none_of", "line", "size_aim", "size_low_g", "size_high_g", "by", "eggs", "tubs", "money")
_COUNTED = ("some_least", "number", "least_pairings")
_PERCENT = ("share_at_least", "inbreeding_at_most")


class RangeInput(forms.NumberInput):
    """A slider."""

    input_type = "range"


def _whole(label: str, hint: str = "", *, low: int = 0, high: int = 10_000) -> forms.IntegerField:
    widget = forms.NumberInput(attrs={"inputmode": "numeric"})
    return forms.IntegerField(
        label=label, help_text=hint, required=False, min_value=low, max_value=high, widget=widget
    )  # fmt: skip


def _amount(label: str, hint: str = "", *, high: float | None = None) -> forms.FloatField:
    widget = forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"})
    return forms.FloatField(label=label, help_text=hint, required=False, min_value=0, max_value=high, widget=widget)


def _slider(label: str, *, high: int, step: int) -> forms.FloatField:
    widget = RangeInput(attrs={"step": step})
    return forms.FloatField(label=label, required=False, min_value=0, max_value=high, widget=widget)


class ProjectForm(PlainForm):
    """A goal: what, by when, within which limits, and what it is worth."""

    name = text_field("What it is called", required=True)
    want = text_field("What an animal must show or carry", "All of it, as in: female Clown Enchi. Or: het Pied.")
    some_of = text_field("And some of", "With commas between: Enchi, Banana, Yellow Belly. Empty for none.")
    some_least = _whole("How many of them at least", high=20)
    none_of = text_field("And none of", "Genes that it must not carry.")
    line = text_field("Line", "Of which a share is wanted; empty for none.", attrs={"list": "lines"})
    share_at_least = _amount("Share of it at least, percent", high=100)
    size_aim = choice_field("Adult size", [(one.value, one.value.capitalize()) for one in SizeAim], required=True)
    size_low_g = _amount("From, gram", "Of a band only.")
    size_high_g = _amount("To, gram", "Empty leaves it open.")
    number = _whole("Animals wanted", low=1)
    by = _whole("Hatched by the end of", "The year. Empty where it does not matter.", low=1900, high=2199)
    inbreeding_at_most = _amount(
        "Inbreeding at most, percent", "12.5 is that of the young of half sibs; 100 is no limit.", high=100
    )
    tubs = _whole("Tubs at one time", "For young that are held back. Empty is no limit.")
    eggs = _whole("Eggs in all", "Empty is no limit.")
    money = _amount("Money in all", "In your own currency. Empty is no limit.")
    worth_eggs = _slider("What reaching it is worth", high=400, step=5)
    year_worth_eggs = _slider("What a year sooner is worth", high=60, step=1)
    animals = text_field("Animals for it only", "Ids with commas between; no other project may use them.")
    least_pairings = _whole("Pairings in a season at least", "0 leaves it to the plan.", high=200)
    notes = forms.CharField(label="Notes", required=False, widget=forms.Textarea(attrs={"rows": 3}))

    def fields_of_goal(self) -> dict[str, Any]:
        """Fields as the services take them.

        Raises
        ------
        RecordError
            REC-016 for each animal that is not on record.
        """
        said = self.cleaned_data
        fields: dict[str, Any] = {name: said[name] for name in (*_AS_TYPED, "notes")}
        fields |= {name: said[name] for name in _COUNTED if said[name] is not None}
        fields |= {name: said[name] for name in ("worth_eggs", "year_worth_eggs") if said[name] is not None}
        fields |= {name: round(said[name] / 100, 8) for name in _PERCENT if said[name] is not None}
        if said["share_at_least"] is None:
            fields["share_at_least"] = 0.0
        fields["some_of"] = [one.strip() for one in _COMMAS.split(said["some_of"]) if one.strip()]
        fields["animals"] = _animals(said["animals"])
        return fields


def _animals(text: str) -> list[Animal]:
    """Animals named by their ids."""
    found: list[Animal] = []
    faults: list[Fault] = []
    for tag in (one.strip() for one in _COMMAS.split(text)):
        animal = animal_by_tag(tag) if tag else None
        if animal is not None:
            found.append(animal)
        elif tag:
            what, hint = f"no animal has the id {tag!r}.", "Write the ids with commas between."
            faults.append(Fault("REC-016", what, hint, field="animals", value=tag))
    if faults:
        raise RecordError(faults)
    return found


def as_typed(project: Project) -> dict[str, Any]:
    """Project as the form holds it."""
    held: dict[str, Any] = {name: getattr(project, name) for name in (*_AS_TYPED, *_COUNTED, "notes")}
    held |= {name: getattr(project, name) for name in ("worth_eggs", "year_worth_eggs")}
    held |= {name: f"{100 * getattr(project, name):.8g}" for name in _PERCENT}
    held["some_of"] = ", ".join(project.some_of)
    held["animals"] = ", ".join(kept_for(project)) if not project._state.adding else ""
    return held
