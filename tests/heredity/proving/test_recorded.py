"""Trials made from records."""

from __future__ import annotations

from typing import Any

import pytest

from holdback.collection.collection import Collection
from holdback.collection.model import Sex
from holdback.errors import CrossError
from holdback.heredity.proving import Kind, Look, Mode, SexCounts, trials_of, weigh

ROWS: list[dict[str, Any]] = [
    {"id": "Ash", "sex": "male"},
    {"id": "Elm", "sex": "female"},
    {"id": "Oak", "sex": "female"},
    {"id": "Ivy", "sex": "female"},
    {"id": "Moth", "sex": "male", "sire": "Ash", "dam": "Elm", "hatched": "2019-07-01"},
    {"id": "Sis", "sex": "female", "sire": "Ash", "dam": "Elm", "hatched": "2019-07-01"},
    {"id": "Bro", "sire": "Ash", "dam": "Elm", "hatched": "2020-07-01"},
    *(
        {"id": f"Y{n}", "sex": sex, "sire": "Moth", "dam": "Oak", "hatched": "2022-07-01"}
        for n, sex in enumerate(("female", "male", "female", ""))
    ),
    *({"id": f"B{n}", "sire": "Moth", "dam": "Y0", "hatched": "2024-07-01"} for n in range(5)),
    *({"id": f"S{n}", "sire": "Y1", "dam": "Y2", "hatched": "2024-07-02"} for n in range(3)),
    *({"id": f"K{n}", "sire": "Moth", "dam": "Sis", "hatched": "2024-08-01"} for n in range(2)),
    *({"id": f"M{n}", "sire": "Moth", "dam": "Elm", "hatched": "2023-08-01"} for n in range(2)),
    *({"id": f"T{n}", "sire": "Moth", "dam": "Ivy", "hatched": "2023-08-02"} for n in range(4)),
    {"id": "Q1", "sire": "Moth:0.5|Ash:0.5", "dam": "Oak", "hatched": "2023-09-01"},
    {"id": "Q2", "sire": "", "dam": "Y0", "hatched": "2025-09-01"},
]
"""Moth to Oak, to a daughter, to his sister, his dam, and to Ivy; two of his young together; one doubtful young."""


def collection(*more: dict[str, Any]) -> Collection:
    return Collection.from_frames({"animals": [*ROWS, *more]})


def test_trials_of__every_clutch_and_role() -> None:
    odd, trials = trials_of(collection(), "Moth", shown={"B1", "B3", "Ivy", "T0"}, stronger={"T1"})
    assert (odd.key, odd.sex, odd.sire_normal, odd.dam_normal) == ("Moth", Sex.MALE, True, True)
    assert odd.sibs == (SexCounts(females=1, unknown=1), SexCounts(), SexCounts())
    by_mate = {trial.mate.key or trial.mate.kind: trial for trial in trials}
    oak = by_mate["Oak"]
    assert (oak.mate.kind, oak.normal, oak.odd.total) == (Kind.UNRELATED, SexCounts(1, 2, 1), 0)
    back = by_mate["Y0"]
    assert (back.mate.kind, back.mate.trial, back.mate.look) == (Kind.YOUNG, trials.index(oak), Look.NORMAL)
    assert (back.odd.unknown, back.normal.unknown) == (2, 3)
    assert by_mate["Sis"].mate.kind is Kind.SIB
    assert by_mate[Kind.PARENT].mate.sex is Sex.FEMALE
    assert by_mate["Ivy"].mate.kind is Kind.OTHER_ODD
    assert (by_mate["Ivy"].odd.total, by_mate["Ivy"].stronger.total) == (1, 1)
    together = next(trial for trial in trials if {trial.parent.key, trial.mate.key} == {"Y1", "Y2"})
    assert together.normal.unknown == 3
    unknown = next(trial for trial in trials if "unknown sire" in trial.mate.key + trial.parent.key)
    assert unknown.normal.total == 1


def test_trials_of__leaves_a_doubtful_clutch_and_its_young_out() -> None:
    rows = [{"id": "Z1", "sire": "Ash", "dam": "Q1", "hatched": "2026-01-01"}]
    _, trials = trials_of(collection(*rows), "Moth", shown=())
    assert sum(trial.normal.total for trial in trials) == 4 + 5 + 3 + 2 + 2 + 4 + 1


def test_trials_of__can_be_weighed() -> None:
    odd, trials = trials_of(collection(), "Moth", shown={"B1", "B3", "S0"})
    assert weigh(odd, trials).best is Mode.RECESSIVE


def test_trials_of__parents_not_on_record() -> None:
    odd, trials = trials_of(collection(), "Oak", shown=())
    assert (odd.sire_normal, odd.dam_normal) == (False, False)
    assert trials[0].normal.total == 4


@pytest.mark.parametrize("animal, shown, code", [("Nobody", (), "PRV-009"), ("Moth", {"Elm"}, "PRV-010")])
def test_trials_of__refuses(animal: str, shown: set[str], code: str) -> None:
    with pytest.raises(CrossError, match=code):
        trials_of(collection(), animal, shown)
