"""Which two are put together."""

from __future__ import annotations

from typing import Any

from holdback.web.pages.forms.base import PlainForm
from holdback.web.pages.log.fields import AnimalField, DayField, offer_animals
from holdback.web.records.clock import today


class TogetherForm(PlainForm):
    """A female, a male and the day."""

    dam = AnimalField("Female", "Tag or name.", sex="female")
    sire = AnimalField("Male", "Tag or name.", sex="male")
    on = DayField()

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs["initial"] = {"on": today(), **kwargs.get("initial", {})}
        super().__init__(*args, **kwargs)
        offer_animals(self)
