"""Logs, pairings and clutches land, are not doubled, and are taken back; page and command do the same."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from holdback.collection.model import Animal, Mating, PartialDate, Records, Sex
from holdback.errors import IntakeError
from holdback.web.imports import services
from holdback.web.imports.models import ImportBatch
from holdback.web.records import models as rows
from holdback.web.records.services import write_records

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"

LOG = """date,snake,what,amount
2026-01-06,Peat,locked w Mortar,
2026-03-14,Umber,fd,1 rat M
2026-03-20,Mortar,wt,2050 g
2026-03-21,Umbre,shed,
2026-03-22,Peat,moved to rack 3 / 3-B,
"""
PAIRS = "female,male,in,out,locks\nPeat,Mortar,2026-01-05,2026-01-09,2\nUmber,Mortar,2026-02-05,,1\n"
CLUTCHES = (
    "clutch,dam,sire,laid,eggs,slugs,hatched,number hatched,incubator,box,temp\n"
    "26-01,Umber,Mortar,2026-04-02,7,1,2026-06-01,6,1,3,89\n"
)


@pytest.fixture(autouse=True)
def barn() -> None:
    write_records(
        Records(
            animals=(
                Animal("22-11", "Umber", Sex.FEMALE),
                Animal("16-02", "Peat", Sex.FEMALE),
                Animal("16-01", "Mortar", Sex.MALE),
            ),
            matings=(Mating("16-02", "16-01", PartialDate(2026, 1, 5), None, 1),),
        ),
        who=WHO,
    )


def staged(folder: Path, text: str) -> ImportBatch:
    path = folder / "sheet.csv"
    path.write_text(text, encoding="utf-8")
    return services.preview(services.stage(path, who=WHO))


def landed(folder: Path, text: str) -> ImportBatch:
    batch = staged(folder, text)
    return services.commit(batch, who=WHO, expected=batch.summary["mark"])


def test_commit__a_log_lands_once_and_is_taken_back(tmp_path: Path) -> None:
    batch = landed(tmp_path, LOG)
    assert (batch.summary["sheet"], batch.result["n_landing"], batch.result["n_waiting"]) == ("log", 4, 1)
    assert set(rows.Observation.objects.values_list("kind", flat=True)) == {"meal", "lock"}
    lock = rows.Observation.objects.select_related("mating").get(kind="lock")
    assert lock.mating is not None
    assert lock.mating.together == "2026-01-05"
    assert rows.Measurement.objects.get().value == 2050
    assert rows.Stay.objects.get().place.name == "3-B"
    again = landed(tmp_path, LOG)
    assert (again.result["unchanged"], again.result["written"]) == (4, 0)
    services.undo_import(batch, who=WHO)
    assert not rows.Observation.objects.exists()
    assert not rows.Stay.objects.exists()


def test_commit__pairings_fill_in_what_is_on_record(tmp_path: Path) -> None:
    batch = landed(tmp_path, PAIRS)
    assert (batch.result["created"], batch.result["changed"]) == (1, 1)
    assert list(rows.Mating.objects.order_by("together").values_list("apart", "locks")) == [("2026-01-09", 2), ("", 1)]
    assert landed(tmp_path, PAIRS).result["written"] == 0
    services.undo_import(batch, who=WHO)
    assert list(rows.Mating.objects.values_list("apart", "locks")) == [("", 1)]


def test_commit__clutches_with_eggs_in_their_box(tmp_path: Path) -> None:
    batch = landed(tmp_path, CLUTCHES)
    clutch = rows.Clutch.objects.get()
    assert (clutch.tag, clutch.laid, clutch.eggs, clutch.slugs) == ("26-01", "2026-04-02", 7, 1)
    assert [one.sire.tag for one in clutch.candidate_sires.all() if one.sire] == ["16-01"]
    assert rows.Egg.objects.filter(outcome="hatched", box__name="box 3", box__within__name="incubator 1").count() == 6
    assert rows.Warmth.objects.get().celsius == 31.67
    assert landed(tmp_path, CLUTCHES).result["written"] == 0
    services.undo_import(batch, who=WHO)
    assert not rows.Egg.objects.exists()


def test_choose_kind__begins_anew_and_refuses_other_words(tmp_path: Path) -> None:
    batch = staged(tmp_path, "date,snake,note\n2026-03-01,Umber,quiet\n2026-03-02,Peat,shed\n")
    assert batch.summary["sheet"] == "animals"
    batch = services.preview(services.choose_kind(batch, kind="log"))
    assert (batch.summary["sheet"], batch.summary["n_landing"]) == ("log", 2)
    with pytest.raises(IntakeError, match="ITK-010"):
        services.choose_kind(batch, kind="recipes")


def test_set_columns__a_field_of_another_kind_is_refused(tmp_path: Path) -> None:
    with pytest.raises(IntakeError, match="ITK-015"):
        services.set_columns(staged(tmp_path, LOG), fields={2: "genes"})


def test_import_files__kind_and_answers_of_a_file(tmp_path: Path) -> None:
    sheet, answers = tmp_path / "log.csv", tmp_path / "answers.toml"
    sheet.write_text(LOG, encoding="utf-8")
    dry = services.import_files([sheet], dry_run=True)
    assert not dry.complete
    assert not rows.Observation.objects.exists()
    assert any("read as: log" in line for line in dry.lines())
    answers.write_text('kind = "log"\n[answers]\n"whom:umbre" = "is:22-11"\n', encoding="utf-8")
    report = services.import_files([sheet], answers=answers)
    assert (report.complete, report.files[0].kind, report.counts["landed"]) == (True, "log", 5)
    assert rows.Observation.objects.filter(animal__tag="22-11").count() == 2


def test_batch_page__shows_what_is_written_down_and_takes_another_kind(opened: Client, tmp_path: Path) -> None:
    batch = staged(tmp_path, LOG)
    page = opened.get(reverse("imports:batch", args=[batch.pk])).content.decode()
    assert "meal: 1 rat M, 2026-03-14" in page
    assert "No animal “Umbre” is on record." in page
    assert "All 4 rows" in page
    listed = opened.get(reverse("imports:rows", args=[batch.pk, "entries"])).content.decode()
    assert "lock: 16-01, 2026-01-06" in listed
    opened.post(reverse("imports:kind", args=[batch.pk]), {"kind": "animals"})
    batch.refresh_from_db()
    assert batch.mapping["sheet"] == "animals"
    refused = opened.post(reverse("imports:kind", args=[batch.pk]), {"kind": "recipes"})
    assert refused.status_code == 422


def test_land__on_the_page_says_how_many_rows(opened: Client, tmp_path: Path) -> None:
    batch = staged(tmp_path, PAIRS)
    opened.post(reverse("imports:land", args=[batch.pk]), {"mark": batch.summary["mark"]})
    page = opened.get(reverse("imports:batch", args=[batch.pk])).content.decode()
    assert "1 row new, 1 changed" in page


def test_commit__rack_and_tub_make_two_levels_and_are_met_again(tmp_path: Path) -> None:
    text = "id,name,sex,rack,tub\nA1,Ash,m,3,3-B\nA2,Oak,f,3,4\n"
    landed(tmp_path, text)
    stays = {stay.animal.tag: (stay.place.within.name, stay.place.name) for stay in rows.Stay.objects.all()}  # type: ignore[union-attr]
    assert stays == {"A1": ("rack 3", "3-B"), "A2": ("rack 3", "tub 4")}
    assert landed(tmp_path, text).result["unchanged"] == 2
    by_tub = landed(tmp_path, "id,name,tub\nA3,Elm,3-b\n")
    assert by_tub.result["created"] == 1
    assert rows.Place.objects.count() == 3
