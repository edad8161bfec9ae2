"""The reference names everything that can be answered, chosen or go wrong."""

from __future__ import annotations

import re
from pathlib import Path

from holdback.intake import Field

ROOT = Path(__file__).parents[2]
REFERENCE = (ROOT / "docs/reference/import.md").read_text(encoding="utf-8")


def test_reference__has_every_code() -> None:
    sources = [*(ROOT / "src/holdback/intake").glob("*.py"), *(ROOT / "src/holdback/web/imports").rglob("*.py")]
    codes = {code for path in sources for code in re.findall(r"\"(ITK-\d{3})\"", path.read_text(encoding="utf-8"))}
    assert codes == set(re.findall(r"^\| (ITK-\d{3}) \|", REFERENCE, re.MULTILINE))


def test_reference__has_every_field() -> None:
    words = {word.strip() for row in re.findall(r"^\| ([^|]+) \|", REFERENCE, re.MULTILINE) for word in row.split(",")}
    assert {field.value for field in Field} <= words


def test_reference__has_every_kind_of_question() -> None:
    sources = (path.read_text(encoding="utf-8") for path in (ROOT / "src/holdback/intake").glob("*.py"))
    heads = {head for text in sources for head in re.findall(r"f\"([a-z][a-z ]*)(?: \{[^}]+\})?:\{", text)}
    asked = {"twice", "no id", "id", "new", "sex", "hatched", "day", "origin", "parents", "dams", "exchange", "circle"}
    asked |= {"gene", "genes", "size"}
    named = {name.split(":")[0].removesuffix(" N") for name in re.findall(r"`([^`]+:[A-Z]+)`", REFERENCE)}
    assert asked <= named
    assert heads - {"writing", "row", "write"} <= named
