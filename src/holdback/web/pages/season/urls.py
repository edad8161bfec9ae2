"""Addresses of the season."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.season import views

patterns = [
    path("season/", views.season, name="season"),
]
"""A part of the addresses of the pages, under their names."""
