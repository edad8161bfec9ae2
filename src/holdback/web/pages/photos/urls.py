"""Addresses of the pages on photographs."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.photos import views
from holdback.web.pages.photos.beside import beside

patterns = [
    path("animals/<uuid:key>/photos/new/", views.add, name="add-photo"),
    path("photos/beside/", beside, name="photos-beside"),
    path("photos/<uuid:key>/", views.photo, name="photo"),
    path("photos/<uuid:key>/mark/", views.mark, name="mark-photo"),
    path("photos/<uuid:key>/reading/", views.reading, name="photo-reading"),
    path("photos/<uuid:key>/away/", views.put_away, name="put-photo-away"),
    path("photos/<uuid:key>/large.jpg", views.picture, {"size": "large"}, name="photo-large"),
    path("photos/<uuid:key>/small.jpg", views.picture, {"size": "small"}, name="photo-small"),
]
"""A part of the addresses of the pages, under their names."""
