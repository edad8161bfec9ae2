"""A clutch is laid: eggs, sires by the matings, weights, in one deed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Clutch, Egg, Measurement, Observation
from holdback.web.records.services import (
    add_mating,
    add_observation,
    add_place,
    change_animal,
    lay_clutch,
    undo,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
DAY = dt.date(2026, 4, 2)
Add = Callable[..., Animal]


def weights_of(clutch: Clutch) -> dict[str, float]:
    return {row.sire.tag: row.weight for row in clutch.candidate_sires.select_related("sire") if row.sire}


def codes_of(error: pytest.ExceptionInfo[RecordError]) -> list[str]:
    return [fault.code for fault in error.value.faults]


def test_lay_clutch__all_in_one_deed(family: dict[str, Animal]) -> None:
    box = add_place(who=WHO, name="box 3")
    clutch = lay_clutch(
        who=WHO,
        dam="D1",
        laid=DAY,
        eggs=3,
        slugs={"3"},
        masses=[91, None, 52],
        clutch_mass_g=230,
        dam_mass_g=1830,
        box=box,
    )
    assert (clutch.tag, clutch.laid, clutch.eggs, clutch.slugs) == ("26-01", "2026-04-02", 3, 1)
    assert list(clutch.egg_records.values_list("mark", "mass_g", "outcome", "ended", "box__name")) == [
        ("1", 91, "unknown", "", "box 3"),
        ("2", None, "unknown", "", "box 3"),
        ("3", 52, "slug", "2026-04-02", "box 3"),
    ]
    seen = Observation.objects.get()
    assert (seen.animal, seen.kind, seen.value, seen.note) == (family["D1"], "laid", 230, "clutch 26-01")
    weight = Measurement.objects.get()
    assert (weight.value, weight.condition, weight.date) == (1830, "after laying", "2026-04-02")
    undo(Change.objects.latest("id").batch, who=WHO)
    assert not Clutch.objects.exists()
    assert not Egg.objects.exists()
    assert not Observation.objects.exists()
    assert not Measurement.objects.exists()


def test_lay_clutch__slugs_only_counted(family: dict[str, Animal]) -> None:
    clutch = lay_clutch(who=WHO, dam="D1", laid="2026-04", eggs=3, slugs=1)
    assert clutch.slugs == 1
    assert set(clutch.egg_records.values_list("outcome", flat=True)) == {"unknown"}


def test_lay_clutch__sires_by_matings(family: dict[str, Animal], add: Add) -> None:
    """Each male of the season counts half of the one after him; last season's keeps little (worked by hand)."""
    add("S2", sex="male")
    add("S3", sex="male")
    add_mating(who=WHO, dam=family["D1"], sire=family["S1"], together="2025-11-10", apart="2025-11-12")
    add_mating(who=WHO, dam=family["D1"], sire=Animal.objects.get(tag="S2"), together="2026-01-10")
    add_mating(who=WHO, dam=family["D1"], sire=Animal.objects.get(tag="S3"), together="2025-01-10")
    clutch = lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=3)
    assert weights_of(clutch) == {"S2": 0.6, "S1": 0.3, "S3": 0.03}


def test_lay_clutch__last_male_before_ovulation(family: dict[str, Animal], add: Add) -> None:
    late = add("S2", sex="male")
    add_mating(who=WHO, dam=family["D1"], sire=family["S1"], together="2026-01-10")
    add_mating(who=WHO, dam=family["D1"], sire=late, together="2026-03-01")
    add_observation(family["D1"], who=WHO, date="2026-02-10", kind="Ovi")
    assert weights_of(lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=3)) == {"S1": 0.93}


def test_lay_clutch__what_the_keeper_says_stands(family: dict[str, Animal], add: Add) -> None:
    add("S2", sex="male")
    add_mating(who=WHO, dam=family["D1"], sire=family["S1"], together="2026-01-10")
    assert weights_of(lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=3, sires="S2")) == {"S2": 1}
    assert weights_of(lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=3, sires="", sure=True)) == {}


def test_lay_clutch__all_faults_together(family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError) as error:
        lay_clutch(who=WHO, dam="S1", laid="2126-04-02", eggs=3, slugs=["4"], masses=[90, -1, 90, 90])
    assert codes_of(error) == ["SEA-002", "SEA-003", "SEA-003", "REC-014", "REC-017"]
    with pytest.raises(RecordError) as error:
        lay_clutch(who=WHO, dam="", laid="spring", eggs=0, slugs=1)
    assert codes_of(error) == ["REC-012", "REC-014", "REC-014", "REC-016"]
    assert not Clutch.objects.exists()


def test_lay_clutch__a_second_one_is_asked_about(family: dict[str, Animal]) -> None:
    lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=3)
    with pytest.raises(RecordError, match=r"D1 has clutch 26-01, laid 2026-04-02. Did she lay another 2026-05-02\?"):
        lay_clutch(who=WHO, dam="D1", laid="2026-05-02", eggs=3)
    assert Clutch.objects.count() == 1
    assert lay_clutch(who=WHO, dam="D1", laid="2026-05-02", eggs=3, sure=True).tag == "26-02"
    assert Observation.objects.count() == 2


def test_lay_clutch__asks_about_what_is_out_of_the_ordinary(family: dict[str, Animal]) -> None:
    change_animal(family["D1"], who=WHO, status="sold 2025")
    said = {"masses": [9.1, 90], "clutch_mass_g": 300, "dam_mass_g": 183}
    with pytest.raises(RecordError) as error:
        lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=16, **said)  # type: ignore[arg-type]  # a plain dict
    assert codes_of(error) == ["SEA-005", "SEA-004", "SEA-004", "SEA-004"]
    with pytest.raises(RecordError, match=r"the eggs weigh 99.1 g one by one, the clutch 300 g"):
        lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=2, **said)  # type: ignore[arg-type]  # a plain dict
    assert lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=16, sure=True, **said).eggs == 16  # type: ignore[arg-type]


def test_lay_clutch__an_id_of_another(family: dict[str, Animal], add: Add) -> None:
    add("D2", sex="female")
    lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=3, tag="spring")
    with pytest.raises(RecordError, match="REC-019 field tag: the id 'spring' belongs to another clutch"):
        lay_clutch(who=WHO, dam="D2", laid=DAY, eggs=3, tag="spring")
    with pytest.raises(RecordError, match="COL-041"):
        lay_clutch(who=WHO, dam="D1", laid="2018-04-02", eggs=3)


def test_lay_clutch__told_once_that_she_laid(family: dict[str, Animal]) -> None:
    add_observation(family["D1"], who=WHO, date="2026-04-02", kind="laid")
    lay_clutch(who=WHO, dam="D1", laid=DAY, eggs=3)
    assert Observation.objects.count() == 1
