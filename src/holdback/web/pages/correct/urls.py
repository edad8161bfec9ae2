"""Addresses of corrections."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.correct import views

patterns = [
    path("animals/<uuid:key>/parents/", views.correct, {"what": "parents"}, name="parents"),
    path("animals/<uuid:key>/correct/sex/", views.correct, {"what": "sex"}, name="correct-sex"),
    path("animals/<uuid:key>/correct/<slug:what>/", views.correct, name="correct"),
    path("corrections/<uuid:batch>/", views.corrected, name="corrected"),
    path("corrections/looking/<uuid:key>/", views.progress, name="foreseeing"),
    path("corrections/looking/<uuid:key>/stop/", views.stop, name="stop-foreseeing"),
]
"""A part of the addresses of the pages, under their names."""
