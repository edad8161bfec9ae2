"""Where an animal is, for its page: ``{% load whereabouts %}``."""

from __future__ import annotations

from typing import Any

from django import template

from holdback.collection.housing import path_names
from holdback.collection.status import is_here
from holdback.web.records.models import Animal, Stay
from holdback.web.records.queries import whole_places

register = template.Library()


@register.inclusion_tag("pages/parts/whereabouts.html")
def whereabouts(animal: Animal) -> dict[str, Any]:
    """Place of an animal now, the way to another one, and its label; two queries."""
    stay = Stay.objects.filter(animal=animal, until__isnull=True).first()
    path = ", ".join(path_names(whole_places()[stay.place_id])) if stay else ""
    return {"animal": animal, "stay": stay, "path": path, "is_here": is_here(animal.status)}
