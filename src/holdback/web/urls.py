"""Addresses of the whole site; each app keeps its own."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("", include("holdback.web.access.urls")),
    path("api/", include("holdback.web.api.urls")),
    path("import/", include("holdback.web.imports.urls")),
    path("", include("holdback.web.pages.urls")),  # holds the root address and is asked last
]
