"""Projects on other pages, and links to pages that may not be there: ``{% load projects %}``."""

from __future__ import annotations

from typing import Any

from django import template
from django.urls import NoReverseMatch, reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.collection.projects import ProjectState
from holdback.web.pages.projects.beside import projects_with, projects_with_pair
from holdback.web.records.models import Animal, Project

register = template.Library()


@register.simple_tag
def page_link(name: str, words: str, kind: str = "btn") -> SafeString:
    """Link to a page by its url name; nothing where there is no such page."""
    try:
        url = reverse(name)
    except NoReverseMatch:
        return SafeString()
    if kind == "crumbs":
        return format_html('<p class="crumbs"><a href="{}">{}</a></p>', url, words)
    return format_html('<a class="{}" href="{}">{}</a>', kind, url, words)


@register.inclusion_tag("pages/parts/projects_of.html")
def projects_of(animal: Animal) -> dict[str, Any]:
    """Projects that an animal is in: kept or held back for them, or counted on by their ways."""
    return {"projects": projects_with(animal)}


@register.inclusion_tag("pages/parts/projects_of_pair.html")
def projects_of_pair(sire: str, dam: str) -> dict[str, Any]:
    """Projects that a pair would serve."""
    return {"projects": projects_with_pair(sire, dam)}


@register.inclusion_tag("pages/parts/projects_in_short.html")
def projects_in_short() -> dict[str, Any]:
    """Open projects by name, each a link."""
    return {"projects": Project.objects.filter(state=ProjectState.OPEN.value)}
