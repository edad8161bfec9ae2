"""The API opened by its one-time address."""

import pytest
from django.test import Client

from holdback.web.access.tokens import new_token


@pytest.fixture
def opened(db: None, client: Client) -> Client:
    client.get(f"/open/{new_token()}/")
    return client
