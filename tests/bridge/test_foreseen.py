"""A correction is tried, its consequences told, and the records stay as they are."""

from __future__ import annotations

import pytest

from holdback.bridge.foreseen import followed, foreseen, snapshot_now
from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Mating, Revision, SexDetermination
from holdback.web.records.queries import animal_by_tag
from holdback.web.records.services import (
    add_animal,
    add_mating,
    correct_parents,
    correct_sex,
    correct_tag,
    undo,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"


@pytest.fixture
def family() -> dict[str, Animal]:
    rows = {
        "S1": {"sex": "male", "genes": "Clown"},
        "S2": {"sex": "male", "genes": "Pastel"},
        "D1": {"sex": "female", "genes": "normal"},
        "Y1": {"sex": "male", "genes": "normal", "sires": "S1:0.7|S2:0.3", "dam": "D1"},
        "Y2": {"genes": "normal", "sires": "Y1"},
    }
    return {tag: add_animal(who=WHO, tag=tag, **fields) for tag, fields in rows.items()}  # type: ignore[arg-type]  # by name


def named(tag: str) -> Animal:
    found = animal_by_tag(tag)
    assert found is not None
    return found


def everything() -> list[object]:
    return [list(model._default_manager.order_by("pk").values()) for model in (Animal, Mating, Change, Revision)]


def test_foreseen__tells_what_would_follow_and_changes_nothing(family: dict[str, Animal]) -> None:
    before = everything()
    found = foreseen(lambda: correct_parents(named("Y1"), who=WHO, sires="S2"))
    assert found is not None
    assert {one.animal for one in found.genes if one.name == "Clown"} == {"Y1", "Y2"}
    assert everything() == before


def test_foreseen__is_what_follows(family: dict[str, Animal]) -> None:
    told = foreseen(lambda: correct_parents(named("Y1"), who=WHO, sires="S2"))
    before = snapshot_now()
    correct_parents(named("Y1"), who=WHO, sires="S2")
    found = followed(before, snapshot_now())
    assert told is not None
    assert found is not None
    assert told.as_json() == found.as_json()


def test_foreseen__hands_on_what_the_change_is_refused_with(family: dict[str, Animal]) -> None:
    with pytest.raises(RecordError, match="REC-017"):
        foreseen(lambda: correct_sex(named("S1"), who=WHO, sex="female", sure=True))


def test_foreseen__leaves_a_large_family_to_a_job(family: dict[str, Animal]) -> None:
    def change() -> object:
        return correct_parents(named("Y1"), who=WHO, sires="S2")

    assert foreseen(change, most=4, conflicts=False) is None
    found = foreseen(change, most=5, conflicts=False)
    assert found is not None
    assert (found.n_looked, found.conflicts_new) == (5, None)


def test_correct_parents__what_is_left_out_stays(family: dict[str, Animal]) -> None:
    young = correct_parents(named("Y1"), who=WHO, dam="")
    assert young.dam is None
    assert {row.sire.tag: row.weight for row in young.candidate_sires.all() if row.sire} == {"S1": 0.7, "S2": 0.3}


def test_correct_tag__is_no_consequence(family: dict[str, Animal]) -> None:
    found = foreseen(lambda: correct_tag(named("S1"), who=WHO, tag="S9"))
    assert found is not None
    assert found.is_empty
    assert correct_tag(named("S1"), who=WHO, tag=" S9 ").tag == "S9"
    with pytest.raises(RecordError, match="REC-019"):
        correct_tag(named("S9"), who=WHO, tag="S2")


def test_correct_sex__asks_for_its_matings_and_takes_them_out(family: dict[str, Animal]) -> None:
    other = add_animal(who=WHO, tag="S3", sex="male")
    add_mating(who=WHO, dam=family["D1"], sire=other, together="2026-01-10", locks=2)
    with pytest.raises(RecordError, match=r"SEA-060.*1 matings of S3 as male are on record \(with D1\)"):
        correct_sex(other, who=WHO, sex="female", method="probed")
    found = foreseen(lambda: correct_sex(named("S3"), who=WHO, sex="female", sure=True))
    assert found is not None
    assert [(one.dam, one.sire) for one in found.matings_gone] == [("D1", "S3")]
    correct_sex(named("S3"), who=WHO, sex="female", method="probed", sure=True)
    assert (named("S3").sex, Mating.objects.count()) == ("female", 0)
    assert SexDetermination.objects.filter(method="probed", found_by=WHO).count() == 1
    last = Change.objects.order_by("-id").first()
    assert last is not None
    undo(last.batch, who=WHO)
    assert (named("S3").sex, Mating.objects.count()) == ("male", 1)
