"""Address that opens a browser."""

from __future__ import annotations

from django.urls import path

from holdback.web.access.views import open_by_token

app_name = "access"
urlpatterns = [path("open/<str:token>/", open_by_token, name="open")]
"""One address only."""
