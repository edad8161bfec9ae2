"""What recorded animals carry: the same numbers by command, API and Python function, on the demo."""

import json
from typing import Any
from unittest.mock import patch

import pytest
from django.test import Client
from ninja import Schema

from holdback.answers import Answers
from holdback.answers.carried import beliefs_as_json
from holdback.answers.proof import carrier_advice, odd_proof
from holdback.cli import main
from holdback.collection.collection import Collection
from holdback.demo_data import folder
from holdback.species.catalogue import load
from holdback.web.api import schemas
from holdback.web.imports.services import import_files
from holdback.web.jobs.models import Job, State
from holdback.web.pages.worked_out import Working
from holdback.web.records.services import add_animal

DEMO = str(folder() / "collection")


@pytest.fixture(scope="module")
def function() -> Answers:
    return Answers(Collection.from_folder(DEMO), load())


@pytest.fixture
def demo(opened: Client) -> Client:
    import_files([folder() / "collection"])
    return opened


@pytest.fixture
def one_animal(opened: Client) -> Client:
    add_animal(who="Wren", tag="22-11", sex="female", genes="Enchi")
    return opened


def command(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    capsys.readouterr()
    assert main([*arguments, "--from", DEMO, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def close(one: Any, other: Any) -> None:
    """Both the same, numbers to 1e-9: animals come from the database in another order than from a folder."""
    if isinstance(one, dict):
        assert one.keys() == other.keys()
        for key in one:
            close(one[key], other[key])
    elif isinstance(one, list):
        assert len(one) == len(other)
        for mine, theirs in zip(one, other, strict=True):
            close(mine, theirs)
    elif isinstance(one, float) and not isinstance(other, bool):
        assert one == pytest.approx(other, rel=1e-9, abs=1e-9)
    else:
        assert one == other


def in_short(conflicts: list[dict[str, Any]]) -> list[list[Any]]:
    """Conflicts without the words, which name animals in the order of the records."""
    return sorted([one["code"], sorted(one["animals"]), one["chance"], len(one["fixes"])] for one in conflicts)


def test_api__same_numbers_as_command_and_function(
    demo: Client, function: Answers, capsys: pytest.CaptureFixture[str]
) -> None:
    cases: list[tuple[str, list[str], Any, type[Schema]]] = [
        (
            "/api/beliefs?animal=22-11&animal=Ledger",
            ["beliefs", "22-11", "Ledger"],
            beliefs_as_json(function, ["22-11", "Ledger"]),
            schemas.BeliefsOut,
        ),
        (
            "/api/clutches/22-03/sires?each_egg=true",
            ["sires", "22-03", "--each-egg"],
            function.sires("22-03", each_egg=True).as_json(),
            schemas.SiresOut,
        ),
        (
            "/api/animals/22-05/proof?shown=25-05-1&shown=25-05-2",
            ["prove", "22-05", "--shown", "25-05-1", "25-05-2"],
            odd_proof(function, "22-05", ["25-05-1", "25-05-2"]).as_json(),
            schemas.ProofOut,
        ),
        (
            "/api/animals/22-11/test-breeding?gene=Piebald&top=2",
            ["test-breed", "22-11", "--gene", "Piebald", "--top", "2"],
            carrier_advice(function, "22-11", "Piebald", top=2).as_json(),
            schemas.TestBreedingOut,
        ),
        (
            "/api/odds?sire=22-05&dam=22-11&want=Clown&eggs=7",
            ["odds", "22-05", "22-11", "--want", "Clown", "--eggs", "7"],
            function.odds("22-05", "22-11", want="Clown", eggs=7).as_json(function.catalogue),
            schemas.OddsOut,
        ),
    ]
    for address, arguments, expected, schema in cases:
        answer = demo.get(address)
        assert answer.status_code == 200, address
        schema.model_validate(answer.json())
        close(answer.json(), expected)
        close(command(capsys, *arguments), expected)


def test_animal_genes__as_the_command_says_them(demo: Client, function: Answers) -> None:
    answer = demo.get("/api/animals/22-11/genes").json()
    schemas.AnimalGenesOut.model_validate(answer)
    expected = beliefs_as_json(function, ["22-11"], conflicts=False)
    close(answer["genes"], expected["animals"]["22-11"])
    assert answer["grounds"] == expected["grounds"]["22-11"]
    assert answer["steps"]["Clown"]
    assert answer["exact"]


def test_conflicts__finds_what_is_wrong_in_the_demo_on_purpose(
    demo: Client, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = demo.get("/api/conflicts").json()
    schemas.ConflictsOut.model_validate(answer)
    first = [one["fixes"][0] for one in answer["conflicts"] if one["fixes"]]
    likeliest = {(fix["record"], fix["field"]): fix["instead"] for fix in first}
    assert likeliest["clutch 24-03", "sires"] == "20-07"
    assert likeliest["animal 23-12", "dam"] == "19-16"
    assert demo.get("/api/check").json()["conflicts"] == answer["conflicts"]
    close(in_short(answer["conflicts"]), in_short(command(capsys, "check")["conflicts"]))
    only = demo.get("/api/conflicts?animal=23-12").json()["conflicts"]
    assert only == [one for one in answer["conflicts"] if "23-12" in one["animals"]]


@pytest.mark.parametrize(
    "address, code",
    [
        ("/api/animals/99-99/genes", "BEL-001"),
        ("/api/beliefs?animal=99-99", "BEL-001"),
        ("/api/clutches/99-99/sires", "BEL-002"),
        ("/api/animals/22-11/test-breeding?gene=Karoo", "BEL-003"),
        ("/api/animals/22-11/test-breeding?gene=Clown&below=1.5", "BEL-004"),
        ("/api/animals/22-11/proof?shown=99-99", "BEL-001"),
    ],
)
def test_api__says_what_is_wrong(one_animal: Client, address: str, code: str) -> None:
    answer = one_animal.get(address)
    assert answer.status_code == 422
    assert answer.json()["error"][0]["code"] == code


@pytest.mark.parametrize(
    "state, code, words", [(State.RUNNING, "API-002", "40 % done"), (State.FAILED, "API-003", "failed")]
)
def test_api__says_what_is_still_being_worked_out(opened: Client, state: State, code: str, words: str) -> None:
    working = Working(Job(kind="beliefs", state=state, progress=40, total=100), conflicts=False)
    with patch("holdback.web.api.working.answers_or_work", return_value=working):
        answer = opened.get("/api/beliefs")
    assert answer.status_code == 503
    assert answer["Retry-After"]
    assert answer.json()["error"][0]["code"] == code
    assert words in answer.json()["error"][0]["message"]


def test_command__without_a_folder_asks_the_database(demo: Client, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert main(["sires", "22-03", "--json"]) == 0
    close(json.loads(capsys.readouterr().out), demo.get("/api/clutches/22-03/sires").json())
    assert main(["odds", "22-05", "Enchi", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == demo.get("/api/odds?sire=22-05&dam=Enchi").json()
