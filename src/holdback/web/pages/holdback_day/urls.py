"""Addresses of hold-back day."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.holdback_day import views

patterns = [
    path("hold-back/", views.hold_back_day, name="hold-back"),
    path("hold-back/hold/", views.hold, name="hold-back-hold"),
]
"""A part of the addresses of the pages, under their names."""
