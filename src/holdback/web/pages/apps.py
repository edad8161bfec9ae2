"""The Django app of the pages."""

from __future__ import annotations

from django.apps import AppConfig


class PagesConfig(AppConfig):
    """Pages, their components and static files."""

    name = "holdback.web.pages"
    label = "pages"
    verbose_name = "Pages"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Register the work that jobs do."""
        from holdback.web.pages import worked_out  # noqa: F401 - importing registers it
        from holdback.web.pages.correct import working  # noqa: F401 - the same
