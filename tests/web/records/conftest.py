"""A few animals, added as a person would."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from holdback.web.records.models import Animal

WHO = "Wrackline Barn"


@pytest.fixture
def add(db: None) -> Callable[..., Animal]:
    """Adds an animal, as the invented keeper."""
    from holdback.web.records.services import add_animal  # this file is loaded before the apps are

    def added(tag: str, **fields: object) -> Animal:
        return add_animal(who=WHO, tag=tag, **fields)  # type: ignore[arg-type]  # tests pass what the service takes

    return added


@pytest.fixture
def family(add: Callable[..., Animal]) -> dict[str, Animal]:
    """Dam D1, sire S1 and their young Y1."""
    dam = add("D1", sex="female", hatched="2019-06")
    sire = add("S1", sex="male", hatched="2018")
    return {"D1": dam, "S1": sire, "Y1": add("Y1", hatched="2023-07-01", dam="D1", sires="S1")}
