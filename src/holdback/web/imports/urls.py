"""Addresses of import and export."""

from __future__ import annotations

from django.urls import path

from holdback.web.imports.views import batch, start

app_name = "imports"
urlpatterns = [
    path("", start.start, name="start"),
    path("export/<slug:kind>/", start.export, name="export"),
    path("<uuid:key>/", batch.batch, name="batch"),
    path("<uuid:key>/progress/", batch.progress, name="progress"),
    path("<uuid:key>/stop/", batch.stop, name="stop"),
    path("<uuid:key>/columns/", batch.columns, name="columns"),
    path("<uuid:key>/writing/", batch.writing, name="writing"),
    path("<uuid:key>/answer/", batch.answer, name="answer"),
    path("<uuid:key>/kind/", batch.kind, name="kind"),
    path("<uuid:key>/sheet/", batch.sheet, name="sheet"),
    path("<uuid:key>/land/", batch.land, name="land"),
    path("<uuid:key>/nothing/", batch.nothing, name="nothing"),
    path("<uuid:key>/undo/", batch.undo, name="undo"),
    path("<uuid:key>/to-answer.csv", batch.waiting_sheet, name="waiting-sheet"),
    path("<uuid:key>/rows/<slug:kind>/", batch.rows, name="rows"),
]
