"""Addresses of places."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.places import moving, views

patterns = [
    path("places/", views.places, name="places"),
    path("places/new/<slug:kind>/", views.new_place, name="new-place"),
    path("places/move/<uuid:key>/", moving.move, name="move-animal"),
    path("places/<uuid:key>/", views.place, name="place"),
    path("places/<uuid:key>/add/", views.add_parts, name="add-parts"),
    path("places/<uuid:key>/change/", views.change, name="change-place"),
    path("places/<uuid:key>/close/", views.close, name="close-place"),
    path("places/<uuid:key>/open/", views.open_again, name="open-place"),
]
"""A part of the addresses of the pages, under their names."""
