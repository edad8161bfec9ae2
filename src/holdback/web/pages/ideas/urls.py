"""Addresses of ideas."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.ideas import views

patterns = [
    path("ideas/", views.ideas, name="ideas"),
    path("ideas/print/", views.ideas_print, name="ideas-print"),
    path("ideas/picture.svg", views.picture, name="ideas-picture"),
]
"""A part of the addresses of the pages, under their names."""
