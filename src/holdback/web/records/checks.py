"""System checks: bad settings are told at start, all together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.core.checks import CheckMessage, Error, register


@register()
def settings_can_be_used(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    """One error for every setting of the environment that cannot be used."""
    from holdback.web import settings

    return [
        Error(what, hint=hint, obj="settings", id=f"holdback.E{number:03d}")
        for number, (what, hint) in enumerate(settings.FAULTS, start=1)
    ]
