"""Addresses of mates."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.mates import views

patterns = [path("animals/<uuid:key>/mates/", views.mates, name="mates")]
"""A part of the addresses of the pages, under their names."""
