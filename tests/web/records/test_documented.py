"""Every code of refusal and every setting stands in the documentation."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[3]


def found_in(folder: str, pattern: str) -> set[str]:
    """Everything in the Python files of a folder that fits the pattern."""
    files = (ROOT / "src/holdback" / folder).rglob("*.py")
    return {found for file in files for found in re.findall(pattern, file.read_text("utf-8"))}


def test_codes__all_documented_and_no_other() -> None:
    raised = found_in("web/records", r'"(REC-\d{3})"') | found_in("bridge", r'"(REC-\d{3})"')
    page = (ROOT / "docs/explanation/records.md").read_text("utf-8")
    assert raised == set(re.findall(r"^\| (REC-\d{3}) \|", page, re.MULTILINE))


def test_settings__all_documented_and_no_other() -> None:
    read = set(re.findall(r'"(HOLDBACK_[A-Z_]+)"', (ROOT / "src/holdback/web/settings.py").read_text("utf-8")))
    read |= set(re.findall(r'"(HOLDBACK_[A-Z_]+)"', (ROOT / "src/holdback/web/data_folder.py").read_text("utf-8")))
    page = (ROOT / "docs/how-to/postgres.md").read_text("utf-8")
    assert read == set(re.findall(r"^\| `(HOLDBACK_[A-Z_]+)` \|", page, re.MULTILINE))
