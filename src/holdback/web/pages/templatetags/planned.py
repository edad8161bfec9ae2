"""Planned pairings as a part of other pages: ``{% load planned %}``."""

from __future__ import annotations

from typing import Any

from django import template
from django.template.context import Context

from holdback.web.pages.season_plan.planned import planned_from, planned_now
from holdback.web.records import clock

register = template.Library()


@register.inclusion_tag("pages/parts/planned.html", takes_context=True)
def planned_of_season(context: Context, year: int) -> dict[str, Any]:
    """An entry with the pairings planned for a season and for the next that is open."""
    return _with(context, seasons=planned_from(year, clock.today()))


@register.inclusion_tag("pages/parts/planned.html", takes_context=True)
def planned_today(context: Context) -> dict[str, Any]:
    """The same for the Desk: only what is to be put together now."""
    found = planned_now(clock.today())
    return _with(context, seasons=[found] if found else [], is_desk=True)


def _with(context: Context, **more: Any) -> dict[str, Any]:
    request = context.get("request")
    back = request.get_full_path() if request else ""
    return {"csrf_token": context.get("csrf_token"), "back": back, **more}
