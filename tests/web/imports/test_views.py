from __future__ import annotations

import html
import io
import re
import zipfile

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from holdback.web.imports.models import ImportBatch, State
from holdback.web.jobs.models import Job
from holdback.web.jobs.worker import run_one
from holdback.web.records.models import Animal

pytestmark = pytest.mark.django_db

LIST = (
    "Snake,#,M/F,DOB,Genetics,Wt,weighed\n"
    'Mortar,16-01,1.0,2016,,"3,010",2026-05-01\n'
    "Umber,22-11,F?,7/18/22,Enchi,2100,2026-05-01\n"
    "Pim,22-12,f,3/4/22,Karoo,2090,2026-05-01\n"
    "Total,3,,,,,\n"
)


def words(content: bytes) -> str:
    text = html.unescape(re.sub(r"<[^>]+>", " ", content.decode())).replace("\u00a0", " ").replace("\u202f", " ")
    return re.sub(r"\s+([.,;:])", r"\1", re.sub(r"\s+", " ", text))


def brought(client: Client, text: str = LIST, name: str = "barn list.csv") -> ImportBatch:
    file = SimpleUploadedFile(name, text.encode())
    response = client.post(reverse("imports:start"), {"file": file})
    assert response.status_code == 302, words(response.content)
    return ImportBatch.objects.latest("made_at")


def page(client: Client, batch: ImportBatch) -> str:
    response = client.get(reverse("imports:batch", args=[batch.pk]))
    assert response.status_code == 200
    return words(response.content)


def post(client: Client, name: str, batch: ImportBatch, data: dict[str, str] | None = None) -> str:
    response = client.post(reverse(f"imports:{name}", args=[batch.pk]), data or {}, follow=True)
    return words(response.content)


def test_start__is_closed_to_strangers(client: Client) -> None:
    assert client.get(reverse("imports:start")).status_code == 403


def test_start__offers_both_ways(opened: Client) -> None:
    text = words(opened.get(reverse("imports:start")).content)
    assert "Nothing lands before you have seen it." in text
    assert "Take the workbook" in text


def test_start__says_what_is_wrong_with_a_file(opened: Client) -> None:
    response = opened.post(reverse("imports:start"), {"file": SimpleUploadedFile("list.doc", b"x")})
    assert response.status_code == 422
    assert "'.doc' is not a kind of sheet read here. Save it as CSV, XLSX or ODS." in words(response.content)
    assert "No file was chosen." in words(opened.post(reverse("imports:start")).content)
    assert not ImportBatch.objects.exists()


def test_batch__shows_columns_questions_and_rows(opened: Client) -> None:
    text = page(opened, brought(opened))
    assert "barn list.csv · 4 rows, 7 columns" in text
    assert "1 row is ready, 2 wait for an answer from you." in text
    assert "month first: 18 cannot be a month" in text
    assert "Sex written “F?”: female, but not sure." in text
    assert "“Karoo” is not in the almanac." in text
    assert "Mortar 16-01" in text
    assert "a total, not an animal" in text
    assert not Animal.objects.exists()


def test_start__offers_every_kind_of_file(opened: Client) -> None:
    page = opened.get(reverse("imports:start")).content.decode()
    assert 'accept=".csv,.tsv,.txt,.xlsx,.ods,.ped,.fam,.zip"' in page


def test_batch__pedigree_shows_notes_and_parents_and_lands(opened: Client) -> None:
    batch = brought(opened, "1 16-01 0 0 1 0\n1 22-11 16-01 19-01 2 0 A A\n", "barn.fam")
    text = page(opened, batch)
    assert "2 rows are ready, none waits." in text
    assert "Lines with genotypes, which are not read: 1." in text
    assert "Parents without a line of their own, taken as animals: 1." in text
    assert "New. Sire: 16-01. Dam: 19-01." in text
    assert not Animal.objects.exists()
    batch.refresh_from_db()
    text = post(opened, "land", batch, {"mark": batch.summary["mark"]})
    assert "3 animals new" in text
    assert "Lines with genotypes, which are not read: 1." in text
    assert Animal.objects.filter(removed_at__isnull=True).count() == 3


