"""A form whose faults come from a service."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from holdback.errors import Fault, HoldbackError


class PlainForm(forms.Form):
    """Form without colons, whose fields take the faults that a service finds."""

    names: dict[str, str] = {}
    """Field of a service to field of the form, where the two differ."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("label_suffix", "")
        super().__init__(*args, **kwargs)

    def take(self, error: HoldbackError) -> tuple[Fault, ...]:
        """Put each fault at its field; those that belong to none are returned."""
        left = []
        for fault in error.faults:
            name = self.names.get(fault.field, fault.field)
            if name in self.fields:
                self.add_error(name, f"{fault.what[:1].upper()}{fault.what[1:]} {fault.hint}".strip())
            else:
                left.append(fault)
        return tuple(left)


def text_field(
    label: str, hint: str = "", *, required: bool = False, attrs: Mapping[str, object] | None = None
) -> forms.CharField:
    """One line of text without the browser's own corrections."""
    widget = forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false", **(attrs or {})})
    return forms.CharField(label=label, help_text=hint, required=required, widget=widget)


def choice_field(
    label: str, words: list[tuple[str, str]], *, required: bool = False, initial: str | None = None
) -> forms.ChoiceField:
    """One of a few words."""
    return forms.ChoiceField(label=label, choices=words, required=required, initial=initial)
