"""A client that the door let in."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client


@pytest.fixture
def opened(db: None, client: Client) -> Client:
    """Client with an open session."""
    from holdback.web.access.tokens import new_token

    client.get(f"/open/{new_token()}/")
    return client


@pytest.fixture(autouse=True)
def own_folder(settings: Any, tmp_path: Any) -> None:
    """Keep the files of a test in the test's own folder."""
    settings.HOLDBACK_DATA = tmp_path / "data"
