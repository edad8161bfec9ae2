"""The Django app of the pages."""

from __future__ import annotations

from django.apps import AppConfig


class PagesConfig(AppConfig):
    """Pages, their components and static files."""

    name = "holdback.web.pages"
    label = "pages"
    verbose_name = "Pages"
