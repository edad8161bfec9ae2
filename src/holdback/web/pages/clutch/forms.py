"""What is typed of a clutch."""

from __future__ import annotations

import math
import re
from typing import Any

from django import forms

from holdback.collection.model import EggState
from holdback.web.pages.clutch.eggs import CHOICES, WORDS
from holdback.web.pages.forms.animal import offers_under
from holdback.web.pages.forms.base import PlainForm, choice_field, text_field

DAY_HINT = "2026-04-02; the month or the year alone where the day is not known."
STATES = [(state.value, {EggState.WEAK: "weak"}.get(state, WORDS[state])) for state in CHOICES]


def number_of(text: str) -> float | None:
    """A number as typed, with a point or a decimal comma; None for no text.

    Raises
    ------
    ValidationError
        If it is no number, or not above 0.
    """
    if not text.strip():
        return None
    try:
        value = float(text.strip().removesuffix("g").strip().replace(",", "."))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise forms.ValidationError(f"{text} is no number. Write 91 or 91.5.")
    if value <= 0:
        raise forms.ValidationError(f"{text} cannot be. Write grams above 0, or leave it out.")
    return value


class NumberField(forms.CharField):
    """A number of gram as typed."""

    def __init__(self, label: str, hint: str = "") -> None:
        widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        super().__init__(label=label, help_text=hint, required=False, widget=widget)

    def clean(self, value: Any) -> float | None:
        """The number; None for no text."""
        return number_of(super().clean(value))


class LookForm(PlainForm):
    """How one egg is found."""

    state = forms.ChoiceField(
        choices=STATES,
        widget=forms.RadioSelect,
        error_messages={"required": "Nothing is chosen. Choose how the egg is found."},
    )
    note = text_field("Note", "Of a lost egg: why, as far as it can be told.")
    date = text_field("Day, if not today", attrs={"inputmode": "numeric"})
    names = {"egg": "state"}


class LossForm(PlainForm):
    """An egg that is lost, and what was in it."""

    cause = text_field("Why it was lost", "Mould, dented, dried out: what you saw.")
    genes = text_field("What the young in it shows", "In shorthand; normal where it shows nothing.")
    defect = text_field("Defect")
    lost_on = text_field("Day, if not today", attrs={"inputmode": "numeric"})
    names = {"date": "lost_on"}


class LayingForm(PlainForm):
    """She laid."""

    dam = text_field("Who laid", "Her tag or name.", required=True, attrs=offers_under("dam"))
    laid = text_field("Day", DAY_HINT, required=True)
    eggs = forms.IntegerField(
        label="Eggs, slugs among them",
        min_value=1,
        max_value=60,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    slugs = text_field("Which are slugs", "Their numbers: 8, or 3 and 8. Write none, or leave it until you know.")
    masses = text_field(
        "Mass of each egg, g", "In the order they lie, spaces between: 91 88 94. A dash for one not weighed."
    )
    clutch_mass_g = NumberField("The whole clutch, g")
    dam_mass_g = NumberField("Her weight after laying, g")
    box = forms.ChoiceField(label="They lie in", required=False)
    sires = text_field(
        "Sire", "Left empty, her matings tell. Two in question: A7:0.8|B2:0.2.", attrs=offers_under("sires")
    )
    tag = text_field("Id of the clutch", "Left empty, the next of your pattern.")
    notes = text_field("Note")

    def __init__(self, *args: Any, boxes: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["box"] = choice_field("They lie in", [("", "no box noted"), *boxes])

    def clean_slugs(self) -> frozenset[str] | int | None:
        """Marks of the slugs; 0 for none, None where nobody said."""
        text = str(self.cleaned_data["slugs"]).strip().casefold()
        if not text:
            return None
        if text in {"none", "no", "0", "-"}:
            return 0
        return frozenset(re.findall(r"[^\s,;]+", text.replace(" and ", " ")))

    def clean_masses(self) -> tuple[float | None, ...]:
        """Mass of each egg in order; None where it was not weighed."""
        parts = re.split(r"[\s;]+", str(self.cleaned_data["masses"]).strip())
        words = [part.strip(",") if not re.search(r",\d", part) else part for part in parts if part]
        return tuple(None if word in {"-", "–", "?", "x"} else number_of(word) for word in words)


class ClutchForm(PlainForm):
    """What is said of a clutch itself."""

    tag = text_field("Id of the clutch", required=True)
    dam = text_field("Dam", "Her tag; empty if not known.", attrs=offers_under("dam"))
    sires = text_field("Sire", "His tag. Two in question: A7:0.8|B2:0.2.", attrs=offers_under("sires"))
    laid = text_field("Laid", DAY_HINT)
    hatched = text_field("Hatched", "Day of the first one out; empty while none is.")
    eggs = forms.IntegerField(label="Eggs, slugs among them", required=False, min_value=0, max_value=60)
    slugs = forms.IntegerField(label="Slugs among them", required=False, min_value=0, max_value=60)
    notes = text_field("Note")


class EggMassForm(PlainForm):
    """The mass of one egg."""

    mass_g = NumberField("Mass at laying, g")


class AsideForm(PlainForm):
    """Why a clutch stays out of counts."""

    reason = text_field("Why", "A cooled box, a new thermometer: what sets it apart.")


class WarmthForm(PlainForm):
    """One reading of a box."""

    place = forms.ChoiceField(label="Where")
    value = text_field("Warmth", required=True, attrs={"inputmode": "decimal"})
    unit = choice_field("Unit", [("C", "°C"), ("F", "°F")])
    date = text_field("Day, if not today", attrs={"inputmode": "numeric"})
    time = text_field("Time", "08:30; may be left out.")

    def __init__(self, *args: Any, places: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["place"] = choice_field("Where", places, required=True)


class LoggerForm(PlainForm):
    """The table of a logger."""

    logger_place = forms.ChoiceField(label="Where it lay")
    file = forms.FileField(label="Its file", required=False)
    text = forms.CharField(
        label="Or its lines",
        required=False,
        help_text="A day and time, and a warmth, on each line.",
        widget=forms.Textarea(attrs={"rows": 4, "spellcheck": "false"}),
    )
    logger_unit = choice_field("Unit", [("", "as the table says"), ("C", "°C"), ("F", "°F")])
    names = {"place": "logger_place", "unit": "logger_unit"}

    def __init__(self, *args: Any, places: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["logger_place"] = choice_field("Where it lay", places, required=True)

    def table(self) -> str:
        """The table as text, out of the file or the lines."""
        file = self.cleaned_data.get("file")
        if not file:
            return str(self.cleaned_data["text"])
        data = file.read()
        for encoding in ("utf-8-sig", "utf-16" if data[:2] in {b"\xff\xfe", b"\xfe\xff"} else "cp1252"):
            try:
                return str(data.decode(encoding))
            except UnicodeDecodeError:
                continue
        return str(data.decode("latin-1"))
