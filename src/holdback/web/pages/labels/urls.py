"""Addresses of labels and of what reads them."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.labels import views
from holdback.web.pages.scan.views import scan

patterns = [
    path("labels/", views.labels, name="labels"),
    path("a/<str:code>/", views.by_code, name="by-code"),
    path("scan/", scan, name="scan"),
]
"""A part of the addresses of the pages, under their names."""
