"""What happened to an animal, as a part of its page: ``{% load happened %}``."""

from __future__ import annotations

from typing import Any

from django import template
from django.template.context import Context
from django.urls import reverse

from holdback.web.pages.happened import page
from holdback.web.records.clock import today
from holdback.web.records.models import Animal

register = template.Library()


@register.inclusion_tag("pages/parts/happened.html", takes_context=True)
def happened(context: Context, animal: Animal) -> dict[str, Any]:
    """What happened lately, and who else has to do with the animal."""
    found = page.entries(animal)
    return {
        "animal": animal,
        "entries": found[: page.FIRST],
        "n_entries": len(found),
        "whose": page.whose(animal, today()),
        "next": reverse("pages:animal", args=[animal.pk]),
        "csrf_token": context.get("csrf_token"),
    }
