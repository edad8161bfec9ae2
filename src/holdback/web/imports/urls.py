"""Addresses of import and export."""

from __future__ import annotations

app_name = "imports"
urlpatterns: list[object] = []
