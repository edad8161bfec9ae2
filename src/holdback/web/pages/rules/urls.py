"""Addresses of own rules."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.rules import views

patterns = [
    path("rules/", views.own, name="own-rules"),
    path("rules/tried/", views.tried, name="try-rules"),
    path("rules/incubators/", views.add_incubator, name="add-incubator"),
    path("rules/boxes/", views.add_boxes, name="add-boxes"),
]
"""A part of the addresses of the pages, under their names."""
