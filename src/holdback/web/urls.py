"""Addresses of the whole site; each app keeps its own."""

from __future__ import annotations

from django.apps import apps
from django.urls import URLPattern, URLResolver, include, path

# In this order: the pages hold the root address and are asked last.
_rooms = (("access", ""), ("api", "api/"), ("imports", "import/"), ("pages", ""))

urlpatterns: list[URLPattern | URLResolver] = [
    path(prefix, include(f"holdback.web.{room}.urls"))
    for room, prefix in _rooms
    if apps.is_installed(f"holdback.web.{room}")
]
