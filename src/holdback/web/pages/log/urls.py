"""Addresses of the log."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.log import views

patterns = [
    path("log/", views.log, name="log"),
    path("log/choices/", views.choices, name="log-choices"),
]
"""A part of the addresses of the pages, under their names."""
