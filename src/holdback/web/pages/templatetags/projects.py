"""Links of the pages of projects: ``{% load projects %}``."""

from __future__ import annotations

from django import template
from django.urls import NoReverseMatch, reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

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
