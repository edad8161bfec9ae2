"""Eggs hatch: young, sexes, weights and defects in one deed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, Clutch, Egg, Measurement, Observation, SexDetermination
from holdback.web.records.queries import parents_of
from holdback.web.records.services import (
    Young,
    add_clutch,
    change_egg,
    hatch_eggs,
    lay_clutch,
    look_at_eggs,
    lose_egg,
    set_rule,
    undo,
)

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
OUT = dt.date(2026, 5, 30)
Add = Callable[..., Animal]


@pytest.fixture
def clutch(family: dict[str, Animal]) -> Clutch:
    """Four eggs of D1 by S1, laid 2 April 2026; the fourth is a slug."""
    return lay_clutch(who=WHO, dam="D1", laid="2026-04-02", eggs=4, slugs=["4"], sires="S1")


def egg(mark: str) -> Egg:
    return Egg.objects.select_related("clutch", "animal").get(mark=mark)


def codes_of(error: pytest.ExceptionInfo[RecordError]) -> list[str]:
    return [fault.code for fault in error.value.faults]


def test_hatch_eggs__all_in_one_deed(clutch: Clutch, family: dict[str, Animal]) -> None:
    young = hatch_eggs(
        clutch,
        [
            Young("1", sex="male", method="popped", mass_g=61.5, genes="Clown", defect="kinked tail", notes="small"),
            Young("2", tag="Umber-1", out="2026-05-31", method="popped"),
            Young("3"),
        ],
        who=WHO,
        date=OUT,
    )
    assert [(one.tag, one.hatched, one.sex, one.origin) for one in young] == [
        ("26-01-1", "2026-05-30", "male", "captive bred"),
        ("Umber-1", "2026-05-31", "unknown", "captive bred"),
        ("26-01-3", "2026-05-30", "unknown", "captive bred"),
    ]
    parents = parents_of(young[0])
    assert (parents.dam, parents.sires) == (family["D1"], ((family["S1"], 1.0),))
    assert young[0].looks.get().allele == "clown"
    assert list(SexDetermination.objects.filter(method="popped").values_list("animal__tag", "sex", "found_by")) == [
        ("26-01-1", "male", WHO),
        ("Umber-1", "unknown", WHO),
    ]
    mass = Measurement.objects.get()
    assert (mass.animal, mass.value, mass.unit, mass.date) == (young[0], 61.5, "g", "2026-05-30")
    defect = Observation.objects.get(kind="defect")
    assert (defect.animal, defect.note) == (young[0], "kinked tail")
    assert (egg("2").outcome, egg("2").animal, egg("2").ended) == ("hatched", young[1], "2026-05-31")
    assert (egg("2").clutch.hatched, egg("2").clutch.slugs) == ("2026-05-30", 1)
    undo(Change.objects.latest("id").batch, who=WHO)
    assert Animal.objects.count() == 3
    assert (egg("2").outcome, egg("2").animal, egg("2").clutch.hatched) == ("unknown", None, "")


def test_hatch_eggs__day_of_the_first(clutch: Clutch) -> None:
    hatch_eggs(clutch, [Young("1")], who=WHO, date="2026-05")
    hatch_eggs(clutch, [Young("2")], who=WHO, date="2026-05-31")
    assert Clutch.objects.get().hatched == "2026-05-31"
    hatch_eggs(clutch, [Young("3", out="2026-05-30")], who=WHO, date="2026-06-02")
    assert Clutch.objects.get().hatched == "2026-05-30"


@pytest.mark.parametrize("day", ["2026-02-32", "2026-13-01", "²⁰²⁶-01-01", ""])
def test_hatch_eggs__on_a_day_that_is_none(clutch: Clutch, day: str) -> None:
    with pytest.raises(RecordError) as error:
        hatch_eggs(clutch, [Young("1")], who=WHO, date=day)
    assert codes_of(error) == ["REC-012"]


def test_hatch_eggs__by_another_pattern(clutch: Clutch, add: Add) -> None:
    set_rule("hatchling_pattern", "{yy}-{nn}", who=WHO)
    add("26-07")
    young = hatch_eggs(clutch, [Young("3"), Young("1")], who=WHO, date=OUT)
    assert [one.tag for one in young] == ["26-08", "26-09"]


def test_hatch_eggs__a_fourteenth_out_of_thirteen(clutch: Clutch) -> None:
    with pytest.raises(RecordError, match=r"SEA-010 .*egg 5 is none of clutch 26-01, which has 4 eggs \(1, 2, 3, 4\)"):
        hatch_eggs(clutch, [Young("5")], who=WHO, date=OUT)
    assert not Animal.objects.filter(clutch=clutch).exists()
    hatch_eggs(clutch, [Young("5")], who=WHO, date=OUT, sure=True)
    assert (egg("5").outcome, egg("5").clutch.eggs, egg("5").clutch.slugs) == ("hatched", 5, 1)
    undo(Change.objects.latest("id").batch, who=WHO)
    assert list(Egg.objects.values_list("mark", flat=True)) == ["1", "2", "3", "4"]


def test_hatch_eggs__more_than_are_no_slugs(family: dict[str, Animal]) -> None:
    clutch = lay_clutch(who=WHO, dam="D1", laid="2026-04-02", eggs=2, slugs=1)
    rows = [Young("1"), Young("2")]
    with pytest.raises(RecordError, match=r"2 young would come of clutch 26-01: 2 eggs, 1 of them slugs"):
        hatch_eggs(clutch, rows, who=WHO, date=OUT)
    hatch_eggs(clutch, rows, who=WHO, date=OUT, sure=True)
    assert Clutch.objects.get().slugs == 0


def test_hatch_eggs__that_was_a_slug_or_lost(clutch: Clutch) -> None:
    look_at_eggs(clutch, {"3": ("lost", "mould")}, date="2026-05-01", who=WHO)
    with pytest.raises(RecordError) as error:
        hatch_eggs(clutch, [Young("3"), Young("4")], who=WHO, date=OUT)
    assert codes_of(error) == ["SEA-006", "SEA-006"]
    assert "egg 3 is on record as lost on 2026-05-01. Is it out on 2026-05-30?" in str(error.value)
    hatch_eggs(clutch, [Young("3"), Young("4")], who=WHO, date=OUT, sure=True)
    assert (egg("3").outcome, egg("3").cause, egg("4").outcome, egg("4").clutch.slugs) == ("hatched", "", "hatched", 0)


def test_hatch_eggs__one_that_has_a_young(clutch: Clutch) -> None:
    hatch_eggs(clutch, [Young("1")], who=WHO, date=OUT)
    lose_egg(egg("2"), date="2026-05-30", cause="never came out", genes="Clown", who=WHO)
    with pytest.raises(RecordError) as error:
        hatch_eggs(clutch, [Young("1", tag="x"), Young("2", tag="y")], who="Saltmere", date=OUT, sure=True)
    assert codes_of(error) == ["SEA-009", "SEA-009"]
    assert "egg 1 is hatched since 2026-05-30 (26-01-1), and 26-01-1 is its young" in str(error.value)


def test_hatch_eggs__all_faults_together(clutch: Clutch, add: Add) -> None:
    add("26-01-2")
    rows = [
        Young("1", tag="26-01-2", sex="boy", mass_g=-2),
        Young("1", out="2026-04-01", name="x" * 121),
        Young("", tag="a|b"),
    ]
    with pytest.raises(RecordError) as error:
        hatch_eggs(clutch, rows, who=WHO, date=OUT)
    assert codes_of(error) == ["SEA-014", "REC-013", "REC-014", "REC-011", "SEA-008", "REC-010", "REC-010", "SEA-013"]
    assert "the id 26-01-2 belongs to another animal. 26-01-2b is free." in str(error.value)
    assert "2026-04-01 lies before egg 1 of clutch 26-01 was laid, 2026-04-02" in str(error.value)
    with pytest.raises(RecordError, match="no egg is named"):
        hatch_eggs(clutch, [], who=WHO, date=OUT)
    with pytest.raises(RecordError, match="SEA-002"):
        hatch_eggs(clutch, [Young("1")], who=WHO, date="2126-01-01")
    with pytest.raises(RecordError, match="REC-012"):
        hatch_eggs(clutch, [Young("1")], who=WHO, date="May")
    assert not Animal.objects.filter(clutch=clutch).exists()


def test_hatch_eggs__asks_about_what_is_out_of_the_ordinary(clutch: Clutch) -> None:
    rows = [Young("1", out="2026-05-02", mass_g=6.2), Young("2", mass_g=620)]
    with pytest.raises(RecordError) as error:
        hatch_eggs(clutch, rows, who=WHO, date=OUT)
    assert codes_of(error) == ["SEA-012", "SEA-015", "SEA-015"]
    assert "egg 1 hatched after 30 days; 53 to 62 are usual (common practice, no source)" in str(error.value)
    assert "26-01-1 weighs 6.2 g; 50 to 80 g are usual" in str(error.value)
    assert len(hatch_eggs(clutch, rows, who=WHO, date=OUT, sure=True)) == 2


def test_hatch_eggs__of_a_clutch_with_no_count_and_no_dam(add: Add) -> None:
    clutch = add_clutch(who=WHO, tag="C9")
    young = hatch_eggs(clutch, [Young("1"), Young("2")], who=WHO, date=OUT)
    assert [one.tag for one in young] == ["C9-1", "C9-2"]
    assert (Clutch.objects.get().eggs, Clutch.objects.get().hatched) == (None, "2026-05-30")


def test_hatch_eggs__of_an_egg_written_as_hatched_before(clutch: Clutch) -> None:
    change_egg(egg("1"), who=WHO, outcome="hatched")
    young = hatch_eggs(clutch, [Young("1")], who=WHO, date=OUT)
    assert egg("1").animal == young[0]


def test_hatch_eggs__asks_about_a_look_that_is_not_read(clutch: Clutch) -> None:
    rows = [Young("1", genes="Pastel Clwn"), Young("2", genes="Pastel")]
    with pytest.raises(RecordError, match=r"Egg 1: 'Clwn' in 'Pastel Clwn' is not read as a gene") as caught:
        hatch_eggs(clutch, rows, who=WHO, date=OUT)
    assert codes_of(caught) == ["SEA-029"]
    assert not Animal.objects.filter(clutch=clutch).exists()
    young = hatch_eggs(clutch, rows, who=WHO, date=OUT, sure=True)
    assert young[0].genes_text == "Pastel Clwn"
