from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Any

import pytest

from holdback.bridge import collection_of_records
from holdback.collection.collection import Collection
from holdback.errors import CollectionError, IntakeError, RecordError
from holdback.web.imports import services, storage
from holdback.web.imports.models import ImportBatch, State
from holdback.web.records.models import Animal, Change, Measurement, Stay
from holdback.web.records.services import add_animal, change_animal

pytestmark = pytest.mark.django_db

LIST = (
    "Wrackline Barn;;;;;;;;\n"
    "Snake;#;M/F;DOB;Genetics;Dad;Mom;Wt (oz);Where\n"
    "Mortar;16-01;1.0;2016;;;;81.5;1-A\n"
    "Thistle;19-01;F;2019;Enchi het Clown;;;72.7;1-B\n"
    "Umber;22-11;F;7/18/22;Enchi 50% het Clown;Mortar;Thistle;106.2;3-B\n"
    "Pim;22-12;F?;7/18/22;Pastel;Mortar;Thistle;;\n"
)
WEIGHED = {"weighed_on": "2026-05-01"}


def staged(text: str, name: str = "barn list.csv") -> ImportBatch:
    return services.stage(io.BytesIO(text.encode()), who="Wren", file_name=name)


def landed(text: str = LIST, **told: str) -> ImportBatch:
    batch = services.set_writing(staged(text), told=told or WEIGHED)
    return services.commit(services.preview(batch), who="Wren", expected=batch.summary["mark"])


def tags() -> list[str]:
    return list(Animal.objects.filter(removed_at__isnull=True).order_by("tag").values_list("tag", flat=True))


def test_stage__proposes_and_changes_nothing() -> None:
    batch = staged(LIST)
    assert (batch.state, batch.n_rows, batch.n_columns) == (State.UPLOADED, 4, 9)
    assert services.mapping_of(batch).told("dates /") == "mdy"
    assert not tags()
    assert not Change.objects.exists()


def test_stage__fault_names_the_file_as_the_keeper_calls_it() -> None:
    with pytest.raises(IntakeError, match=r"ITK-004 empty list.csv: "):
        staged("\n,,\n", name="empty list.csv")


def test_commit__pedigree_keeps_what_is_on_record() -> None:
    landed()
    batch = services.preview(staged("1 22-11 0 0 0 0\n1 16-01 0 0 1 0\n1 23-01 16-01 22-11 1 0\n", name="x.ped"))
    assert (batch.summary["created"], batch.summary["changed"], batch.summary["unchanged"]) == (1, 0, 2)
    services.commit(batch, who="Wren", expected=batch.summary["mark"])
    umber = Animal.objects.get(tag="22-11")
    assert (umber.name, umber.sex, umber.genes_text) == ("Umber", "female", "Enchi 50% het Clown")
    assert umber.dam is not None
    assert umber.candidate_sires.filter(sire__tag="16-01").exists()
    assert Animal.objects.get(tag="23-01").dam == umber


def test_stage__file_that_cannot_be_read_leaves_nothing(settings: Any, tmp_path: Path) -> None:
    settings.HOLDBACK_DATA = tmp_path
    with pytest.raises(IntakeError, match="ITK-001"):
        staged("x", name="list.doc")
    assert not ImportBatch.objects.exists()
    assert not any((tmp_path / "imports").iterdir())


def test_preview__counts_land_and_list_every_row() -> None:
    batch = services.preview(staged(LIST))
    found = batch.summary
    assert (found["n_rows"], found["n_landing"], found["n_waiting"], found["n_held"]) == (4, 3, 1, 3)
    assert [question["id"] for question in found["questions"]] == ["sex:f?"]
    assert batch.state == State.PREVIEWED


def test_commit__lands_under_one_batch_and_undo_takes_all_back() -> None:
    batch = landed()
    assert tags() == ["16-01", "19-01", "22-11"]
    umber = Animal.objects.get(tag="22-11")
    assert (umber.name, umber.hatched, umber.genes_text) == ("Umber", "2022-07-18", "Enchi 50% het Clown")
    assert umber.dam is not None
    assert umber.dam.tag == "19-01"
    assert umber.candidate_sires.filter(sire__tag="16-01", weight=1).exists()
    reading = umber.measurements.get()
    assert (reading.value, reading.unit, reading.date) == (106.2, "oz", "2026-05-01")
    assert Stay.objects.get(animal=umber, until__isnull=True).place.name == "3-B"
    assert set(Change.objects.values_list("batch", flat=True)) == {batch.log_batch}
    services.undo_import(batch, who="Wren")
    assert (batch.state, tags(), Measurement.objects.count(), Stay.objects.count()) == (State.UNDONE, [], 0, 0)


def test_commit__answered_later_lands_the_rest() -> None:
    landed()
    batch = services.answer(staged(LIST), question="sex:f?", value="unknown")
    services.commit(services.preview(services.set_writing(batch, told=WEIGHED)), who="Wren")
    assert (batch.result["created"], batch.result["unchanged"]) == (1, 3)
    assert Animal.objects.get(tag="22-12").notes == "M/F: F?"


