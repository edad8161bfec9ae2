"""The published schema: both files fit it, wrong ones do not, and the reference describes every field."""

from __future__ import annotations

import copy
import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from holdback.species import loading, parts
from holdback.species.model import Ease, Inheritance, Mark
from holdback.species.trust import RECORDS
from holdback.species.weighing import ORDINARY, SIZE

ROOM = Path(loading.__file__).parent
REFERENCE = Path(__file__).parents[2] / "docs" / "reference" / "species-file.md"
SCHEMA: dict[str, Any] = json.loads((ROOM / "schema.json").read_text("utf-8"))
FILES = sorted(ROOM.glob("*.toml"))


def tables(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text("utf-8"))


def test_schema__is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_schema__every_file_fits(path: Path) -> None:
    assert [error.message for error in jsonschema.Draft202012Validator(SCHEMA).iter_errors(tables(path))] == []


@pytest.mark.parametrize(
    "place, wrong",
    [
        (("allele", "pastel", "inheritance"), "codominant"),
        (("allele", "pastel", "colour"), "yellow"),
        (("allele", "spider", "lethal"), 1.5),
        (("combo", "bumblebee", "one"), "pastel"),
        (("locus", "banana", "sex_linkage", "r", "value"), 0.7),
        (("reproduction", "hatch_rate", "value"), "most"),
        (("allele", "pastel", "frequency"), 0.5),
        (("group", "recessive", "frequency"), -0.1),
        (("records", "claim_trust", "value"), 1.5),
        (("records", "claim_trst"), {"value": 0.9}),
        (("sex_system",), "XO"),
        (("extra",), 1),
    ],
    ids=lambda each: ".".join(each) if isinstance(each, tuple) else str(each),
)
def test_schema__a_wrong_field_does_not_fit(place: tuple[str, ...], wrong: object) -> None:
    data = copy.deepcopy(tables(ROOM / "python_regius.toml"))
    table = data
    for step in place[:-1]:
        table = table[step]
    table[place[-1]] = wrong
    assert not jsonschema.Draft202012Validator(SCHEMA).is_valid(data)


def test_schema__words_of_closed_lists_are_those_of_the_code() -> None:
    defs = SCHEMA["$defs"]
    assert defs["mark"]["enum"] == [str(each) for each in Mark]
    assert defs["ease"]["enum"] == [str(each) for each in Ease]
    assert defs["inheritance"]["enum"] == [str(each) for each in Inheritance]
    assert tuple(defs["stage"]["enum"]) == parts.STAGES
    assert tuple(defs["flag"]["properties"]["kind"]["enum"]) == parts.FLAG_KINDS
    assert tuple(defs["pairing"]["properties"]["level"]["enum"]) == parts.LEVELS
    assert SCHEMA["properties"]["format"]["const"] == loading.FORMAT
    assert list(SCHEMA["properties"]["records"]["properties"]) == list(RECORDS)
    assert list(SCHEMA["properties"]["size"]["properties"]) == [*SIZE, *ORDINARY]


def fields_of(schema: Any) -> Iterator[str]:
    """Names of all fields anywhere in a schema."""
    if isinstance(schema, dict):
        for key, value in schema.items():
            if key == "properties":
                yield from value
            yield from fields_of(value)
    elif isinstance(schema, list):
        for each in schema:
            yield from fields_of(each)


@pytest.mark.parametrize("field", sorted(set(fields_of(SCHEMA))))
def test_reference__describes_every_field(field: str) -> None:
    assert f"`{field}`" in REFERENCE.read_text("utf-8")


@pytest.mark.parametrize(
    "word", [*map(str, Mark), *map(str, Ease), *map(str, Inheritance), *parts.FLAG_KINDS, *parts.LEVELS]
)
def test_reference__lists_every_word_of_a_closed_list(word: str) -> None:
    assert word in REFERENCE.read_text("utf-8")


def test_reference__lists_every_fault_code() -> None:
    codes = {code for path in ROOM.glob("*.py") for code in re.findall(r"SPE-\d{3}", path.read_text("utf-8"))}
    assert len(codes) >= 15
    text = REFERENCE.read_text("utf-8")
    assert [code for code in sorted(codes) if code not in text] == []


@pytest.mark.parametrize("key", sorted({key for path in FILES for key in tables(path)["reproduction"]}))
def test_reference__describes_every_default(key: str) -> None:
    assert f"`{key}`" in REFERENCE.read_text("utf-8")


@pytest.mark.parametrize("key", [*RECORDS, *SIZE])
def test_reference__gives_every_value_of_records_and_size(key: str) -> None:
    each = {**RECORDS, **SIZE}[key]
    assert f"| `{key}` | {each.value:g} | {each.low:g} to {each.high:g} |" in REFERENCE.read_text("utf-8")
