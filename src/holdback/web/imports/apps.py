"""The imports as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class ImportsConfig(AppConfig):
    """Registers the model and the kinds of job."""

    name = "holdback.web.imports"
    label = "imports"
    verbose_name = "Imports"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Register the work that jobs do."""
        from holdback.web.imports import work  # noqa: F401 - importing registers it
