"""The jobs as a Django app."""

from __future__ import annotations

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """Registers the model."""

    name = "holdback.web.jobs"
    label = "jobs"
    verbose_name = "Jobs"
    default_auto_field = "django.db.models.BigAutoField"
