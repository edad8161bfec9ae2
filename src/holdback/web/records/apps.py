"""The records as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class RecordsConfig(AppConfig):
    """Registers the models and the checks of the settings."""

    name = "holdback.web.records"
    label = "records"
    verbose_name = "Records"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Register the system checks."""
        from holdback.web.records import checks  # noqa: F401 - importing registers them
