"""Tokens: spent once, in time, and stored nowhere as themselves."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytest_django.fixtures import Settings

from holdback.web.access.tokens import new_token, spend


@pytest.fixture(autouse=True)
def data_folder(tmp_path: Path, settings: Settings) -> Path:
    settings.HOLDBACK_DATA = tmp_path
    return tmp_path


def test_spend__is_good_once() -> None:
    token = new_token()
    assert spend(token)
    assert not spend(token)


def test_spend__refuses_what_was_never_made() -> None:
    new_token()
    assert not spend("../secret")
    assert not spend("")


def test_spend__refuses_after_its_time() -> None:
    assert not spend(new_token(valid_for_s=-1))


def test_new_token__is_not_stored_itself(data_folder: Path) -> None:
    token = new_token()
    stored = [path.name + path.read_text() for path in (data_folder / "openings").iterdir()]
    assert stored
    assert all(token not in text for text in stored)


def test_new_token__differs_each_time() -> None:
    assert len({new_token() for _ in range(20)}) == 20
