"""The Django app of access."""

from __future__ import annotations

from django.apps import AppConfig


class AccessConfig(AppConfig):
    """One-time addresses and what every answer forbids the browser."""

    name = "holdback.web.access"
    label = "access"
    verbose_name = "Access"
