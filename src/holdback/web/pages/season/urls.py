"""Addresses of the season."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.season import counts_views, views

patterns = [
    path("season/", views.season, name="season"),
    path("season/of/<uuid:key>/", views.of_animal, name="animal-season"),
    path("season/counts/", counts_views.counts, name="season-counts"),
    path("season/counts/looks/", counts_views.looks, name="season-looks"),
]
"""A part of the addresses of the pages, under their names."""
