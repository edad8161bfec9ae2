"""Addresses for a phone's way in."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.phone import views

patterns = [
    path("phone/", views.phone, name="phone"),
    path("phone/end/", views.end_opened, name="end-opened"),
    path("phone/authority.crt", views.authority, name="authority"),
]
"""A part of the addresses of the pages, under their names."""
