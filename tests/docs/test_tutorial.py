"""The tutorial's commands print what the tutorial shows."""

import re
import shlex
from pathlib import Path

import pytest

from holdback.cli import main

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "tutorial" / "first-hour.md").read_text(encoding="utf-8")
BLOCKS = [block.splitlines() for block in re.findall(r"```console\n(.*?)```", PAGE, flags=re.DOTALL)]


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
    assert "1 in 16 eggs" in printed
