"""Addresses of what is due."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.due import views

patterns = [
    path("due/done/", views.done, name="due-done"),
]
"""A part of the addresses of the pages, under their names."""