def test_start__faults_of_a_pedigree_are_told_with_their_lines(opened: Client) -> None:
    file = SimpleUploadedFile("barn.fam", b"1 A 0 0 1 0\n1 B 0\n1 C 0 0 m 0\n")
    response = opened.post(reverse("imports:start"), {"file": file})
    assert response.status_code == 422
    text = words(response.content)
    assert "barn.fam line 2" in text
    assert "barn.fam line 3" in text
    assert not ImportBatch.objects.exists()


def test_batch__answered_landed_and_taken_back(opened: Client) -> None:
    batch = brought(opened)
    page(opened, batch)
    post(opened, "answer", batch, {"question": "sex:f?", "value": "female"})
    text = post(opened, "answer", batch, {"question": "gene:karoo", "value": "write", "text": "Enchi"})
    assert "3 rows are ready, none waits." in text
    assert "Answered" in text
    again = post(opened, "answer", batch, {"question": "gene:karoo", "value": ""})
    assert "“Karoo” is not in the almanac." in again
    post(opened, "answer", batch, {"question": "gene:karoo", "value": "hold"})
    batch.refresh_from_db()
    text = post(opened, "land", batch, {"mark": batch.summary["mark"]})
    assert "3 animals new, 3 measurements." in text
    assert Animal.objects.get(tag="22-12").notes == "Genes as typed: Karoo"
    assert "Taken back" in post(opened, "undo", batch)
    assert not Animal.objects.exists()
    assert "is taken back" in post(opened, "undo", batch)


def test_batch__columns_and_writing_are_changed(opened: Client) -> None:
    batch = brought(opened)
    text = post(opened, "columns", batch, {"column 0": "notes", "column 5": "mass", "unit 5": "g"})
    assert "you said so" in text
    text = post(
        opened, "writing", batch, {"written dates /": "dmy", "written decimal": ".", "written year_from": "1980"}
    )
    assert "It cannot be read" not in text.split("To answer")[0]
    batch.refresh_from_db()
    assert batch.mapping["writing"] == {"orders": {"/": "dmy"}, "decimal": ".", "year_from": 1980, "weighed_on": ""}
    assert "Born" in text or "“7/18/22”" in text


def test_batch__a_wrong_value_stays_typed_with_its_fault(opened: Client) -> None:
    batch = brought(opened)
    response = opened.post(reverse("imports:writing", args=[batch.pk]), {"written year_from": "1726"})
    assert response.status_code == 422
    assert "1726 is not between 1900 and 2100" in words(response.content)
    assert 'value="1726"' in response.content.decode()


def test_batch__two_columns_for_one_field_are_refused(opened: Client) -> None:
    batch = brought(opened)
    assert "2 columns go to sex" in post(opened, "columns", batch, {"column 0": "sex"})


def test_land__refused_when_the_records_changed_meanwhile(opened: Client) -> None:
    from holdback.web.records.services import add_animal

    batch = brought(opened)
    page(opened, batch)
    batch.refresh_from_db()
    add_animal(who="Wren", tag="16-01", sex="male", status="breeder")
    text = post(opened, "land", batch, {"mark": batch.summary["mark"]})
    assert "changed since this was shown" in text
    assert Animal.objects.count() == 1


def test_nothing__closes(opened: Client) -> None:
    batch = brought(opened)
    assert "nothing landed" in post(opened, "nothing", batch)
    assert "Not landed" in page(opened, batch)


def test_waiting_sheet__holds_every_row_that_waits(opened: Client) -> None:
    batch = brought(opened)
    page(opened, batch)
    sheet = opened.get(reverse("imports:waiting-sheet", args=[batch.pk])).content.decode("utf-8-sig")
    assert [line.split(",")[:2] for line in sheet.splitlines()] == [
        ["row", "what"], ["3", "waits"], ["4", "waits"], ["5", "left out"],
    ]  # fmt: skip


