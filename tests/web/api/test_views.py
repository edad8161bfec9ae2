"""The API answers as the commands do."""

import json
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse

from holdback.cli import main
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Records, Sex
from holdback.web.access.tokens import new_token
from holdback.web.api.schemas import OddsOut, ReadingOut
from holdback.web.imports.services import import_files

DOCS = Path(__file__).parents[3] / "docs" / "reference" / "api.md"
ANIMALS = (
    Animal("A1", name="Ledger", sex=Sex.MALE, genes="Clown"),
    Animal("A2", name="Umber", sex=Sex.FEMALE, genes="Enchi 50% het Clown"),
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    Collection.from_records(Records(animals=ANIMALS)).to_folder(tmp_path / "records")
    return tmp_path / "records"


@pytest.fixture
def api(db: None, client: Client, folder: Path) -> Client:
    import_files([folder])
    client.get(f"/open/{new_token()}/")
    return client


def test_api__refuses_a_stranger(db: None, client: Client) -> None:
    assert client.get("/api/read", {"text": "Pastel"}).status_code == 403


def test_read__same_as_the_command(api: Client, capsys: pytest.CaptureFixture[str]) -> None:
    text = "0.1 Pastel 66% het Clown CB24 Karoo"
    assert main(["read", text, "--json"]) == 0
    answer = api.get("/api/read", {"text": text}).json()
    assert answer == json.loads(capsys.readouterr().out)
    ReadingOut.model_validate(answer)


def test_odds__same_as_the_command_on_the_same_records(
    api: Client, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["odds", "A1", "A2", "--from", str(folder), "--want", "Clown", "--eggs", "7", "--json"]) == 0
    answer = api.get("/api/odds", {"sire": "A1", "dam": "A2", "want": "Clown", "eggs": "7"})
    assert answer.status_code == 200
    assert answer.json() == json.loads(capsys.readouterr().out)
    OddsOut.model_validate(answer.json())


def test_odds__says_all_faults(api: Client) -> None:
    answer = api.get("/api/odds", {"sire": "A2", "dam": "A1"})
    assert answer.status_code == 422
    assert answer.json()["error"][0]["code"] == "PAIR-003"


def test_animal__as_recorded(api: Client) -> None:
    assert api.get("/api/animals/A2").json()["genes"] == "Enchi 50% het Clown"
    assert api.get("/api/animals/A9").json()["error"][0]["code"] == "API-001"


def test_animal_genes__with_grounds(api: Client) -> None:
    answer = api.get("/api/animals/A2/genes").json()
    assert answer["genes"]["Clown"]["1"] == pytest.approx(0.95 * 0.5, abs=1e-3)  # a claim is trusted with 95 %
    assert answer["grounds"]["Clown"]


def test_check__counts(api: Client) -> None:
    assert api.get("/api/check").json()["counts"]["animals"] == 2


def test_export_workbook__is_a_workbook(api: Client) -> None:
    assert api.get("/api/export.xlsx").content.startswith(b"PK")


def test_import_sheet__dry_run_changes_nothing(api: Client, tmp_path: Path) -> None:
    sheet = tmp_path / "more.csv"
    sheet.write_text("id,name,sex\nA3,Fen,male\n", encoding="utf-8")
    with sheet.open("rb") as file:
        answer = api.post("/api/import", {"file": file})
    assert answer.status_code == 200
    assert api.get("/api/check").json()["counts"]["animals"] == 2


def test_api_page__names_every_path(api: Client) -> None:
    paths = api.get(reverse("api:openapi-json")).json()["paths"]
    page = DOCS.read_text(encoding="utf-8")
    assert paths
    assert not [path for path in paths if path not in page]
