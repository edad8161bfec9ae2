"""Addresses of rounds."""

from __future__ import annotations

from django.urls import path

from holdback.web.pages.rounds import views
from holdback.web.pages.rounds.worker import worker

patterns = [
    path("rounds/", views.choose, name="rounds"),
    path("rounds/go/", views.go, name="round"),
    path("rounds/entries/", views.entries, name="round-entries"),
    path("rounds/entries/<uuid:key>/answer/", views.answer, name="answer-entry"),
    path("rounds/entries/<uuid:key>/photo/", views.photo, name="round-photo"),
    path("worker.js", worker, name="worker"),
]
"""A part of the addresses of the pages, under their names."""
