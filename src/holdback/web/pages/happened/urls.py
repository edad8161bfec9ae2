"""Addresses of what happened."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.happened import views

patterns = [
    path("animals/<uuid:key>/happened/", views.happened, name="happened"),
    path("happened/<slug:kind>/<uuid:key>/", views.change, name="change-happened"),
    path("happened/<slug:kind>/<uuid:key>/remove/", views.remove, name="remove-happened"),
]
"""A part of the addresses of the pages, under their names."""
