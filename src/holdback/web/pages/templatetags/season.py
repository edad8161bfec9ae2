"""The season of an animal as a part of its page: ``{% load season %}``, ``{% this_season animal %}``."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import template

from holdback.collection.model import Sex
from holdback.web.records import clock
from holdback.web.records.models import Animal

register = template.Library()

YOUNG = dt.timedelta(days=300)
"""Age below which nobody asks for the season of an animal."""


@register.inclusion_tag("pages/parts/this_season_late.html")
def this_season(animal: Animal) -> dict[str, Any]:
    """An entry that is filled afterwards; nothing for a young, a dead one and one of unknown sex."""
    is_grown = animal.hatched_first is None or clock.today() - animal.hatched_first > YOUNG
    return {"animal": animal, "is_asked": animal.living and is_grown and animal.sex != Sex.UNKNOWN}