def test_rows__lists_are_paged(opened: Client) -> None:
    batch = brought(opened, "id,sex\n" + "\n".join(f"A{n},f" for n in range(150)) + "\n")
    page(opened, batch)
    text = words(opened.get(reverse("imports:rows", args=[batch.pk, "landings"])).content)
    assert "150 rows." in text
    assert "Page 1 of 2" in text
    assert opened.get(reverse("imports:rows", args=[batch.pk, "secrets"])).status_code == 404


def test_batch__long_sheets_are_a_job_that_is_watched(opened: Client) -> None:
    batch = brought(opened, "id,sex\n" + "\n".join(f"A{n},f" for n in range(500)) + "\n")
    response = opened.get(reverse("imports:batch", args=[batch.pk]), follow=True)
    assert "It waits for its turn." in words(response.content)
    assert "It waits for its turn." in words(opened.get(reverse("imports:progress", args=[batch.pk])).content)
    run_one("worker")
    done = opened.get(reverse("imports:progress", args=[batch.pk]))
    assert done["HX-Redirect"] == reverse("imports:batch", args=[batch.pk])
    assert "500 rows are ready" in page(opened, batch)
    batch.refresh_from_db()
    assert "Landing" in post(opened, "land", batch, {"mark": batch.summary["mark"]})
    run_one("worker")
    assert "500 animals new" in page(opened, batch)
    assert Animal.objects.count() == 500
    assert "Taking back" in post(opened, "undo", batch)
    run_one("worker")
    assert "Taken back" in page(opened, batch)
    assert not Animal.objects.exists()


def test_undo__long_sheet_that_was_changed_since_says_why_not(opened: Client) -> None:
    from holdback.web.imports import services
    from holdback.web.records.services import change_animal

    batch = brought(opened, "id,sex\n" + "\n".join(f"A{n},f" for n in range(500)) + "\n")
    services.commit(services.preview(batch), who="Wren")
    change_animal(Animal.objects.get(tag="A7"), who="Wren", status="sold")
    post(opened, "undo", batch)
    run_one("worker")
    assert "A7 was changed again since" in page(opened, batch)
    assert Animal.objects.count() == 500


def test_stop__a_waiting_job_is_cancelled_and_said(opened: Client) -> None:
    batch = brought(opened, "id,sex\n" + "\n".join(f"A{n},f" for n in range(500)) + "\n")
    opened.get(reverse("imports:batch", args=[batch.pk]))
    assert "Cancelled before it began." in post(opened, "stop", batch)
    assert Job.objects.get().is_over
    batch.refresh_from_db()
    assert batch.state == State.UPLOADED


def test_export__both_files_are_sent(opened: Client) -> None:
    from holdback.web.records.services import add_animal

    add_animal(who="Wren", tag="16-01", sex="male")
    folder = opened.get(reverse("imports:export", args=["folder"]))
    with zipfile.ZipFile(io.BytesIO(folder.content)) as archive:
        assert "holdback/animals.csv" in archive.namelist()
    assert folder["Content-Disposition"].endswith('.zip"')
    assert opened.get(reverse("imports:export", args=["workbook"])).content[:2] == b"PK"
    assert opened.get(reverse("imports:export", args=["other"])).status_code == 404


def test_batch__collection_zip_comes_in(opened: Client) -> None:
    from holdback.web.records.services import add_animal

    add_animal(who="Wren", tag="16-01", sex="male")
    content = opened.get(reverse("imports:export", args=["folder"])).content
    opened.post(reverse("imports:start"), {"file": SimpleUploadedFile("back.zip", content)})
    batch = ImportBatch.objects.get()
    assert "0 animals new, 0 changed, 1 as they are on record" in page(opened, batch)
    assert "1 as they were" in post(opened, "land", batch)
    assert "Taken back" in post(opened, "undo", batch)