def test_commit__again_updates_by_id_and_an_empty_cell_keeps_what_is_there() -> None:
    landed()
    again = services.preview(staged("#,status,Genetics\n22-11,holdback,\n19-01,,Enchi het Clown\n"))
    assert (again.summary["changed"], again.summary["unchanged"]) == (1, 1)
    rows = storage.kept_rows(again)["landings"]
    assert rows[0]["changes"] == [["status", "", "holdback"]]
    services.commit(again, who="Wren")
    umber = Animal.objects.get(tag="22-11")
    assert (umber.status, umber.genes_text) == ("holdback", "Enchi 50% het Clown")
    assert Measurement.objects.filter(animal=umber).count() == 1


def test_commit__twice_lands_once() -> None:
    batch = landed()
    services.commit(batch, who="Wren")
    assert len(tags()) == 3


def test_commit__refused_where_something_else_than_shown_would_land() -> None:
    batch = services.preview(staged(LIST))
    add_animal(who="Wren", tag="16-01", sex="male")
    with pytest.raises(IntakeError, match="ITK-009"):
        services.commit(batch, who="Wren", expected=batch.summary["mark"])
    assert tags() == ["16-01"]


def test_commit__all_or_nothing_where_the_writing_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    from holdback.web.imports.services import committing

    def fail(*_: object) -> None:
        raise RuntimeError("the disk is full")

    monkeypatch.setattr(committing, "_house", fail)
    batch = services.preview(staged(LIST))
    with pytest.raises(RuntimeError, match="the disk is full"):
        services.commit(batch, who="Wren")
    batch.refresh_from_db()
    assert (tags(), Change.objects.count(), batch.state) == ([], 0, State.PREVIEWED)


def test_undo_import__refused_after_a_later_change() -> None:
    batch = landed()
    change_animal(Animal.objects.get(tag="22-11"), who="Wren", status="sold")
    with pytest.raises(RecordError, match="REC-020"):
        services.undo_import(batch, who="Wren")
    assert len(tags()) == 3


def test_cancel__closes_and_forgets_the_file() -> None:
    batch = services.cancel(staged(LIST))
    assert not storage.stored(batch).exists()
    with pytest.raises(IntakeError, match="ITK-008"):
        services.commit(batch, who="Wren")


def test_set_columns__moves_and_refuses() -> None:
    batch = services.set_columns(staged(LIST), fields={8: "notes"}, units={7: "g"})
    mapping = services.mapping_of(batch)
    assert (mapping.columns[8].field.value, mapping.columns[7].unit) == ("notes", "g")
    with pytest.raises(IntakeError, match="ITK-011"):
        services.set_columns(batch, fields={8: "sire"})
    with pytest.raises(IntakeError, match="ITK-010"):
        services.set_columns(batch, fields={8: "colour"})


