"""What every test shares. The engine job loads this file without Django, so it imports none."""

from __future__ import annotations

import importlib.util
import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

settings.register_profile("holdback", deadline=None, derandomize=True)
settings.load_profile("holdback")

ROOT = Path(__file__).parent.parent

# Here and not in pyproject.toml: in the engine job, without pytest-django, the key would be an unknown option.
# The plugin sets Django up after this file only if it finds the settings read.
if importlib.util.find_spec("django") is not None and (ROOT / "src/holdback/web/settings_test.py").is_file():
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "holdback.web.settings_test")
    _ = importlib.import_module("django.conf").settings.DATABASES

if importlib.util.find_spec("playwright") is not None:

    @pytest.fixture(scope="session")
    def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
        """Launch the browser that dev.py found, quiet and asking nothing of the network."""
        found = os.environ.get("HOLDBACK_CHROMIUM") or shutil.which("chromium")
        return {
            **browser_type_launch_args,
            **({"executable_path": found} if found else {}),
            "args": [
                "--no-sandbox",
                "--disable-gpu",
                "--disable-quic",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--disable-sync",
            ],
        }


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Let browser tests use the database: the browser driver keeps an event loop open in the main thread."""
    if any(item.get_closest_marker("browser") for item in items):
        os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
