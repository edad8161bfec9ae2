"""The photos of an animal as a part of any page: ``{% load photos %}``, ``{% photos animal %}``."""

from __future__ import annotations

from typing import Any

from django import template

from holdback.web.pages.photos.words import photo_lines
from holdback.web.records.models import Animal

register = template.Library()


@register.inclusion_tag("pages/parts/photos.html")
def photos(animal: Animal) -> dict[str, Any]:
    """Photos of an animal that are not put away, and the way to a new one."""
    lines = photo_lines(animal)
    return {"animal": animal, "lines": lines, "has_marks": any(line.is_measured for line in lines)}