def test_choose_sheet__of_a_workbook(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    book.worksheets[0].append(["Feed", "boxes"])
    book.worksheets[0].append(["rats", 4])
    barn = book.create_sheet("Barn")
    barn.append(["id", "sex", "hatched"])
    barn.append(["22-11", "f", 2022])
    book.save(tmp_path / "list.xlsx")
    batch = services.stage(tmp_path / "list.xlsx", who="Wren")
    assert (batch.sheet_name, batch.sheet_names) == ("Barn", ["Sheet", "Barn"])
    assert services.choose_sheet(batch, name="Sheet").n_columns == 2


def test_import_files__holds_back_what_is_a_question(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST)
    dry = services.import_files([tmp_path / "list.csv"], dry_run=True)
    assert (dry.counts["landed"], tags(), ImportBatch.objects.get().state) == (3, [], State.CANCELLED)
    report = services.import_files([tmp_path / "list.csv"])
    assert not report.complete
    assert report.counts == {
        "rows": 4, "landed": 3, "held_back": 1, "left_out": 0,
        "created": 3, "changed": 0, "unchanged": 0, "measurements": 0,
    }  # fmt: skip
    kinds = [(problem["row"], problem["kind"]) for problem in report.as_json()["problems"]]
    assert kinds == [(6, "held back"), (3, "value held back"), (4, "value held back"), (5, "value held back")]
    assert any("question 'sex:f?', row 6" in line for line in report.lines())


def test_import_files__with_answers(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST)
    answers = tmp_path / "answers.toml"
    answers.write_text(
        '[columns]\nWhere = "notes"\n[units]\n"Wt (oz)" = "oz"\n[writing]\nweighed_on = "2026-05-01"\n'
        '[answers]\n"sex:f?" = "female"\n'
    )
    report = services.import_files([tmp_path / "list.csv"], answers=answers)
    assert report.complete
    assert Animal.objects.get(tag="22-11").notes == "Where: 3-B"
    answers.write_text('[columns]\nColour = "notes"\n')
    with pytest.raises(IntakeError, match=r"ITK-014.*no column Colour"):
        services.import_files([tmp_path / "list.csv"], answers=answers)
    answers.write_text("rows = 3\n")
    with pytest.raises(IntakeError, match="ITK-014"):
        services.import_files([tmp_path / "list.csv"], answers=answers)


FRAMES: dict[str, list[dict[str, str]]] = {
    "animals": [
        {"id": "16-01", "name": "Mortar", "sex": "male", "hatched": "2016", "origin": "wild caught"},
        {"id": "17-02", "name": "=2+3", "sex": "male", "notes": "two\nlines, and =1"},
        {"id": "19-01", "sex": "female", "hatched": "2019-06", "genes": "Enchi het Clown", "notes": "'quoted"},
        {
            "id": "0042", "sex": "female", "hatched": "2022-07-18", "dam": "19-01", "sire": "16-01:0.75|17-02:0.25",
            "clutch": "C1",
        },
        {"id": "22-13", "sire": "none", "dam": "19-01", "status": "sold"},
    ],
    "lines": [{"animal": "16-01", "line": "Marrowfen", "share_low": "0.5", "share_high": "1", "ground": "+ paper"}],
    "measurements": [
        {"animal": "0042", "date": "2026-05-01", "trait": "mass", "value": "106.2", "unit": "oz", "condition": "empty"},
        {"animal": "0042", "date": "2026-05", "trait": "snout-vent length", "value": "1.5", "unit": "m"},
    ],
    "matings": [{"dam": "19-01", "sire": "16-01", "together": "2022-01-03", "apart": "2022-01-05", "locks": "2"}],
    "clutches": [
        {"id": "C1", "dam": "19-01", "sires": "16-01:0.75|17-02:0.25", "laid": "2022-05-20", "eggs": "6", "slugs": "1"}
    ],
    "eggs": [
        {"clutch": "C1", "egg": "1", "mass_g": "88.5", "outcome": "hatched", "animal": "0042"},
        {"clutch": "C1", "egg": "2", "outcome": "slug"},
    ],
    "events": [{"animal": "19-01", "date": "2022-04-20", "kind": "pre-lay shed", "note": "@night"}],
    "statements": [
        {
            "animal": "16-01", "gene": "clown", "kind": "claimed", "none": "0.25", "one": "0.75", "two": "0",
            "by": "Marl", "ground": "= paper", "date": "2020", "trust": "0.5",
        },
        {"animal": "19-01", "gene": "pastel", "kind": "seen", "none": "1", "one": "0", "two": "0", "ground": "in sun"},
    ],
    "origins": [
        {"animal": "16-01", "place": "the Marrowfen", "ground": "@ importer"},
        {"animal": "19-01", "country": "GH", "latitude": "7.6", "longitude": "-0.9"},
    ],
}  # fmt: skip


def test_export__folder_zip_and_workbook_come_back_as_the_same_collection(tmp_path: Path) -> None:
    source = Collection.from_frames(FRAMES)
    source.to_folder(tmp_path / "in")
    services.import_files([tmp_path / "in"])
    assert collection_of_records().digest == source.digest
    services.export_folder(tmp_path / "out")
    services.export_zip(tmp_path / "out.zip")
    services.export_xlsx(tmp_path / "out.xlsx")
    for name in ("out", "out.zip", "out.xlsx"):
        batch = ImportBatch.objects.filter(state=State.COMMITTED).latest("made_at")
        services.undo_import(batch, who="Wren")
        assert not tags()
        report = services.import_files([tmp_path / name])
        assert report.complete
        assert collection_of_records().digest == source.digest, name


def test_export_xlsx__tables_without_rows_come_back(tmp_path: Path) -> None:
    landed("id,sex\n16-01,m\n", weighed_on="")
    services.export_xlsx(tmp_path / "out.xlsx")
    report = services.import_files([tmp_path / "out.xlsx"])
    assert (report.counts["unchanged"], report.complete) == (1, True)


def test_export_xlsx__formulas_are_text_and_ids_keep_their_zeros(tmp_path: Path) -> None:
    from openpyxl import load_workbook

    Collection.from_frames(FRAMES).to_folder(tmp_path / "in")
    services.import_files([tmp_path / "in"])
    services.export_xlsx(tmp_path / "out.xlsx")
    sheet = load_workbook(tmp_path / "out.xlsx")["animals"]
    cells = [cell for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} == {"s"}
    assert {"0042", "'=2+3"} <= {cell.value for cell in cells}


def test_stage__zip_that_is_no_collection_or_leads_out_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "x.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("notes.csv", "a")
    with pytest.raises(IntakeError, match="ITK-006"):
        services.stage(path, who="Wren")
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("../../animals.csv", "id\n1\n")
    batch = services.stage(path, who="Wren")
    assert [file.name for file in storage.stored(batch).iterdir()] == ["animals.csv"]


def test_stage__collection_with_faults_tells_all(tmp_path: Path) -> None:
    (tmp_path / "animals.csv").write_text("id,sex,dam\n1,boy,9\n1,female,\n")
    with pytest.raises(CollectionError) as caught:
        services.stage(tmp_path, who="Wren")
    assert {fault.code for fault in caught.value.faults} >= {"COL-013", "COL-030"}
