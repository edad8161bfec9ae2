"""What is said of an animal's share of a line."""

from __future__ import annotations

from typing import Any

from django import forms

from holdback.web.pages.forms.base import PlainForm, text_field


def _percent(label: str, hint: str = "") -> forms.FloatField:
    return forms.FloatField(
        label=label,
        help_text=hint,
        min_value=0,
        max_value=100,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
    )


class LineClaimForm(PlainForm):
    """Line, the least and the most it may be, and on what ground."""

    line = text_field("Line", "Its name, as you call it on the other animals.", required=True, attrs={"list": "lines"})
    low = _percent("At least, percent", "100 for an animal that is all of the line, 0 for one that is none of it.")
    high = _percent("At most, percent", "The same number where nothing is in doubt; 0 to 100 where nothing is known.")
    ground = text_field("On what ground", "Who said so, on what paper.")
    names = {"share_low": "low", "share_high": "high"}

    def record(self) -> dict[str, Any]:
        """Fields as the service takes them."""
        said = self.cleaned_data
        return {
            "line": said["line"],
            "share_low": said["low"] / 100,
            "share_high": said["high"] / 100,
            "ground": said["ground"],
        }
