"""Addresses of matings."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.matings import views

patterns = [
    path("matings/", views.matings, name="matings"),
    path("matings/<uuid:key>/lock/", views.lock, name="lock"),
    path("matings/<uuid:key>/apart/", views.apart, name="apart"),
]
"""A part of the addresses of the pages, under their names."""
