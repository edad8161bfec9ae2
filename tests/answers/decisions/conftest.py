"""The demo, read once for the tests of this folder."""

from __future__ import annotations

import datetime as dt
from importlib.resources import as_file, files

import pytest

from holdback.answers import Answers
from holdback.answers.decisions import Decisions
from holdback.answers.season import Season
from holdback.collection.collection import Collection
from holdback.demo_data import LAST_DAY
from holdback.species.catalogue import load


@pytest.fixture(scope="session")
def demo() -> Answers:
    """Answers over the demo."""
    with as_file(files("holdback.demo_data") / "collection") as folder:
        return Answers(Collection.from_folder(folder), load())


@pytest.fixture(scope="session")
def last_day() -> dt.date:
    """Last day of the demo."""
    return LAST_DAY


@pytest.fixture(scope="session")
def season(demo: Answers, last_day: dt.date) -> Season:
    """Its working year."""
    return demo.season(last_day)


@pytest.fixture(scope="session")
def plans(demo: Answers, season: Season) -> Decisions:
    """Its goals and plans."""
    return Decisions(demo, season)
