"""The commands in the tutorial, and on every other page, print what the page shows."""

import re
import shlex
from pathlib import Path

import pytest

from holdback.cli import main

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "tutorial" / "first-hour.md").read_text(encoding="utf-8")
PAGES = [
    path.read_text(encoding="utf-8") for path in sorted((ROOT / "docs").rglob("*.md")) if "_build" not in path.parts
]
BLOCKS = [block.splitlines() for page in PAGES for block in re.findall(r"```console\n(.*?)```", page, flags=re.DOTALL)]


@pytest.mark.parametrize("lines", BLOCKS, ids=lambda lines: lines[0])
def test_tutorial__command_prints_what_is_shown(
    lines: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    prompt, program, *arguments = shlex.split(lines[0])
    assert (prompt, program) == ("$", "holdback")
    assert main(arguments) == 0
    assert capsys.readouterr().out.splitlines()[: len(lines) - 1] == lines[1:]


def test_tutorial__either_or_of_the_pair(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    folder = "src/holdback/demo_data/collection"
    assert main(["odds", "22-05", "22-11", "--from", folder, "--want", "female Enchi Clown"]) == 0
    printed = capsys.readouterr().out
    assert "29 eggs give 95 %" in printed
    assert "If she does, 29 eggs give 95 %" in PAGE
    assert "about 1 in 12 eggs" in printed
    assert "33.8 %  at least one in this clutch" in printed
    assert "About 1 egg in 12 is what you asked for, and about 1 clutch in 3 holds one." in PAGE


def test_tutorial__why_she_stands_at_two_in_three(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    folder = "src/holdback/demo_data/collection"
    assert main(["beliefs", "22-11", "--from", folder, "--no-conflicts"]) == 0
    assert "Three full sibs show Clown, so both parents carry it for sure" in capsys.readouterr().out
    assert main(["test-breed", "22-11", "--gene", "Clown", "--from", folder]) == 0
    assert "6 normal young and no visual" in capsys.readouterr().out
    assert main(["check", "--from", folder]) == 0
    printed = " ".join(capsys.readouterr().out.split())
    assert "24-03-2, 24-03-3 and 24-03-6 are written with Clown" in printed
    assert "The sire is Harrow (20-07). It was put to the dam that season." in printed
