"""Addresses of season plans."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.season_plan import views

patterns = [
    path("season/plan/", views.season_plan, name="season-plan"),
    path("season/plan/costs/", views.season_costs, name="season-plan-costs"),
    path("season/plan/keep/", views.keep, name="keep-season-plan"),
    path("season/plan/lock/", views.lock, name="lock-pairing"),
    path("season/plan/drop/<uuid:key>/", views.drop, name="drop-pairing"),
]
"""A part of the addresses of the pages, under their names."""
