"""The short forms of the log, one for each kind of deed."""

from __future__ import annotations

from typing import Any

from django import forms

from holdback.collection.model import Sex, Trait
from holdback.web.pages.forms.base import choice_field, text_field
from holdback.web.pages.log.fields import AmountField, AnimalField, DayField, LogForm, amount_typed, tap_field
from holdback.web.records.models import Mating
from holdback.web.records.queries import whole_places
from holdback.web.records.room import order_key
from holdback.web.records.rules import LENGTH_UNITS, MASS_UNITS

TAKEN, REFUSED, CAME_UP, OFFERED = "taken", "refused", "up", "offered"
CONDITIONS = (
    ("", "not said"),
    *((word, word) for word in ("empty", "fed", "gravid", "in shed", "after laying")),
)


def _note(label: str = "Note", hint: str = "", *, required: bool = False) -> forms.CharField:
    return text_field(label, hint, required=required)


class NoteForm(LogForm):
    """A day and a note."""

    note = _note()


class TellForm(LogForm):
    """A day and what has to be told."""

    note = _note("What", required=True)


class LastingForm(LogForm):
    """What lasts."""

    until = DayField("Until", required=False, help_text="May be left out: until you say that it ended.")
    note = _note()


class TreatmentForm(LogForm):
    """A treatment."""

    note = _note("What was given", "What, how much, how often, and who ordered it.", required=True)
    until = DayField("Last day", required=False, help_text="May be left out.")


class MealForm(LogForm):
    """A meal."""

    taken = tap_field(
        "The meal was",
        [(TAKEN, "taken"), (REFUSED, "refused"), (CAME_UP, "up again"), (OFFERED, "only offered")],
        initial=TAKEN,
    )
    value = AmountField("Prey", "g", required=False, help_text="May be left out.")
    note = _note()


class WeightForm(LogForm):
    """A weight."""

    typed = text_field("Weight", required=True, attrs={"inputmode": "decimal"})
    unit = choice_field("Unit of the scale", [(unit, unit) for unit in MASS_UNITS], required=True)
    condition = choice_field("State", list(CONDITIONS))
    names = {"date": "on", "value": "typed"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = self.animal.measurements.filter(trait=Trait.MASS.value).order_by("-date", "-id")
        last = rows.first()
        hint = "As the scale says it: 3,165, or with its unit, 3.1 lb."
        if last:
            self.fields["unit"].initial = last.unit
            hint += f" Last time {last.value:,g} {last.unit}."
        self.fields["typed"].help_text = hint


class LengthForm(LogForm):
    """A length or a width."""

    trait = choice_field(
        "What", [(trait.value, trait.value) for trait in Trait if trait is not Trait.MASS], required=True
    )
    typed = text_field("Reading", required=True, attrs={"inputmode": "decimal"})
    unit = choice_field("Unit", [(unit, unit) for unit in LENGTH_UNITS], required=True)
    names = {"date": "on", "value": "typed"}

    def clean(self) -> dict[str, Any]:
        """The reading as a number in its unit; a unit that was typed goes before the one that was chosen."""
        said = dict(super().clean() or {})
        if said.get("typed"):
            try:
                value, unit = amount_typed(said["typed"], LENGTH_UNITS)
            except forms.ValidationError as fault:
                self.add_error("typed", fault)
            else:
                said |= {"value": value, "unit": unit or said.get("unit", "")}
        return said


class ShedForm(LogForm):
    """A shed."""

    whole = tap_field("It came off", [("whole", "in one piece"), ("pieces", "in pieces")], initial="whole")
    note = _note()


class UltrasoundForm(LogForm):
    """The largest follicle."""

    value = AmountField("Largest follicle", "mm", help_text="0 where none was seen.")
    count = forms.IntegerField(label="Follicles", required=False, min_value=0, max_value=60, help_text="If counted.")
    note = _note()


class OtherForm(LogForm):
    """With whom an animal is put together."""

    other = AnimalField("With whom", "Tag or name.")
    names = {"date": "on", "sire": "other", "dam": "other"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        wanted = {Sex.FEMALE.value: Sex.MALE.value, Sex.MALE.value: Sex.FEMALE.value}.get(self.animal.sex, "")
        field = self.fields["other"]
        field.label = {"male": "Which male", "female": "Which female"}.get(wanted, "With whom")
        field.widget.attrs["hx-get"] = str(field.widget.attrs["hx-get"]) + wanted


class LockForm(OtherForm):
    """A lock; the other may be left out where it is plain."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["other"].required = False
        self.fields["other"].help_text = "May be left out where one alone is with this animal."


class ApartForm(LogForm):
    """Which two are parted."""

    mating = forms.ChoiceField(label="From whom", widget=forms.RadioSelect)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.matings = not_parted(self.animal)
        words = [(str(one.pk), f"{_other(one, self.animal.pk)}, since {one.together}") for one in self.matings]
        field = self.fields["mating"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = words
        field.initial = words[0][0] if words else ""


class LoanForm(LogForm):
    """To or from whom, and until when."""

    note = _note("Who", "Their name.", required=True)
    until = DayField("Until", required=False, help_text="As agreed; may be left out.")
    names = {"date": "on", "to": "note", "of": "note"}


class ShareForm(LogForm):
    """Who else owns a part."""

    note = _note("Who", "Their name.", required=True)
    value = AmountField("Their share", "%")
    until = DayField("Until", required=False, help_text="May be left out.")


class DeathForm(LogForm):
    """Of what it died, and whether it was examined."""

    note = _note("Of what", "As far as known.")
    opened = tap_field("Was it opened after", [("", "not said"), ("yes", "yes"), ("no", "no")], initial="")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["opened"].required = False


class SaleForm(LogForm):
    """To whom, and for how much."""

    to = text_field("To whom")
    price = text_field("Price", "As you write it.")
    names = {"date": "on", "note": "to"}


class MoveForm(LogForm):
    """Which place it moved to."""

    place = forms.ChoiceField(label="Where to", required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        places = sorted(whole_places(in_use=True).items(), key=lambda pair: order_key(pair[1]))
        field = self.fields["place"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", "out of its tub"), *((str(key), path) for key, path in places)]


def not_parted(animal: Any) -> list[Mating]:
    """Matings of an animal that nobody wrote the end of, the latest first."""
    rows = Mating.objects.select_related("dam", "sire").filter(apart="").order_by("-together", "-id")
    return list(rows.filter(dam=animal)) + list(rows.filter(sire=animal))


def _other(mating: Mating, key: Any) -> str:
    other = mating.sire if mating.dam_id == key else mating.dam
    return str(other)
