"""Addresses of the plans for a line."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.line import views

patterns = [
    path("lines/breeding/<path:name>/", views.breeding, name="line-breeding"),
    path("lines/carry/<path:name>/", views.carry, name="line-carry"),
]
"""A part of the addresses of the pages, under their names."""
